"""How far apart are two moments in hours on shift? Nights, breaks, the dark and days of rest between them do not count.

No run is ready while nobody is at work, so a change of a few minutes now and then puts a run off by a night, and a date that is
read from runs jumps. Counted in hours on shift a change is what it is in work.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.scenario import Scenario

    Span = tuple[float, float]


@dataclass(frozen=True)
class HoursOnShift:
    """The spans in which somebody is on shift who can make a field ready.

    Attributes
    ----------
    spans : tuple of (float, float)
        Hours since the start, rising and apart.
    """

    spans: tuple[Span, ...]

    def __call__(self, hours: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the hours on shift from the start to each of some hours; what never comes stays infinite."""
        import numpy as np

        edges = np.array(self.spans).ravel()
        lengths = np.zeros(len(edges))
        lengths[1::2] = edges[1::2] - edges[::2]
        return np.where(np.isfinite(hours), np.interp(hours, edges, np.cumsum(lengths)), hours)


def find_hours_on_shift(scenario: Scenario) -> HoursOnShift:
    """Return the hours of a scenario in which somebody is on shift who can make its field ready.

    Notes
    -----
    Of laying these are the hours of crews and tasks, which readiness ends with; where a field is taken up, those of trucks, too.
    Hours in the dark that nobody lights are none; weather takes none here, since a change may well be due to it.
    """
    from simulation.conditions import clock_plans, crew_clock, task_clock
    from simulation.conditions.clock.work_clocks import SHIFTS

    plans = clock_plans(scenario)
    names = {crew_clock(scenario, number) for number in range(len(scenario.crew))}
    names |= set(SHIFTS) if scenario.takes_up else {task_clock(scenario, number) for number in range(len(scenario.task))}
    calendars = {plans[name].calendar for name in names}
    return HoursOnShift(_join((start, end) for calendar in calendars for start, end, rate, _ in calendar if rate > 0))


def _join(spans: Iterable[Span]) -> tuple[Span, ...]:
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)
