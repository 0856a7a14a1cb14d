"""How does a step without work begin? Its actor waits for a moment that is known, or has stood until now."""

from __future__ import annotations

from bisect import insort
from operator import itemgetter

from simulation.conditions import Clocks
from simulation.construction.plan.steps import END, START, Step
from simulation.construction.site.event_loop import Environment

#: In the place of a clock's name: the step passes on the calendar, whatever its kind.
BY_CALENDAR = "calendar"


class IdleSteps:
    """Writes the steps without work of one run to its trace."""

    __slots__ = ("_clocks", "_env", "_trace")

    def __init__(self, env: Environment, clocks: Clocks, trace: list[Step]) -> None:
        self._env, self._clocks, self._trace = env, clocks, trace

    def pause(self, kind: int, until: float, because: Step, actor: int, clock: str = "") -> Step:
        """Begin a step that ends at a moment known beforehand.

        Parameters
        ----------
        kind : int
        until : float
            Hours since the start.
        because : Step
        actor : int
        clock : str
            Name of the clock by which it is told, or `BY_CALENDAR`. Default: that of its kind.
        """
        now = self._env.now
        step = (now, now + (until - now), because, 0.0, kind, actor, -1, -1)
        if clock == BY_CALENDAR:
            self._clocks.by_calendar.add(id(step))
        elif clock:
            self._clocks.own[id(step)] = self._clocks[clock]
        self._trace.append(step)
        return step

    def stood(self, kind: int, because: Step, actor: int, clock: str, edge: int = -1) -> Step:
        """Return the step in which an actor stood from its last one until now: in the trace it is where it began."""
        step = (because[END], self._env.now, because, 0.0, kind, actor, edge, -1)
        self._clocks.own[id(step)] = self._clocks[clock]
        insort(self._trace, step, key=itemgetter(START))
        return step
