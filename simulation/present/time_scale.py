"""Are changes told in hours or in days? Whichever a planner would use for a construction of that length."""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.stats.paired_difference import Difference

#: Up to so many hours changes are told in hours. Planning value: of three days a tenth of a day is a thirtieth.
SHORT = 72.0


@dataclass(frozen=True)
class Scale:
    """A unit of time for changes.

    Attributes
    ----------
    name : str
    hours : float
        Of one unit.
    """

    name: str
    hours: float

    def plain(self, hours: float) -> str:
        """Return hours in this unit, to a tenth; nothing is never below zero."""
        return f"{round(hours / self.hours, 1) + 0.0:.1f}"

    def of(self, hours: float) -> str:
        """Return hours in this unit with its name."""
        text = self.plain(hours)
        return f"{text} {self.name.removesuffix('s') if text == '1.0' else self.name}"

    def interval(self, change: Difference) -> str:
        """Return the interval of a change; a dash where it has none."""
        if change.low is None or change.high is None:
            return "-"
        return f"{self.plain(change.low)} to {self.plain(change.high)}"


HOURS, DAYS = Scale("hours", 1.0), Scale("days", 24.0)


def choose_scale(hours: float) -> Scale:
    """Return the unit for changes of a construction that takes so many hours."""
    return HOURS if hours <= SHORT and math.isfinite(hours) else DAYS


def points(change: Difference) -> str:
    """Return a change of a chance in percentage points."""
    return "-" if change.value is None else _signed(change.value)


def points_interval(change: Difference) -> str:
    """Return the interval of a change of a chance in percentage points; a dash where it has none."""
    if change.low is None or change.high is None:
        return "-"
    return f"{_signed(change.low)} to {_signed(change.high)}"


def _signed(share: float) -> str:
    return f"{round(100 * share):+d}"
