"""When is a crew there? From the beginning of each of its shifts to its end, breaks included: rain and dark send nobody away."""

from __future__ import annotations

import math
from bisect import bisect_right

#: Hours by which a moment may miss the end of a shift: sums of many steps are not exact to the last bit.
_SLACK = 1e-6


class Attendance:
    """The shifts of one crew.

    Parameters
    ----------
    shifts : tuple of (float, float)
        In order; none where all crews keep the same, since nobody could take over then: such a crew is always there.
    """

    def __init__(self, shifts: tuple[tuple[float, float], ...]) -> None:
        self._always = not shifts
        self._begins, self._ends = [begin for begin, _ in shifts], [end for _, end in shifts]
        self._since = self._upto = self._end = -math.inf  # of the shift that was asked for last, and when the next one begins

    def there(self, now: float) -> bool:
        """Return whether the crew is there at a moment."""
        return self._always or now < self._ends_by(now) - _SLACK

    def until(self, now: float) -> float:
        """Return when the shift ends that a moment falls into."""
        return math.inf if self._always else self._ends_by(now)

    def comes(self, now: float) -> float:
        """Return when the crew is there again, or now if it is; infinite where no shift follows."""
        if self.there(now):
            return now
        number = bisect_right(self._begins, now + _SLACK)
        return self._begins[number] if number < len(self._begins) else math.inf

    def _ends_by(self, now: float) -> float:
        moment = now + _SLACK
        if not self._since <= moment < self._upto:
            number = bisect_right(self._begins, moment)
            self._since, self._end = (self._begins[number - 1], self._ends[number - 1]) if number else (-math.inf, -math.inf)
            self._upto = self._begins[number] if number < len(self._begins) else math.inf
        return self._end
