"""How long were crews and forklifts at work, altogether and on each day of the site?"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import itemgetter

from simulation.conditions import WorkClock
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import ACTOR, EDGE, END, REPAIR, START, WORK
from simulation.construction.running import Finished

#: Days that are told apart, at most.
DAYS = 60
_START = itemgetter(START)


@dataclass(frozen=True)
class AtWork:
    """Hours from the start up to a moment.

    Attributes
    ----------
    crews : tuple of float
        At work, of each crew; of those that laid together, each has the hours of the rows that they laid.
    forklifts, repair : float
        At work and under repair on their own shift, all forklifts together.
    crews_by_day, forklifts_by_day : tuple of float
        At work on each local day that began before the moment, all crews or all forklifts together.
    crews_shift, forklifts_shift : tuple of float
        That its clock ran while it was there, of each.
    crews_shift_by_day, forklifts_shift_by_day : tuple of float
        The same on each of these days, all crews or all forklifts together.
    """

    crews: tuple[float, ...]
    forklifts: float
    repair: float
    crews_by_day: tuple[float, ...]
    forklifts_by_day: tuple[float, ...]
    crews_shift: tuple[float, ...]
    forklifts_shift: float
    crews_shift_by_day: tuple[float, ...]
    forklifts_shift_by_day: tuple[float, ...]


def days_within(plan: Plan) -> int:
    """Return how many local days a record tells apart: that of the start and those after it up to the last day simulated,
    `DAYS` at most.
    """
    return min(DAYS, math.ceil((plan.horizon - plan.supply.midnight) / 24.0) + 1)


def at_work(run: Finished, until: float) -> AtWork:
    """Return the hours at work of a run in the steps that ended by `until`."""
    site = run.site
    trace, clocks, own = site.trace, site.clocks, site.clocks.own
    lifting = clocks["forklift"]
    ends = _days(site.plan.supply.midnight, until)
    crews, forklifts = [crew.number for crew in run.crews], [forklift.actor for forklift in run.forklifts]
    busy, repair, first = [0.0] * len(run.actors), 0.0, 0
    by_crews, by_forklifts = [0.0] * len(ends), [0.0] * len(ends)
    of_actor = {**dict.fromkeys(crews, by_crews), **dict.fromkeys(forklifts, by_forklifts)}
    clock_of = {crew.number: clocks[crew.plan.clock] for crew in run.crews} | dict.fromkeys(forklifts, lifting)
    for day, high in enumerate(ends):
        today = [0.0] * len(busy)
        last = bisect_left(trace, high, first, key=_START)  # steps stand in the order of their starts
        for step in trace[first:last]:
            start, end, _, work, kind, actor, _, _ = step
            if end <= high and kind != REPAIR:
                today[actor] += work
            elif kind == REPAIR:
                repair += lifting.worked(start, min(end, until))
            elif work and end <= until and actor in of_actor:  # over midnight
                busy[actor] += work
                _spread(start, end, work, own.get(id(step), clock_of[actor]), of_actor[actor], ends)
        for actor, by_day in of_actor.items():
            busy[actor] += today[actor]
            by_day[day] += today[actor]
        first = last
    for crew in run.crews:
        for other, edge, since, left in crew.merged:  # its people worked in the steps of the crew that it joined
            for step in trace[bisect_left(trace, since, key=_START) : bisect_left(trace, left, 0, first, key=_START)]:
                if step[ACTOR] == other and step[EDGE] == edge and step[END] <= until:
                    busy[crew.number] += step[WORK]
                    clock = own.get(id(step), clock_of[crew.number])
                    _spread(step[START], step[END], step[WORK], clock, by_crews, ends)
    began = site.zero[END]  # hours before a run began are no hours of its
    forklifts_since = [max(forklift.since, began) for forklift in run.forklifts]
    # Clocks are shared: what one ran on each day is worked out once.
    ran = {id(clock): _ran(clock, ends) for clock in {id(clock): clock for clock in clock_of.values()}.values()}
    by_clock: dict[int, list[float]] = {}
    for crew in run.crews:
        by_clock.setdefault(id(clock_of[crew.number]), []).append(max(crew.plan.since, began))
    kept = {id(clock_of[crew.number]): clock_of[crew.number] for crew in run.crews}
    shifts = [_on_shift(clock, by_clock[key], ends, ran[key]) for key, clock in kept.items()]
    return AtWork(
        tuple(busy[number] for number in crews),
        sum(busy[number] for number in forklifts),
        repair,
        tuple(by_crews),
        tuple(by_forklifts),
        tuple(_on_shift(clock_of[crew.number], [max(crew.plan.since, began)], [until])[0] for crew in run.crews),
        _on_shift(lifting, forklifts_since, [until])[0],
        tuple(map(sum, zip(*shifts, strict=True))) if len(shifts) > 1 else shifts[0],
        _on_shift(lifting, forklifts_since, ends, ran.get(id(lifting))),
    )


def _days(midnight: float, until: float) -> list[float]:
    """Return when each local day ends that began before `until`, which is the end of the last."""
    whole = max(0, math.ceil((until - midnight) / 24.0))
    return [*(midnight + 24.0 * day for day in range(whole)), until]


def _spread(start: float, end: float, work: float, clock: WorkClock, by_day: list[float], ends: list[float]) -> None:
    """Add a step's work to the days on which its clock says that it was done."""
    day = bisect_right(ends, start)
    while end > ends[day]:
        worked = clock.worked(start, ends[day])
        by_day[day] += worked
        start, work, day = ends[day], work - worked, day + 1
    by_day[day] += work


def _on_shift(
    clock: WorkClock, since: Sequence[float], ends: Sequence[float], ran: Sequence[float] | None = None
) -> tuple[float, ...]:
    """Return the hours of each day that a clock ran while so many actors were there, all of them together."""
    if not any(since):
        return tuple(len(since) * hours for hours in (_ran(clock, ends) if ran is None else ran))
    return tuple(
        math.fsum(clock.worked(max(low, min(moment, high)), high) for moment in since) for low, high in pairwise((0.0, *ends))
    )


def _ran(clock: WorkClock, ends: Sequence[float]) -> tuple[float, ...]:
    """Return the hours that a clock ran on each day."""
    return tuple(later - earlier for earlier, later in pairwise(map(clock.worked_to, (0.0, *ends))))
