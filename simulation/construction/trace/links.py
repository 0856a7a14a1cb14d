"""Which steps drove a milestone? The walk back from its last step to the start, without gaps.

A step knows the step whose end let it start. Where that end fell into hours at which whoever waited for it could not have
worked, it was not what the start depended on: an hour earlier would have changed nothing. What it depended on is that the hours
of the waiter began. So such a link reaches back to where the waiter's clock stopped, or to the end of its own last step if that
is later; from there on the walk follows its own last step where it worked until its hours ended, else what it had been waiting
for by then.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from operator import itemgetter
from typing import TYPE_CHECKING

from simulation.conditions import Clocks, WorkClock
from simulation.construction.plan.steps import (
    ACTOR,
    AT_AN_EDGE,
    BECAUSE,
    EDGE,
    END,
    FEED,
    GRADE_AGAIN,
    GRADING,
    KIND,
    KINDS,
    MOVE,
    NO_CREW,
    OFF_WORK,
    START,
    WORK,
    Step,
)

if TYPE_CHECKING:
    from simulation.construction.running import Finished

_GROUND = frozenset((GRADING, GRADE_AGAIN))
_START = itemgetter(START)
_CLOCKS = tuple(kind.clock for kind in KINDS)
#: Hours by which a step's elapsed time may differ from its work before something is looked for that it lost.
SLACK = 1e-9


#: A step of a chain of causes, and the hours from when to when the chain goes through it. These are the step's own, but for a
#: step
#: that was waited with until hours began (since then, before its start) and for one that ended after them (until then, before its
#: end).
Link = tuple[Step, float, float]


def links_back(step: Step, run: Finished, until: float | None = None) -> Iterator[Link]:
    """Yield the links of the chain that drove `step`, itself first: each ends where the one before it begins, the last at zero.

    Parameters
    ----------
    step : Step
        The last step of a milestone, or one that is under way.
    run : Finished
    until : float, optional
        Where the chain ends. Default: the end of the step.
    """
    later, end = step, step[END] if until is None else until
    link: Step | None = step
    while link is not None:
        since, because = link[START], link[BECAUSE]
        if because is not None and because[ACTOR] != link[ACTOR] and link[END] - since - link[WORK] > SLACK:
            since, because = _depended(link, later, run)
        yield link, since, end
        later, link, end = link, because, since


def clock_of(step: Step, clocks: dict[str, WorkClock]) -> WorkClock | None:
    """Return the clock that a step went by: that of its kind, or one of its own; none where it passes on the calendar."""
    if isinstance(clocks, Clocks) and id(step) in clocks.by_calendar:
        return None
    own = clocks.own.get(id(step)) if isinstance(clocks, Clocks) else None
    name = _CLOCKS[step[KIND]]
    return own if own is not None or name is None else clocks[name]


def _depended(link: Step, later: Step, run: Finished) -> tuple[float, Step]:
    """Return since when a step that somebody else's end let start depended on its own hours alone, and on what before that.

    `later` is the step that it led to.
    """
    start: float = link[START]
    because: Step = link[BECAUSE]
    clock = clock_of(link, run.site.clocks)
    since = start if clock is None else clock.stopped_since(start)
    # Who comes to a laying edge that waited for somebody comes for the work that follows.
    edge = later[EDGE] if link[KIND] == NO_CREW else link[EDGE] if link[KIND] in AT_AN_EDGE else -1
    if since < start and edge >= 0:
        since = _could_begin(link, edge, since, run)
    if since >= start:
        return start, because
    own = _last_of(link, edge, run.site.trace)
    if own is not None and own[END] >= since:  # it worked until its hours ended
        return (own[END], own) if own[END] < start else (start, because)
    opened = _opened(link, later, run.site.trace)
    cause = opened if opened is not None and opened[END] > since else because
    while cause[START] >= since and cause[BECAUSE] is not None:
        cause = cause[BECAUSE]
    return since, cause


def _could_begin(link: Step, edge: int, since: float, run: Finished) -> float:
    """Return when the last of the crews stopped that could have begun a step at a laying edge, where that is after `since`.

    They are those that laid there at some time, and those of its area that had nothing else to do.
    """
    start, trace = link[START], run.site.trace
    area = run.site.plan.edges[edge].area
    for crew in run.crews:
        stopped = run.site.clocks[crew.plan.clock].stopped_since(start)
        if stopped <= since:
            continue
        own = (step for step in _backward(trace, start) if step[ACTOR] == crew.number and step is not link)
        last = next(own, None)
        if last is not None and last[END] >= stopped:
            here = last[EDGE] == edge
        else:
            here = area in crew.plan.areas or any(step[EDGE] == edge and step[KIND] in AT_AN_EDGE for step in own)
        if here:
            since = stopped
    return since


def _last_of(link: Step, edge: int, trace: list[Step]) -> Step | None:
    """Return the last step that ended before another of the same actor, or of any crew at a laying edge, if it is of one."""
    last: Step | None = None
    mine, there = True, edge >= 0
    for step in _backward(trace, link[START]):
        if step is link:
            continue
        if mine and step[ACTOR] == link[ACTOR]:
            mine = False
            last = _later_of(last, step)
        elif there and step[EDGE] == edge and step[KIND] in AT_AN_EDGE:
            there = False
            last = _later_of(last, step)
        if not mine and not there:
            break
    return last


def _later_of(step: Step | None, other: Step) -> Step:
    return other if step is None or other[END] > step[END] else step


def _opened(link: Step, later: Step, trace: list[Step]) -> Step | None:
    """Return what made it possible, at last, to bring a pallet to a laying edge that a forklift came back to work for.

    Whoever woke it first did so for some job; the one that it finds when its hours begin may be another.
    """
    if link[KIND] != OFF_WORK or later[KIND] not in (FEED, MOVE):
        return None
    last: Step | None = None
    kinds = [AT_AN_EDGE, _GROUND]
    for step in _backward(trace, later[START]):
        if step[EDGE] == later[EDGE] and step[END] <= later[START]:
            for kind in [group for group in kinds if step[KIND] in group]:
                kinds.remove(kind)
                last = _later_of(last, step)
            if not kinds:
                break
    return last


def _backward(trace: list[Step], moment: float) -> Iterator[Step]:
    """Return the steps that began by a moment, the last one first."""
    return reversed(trace[: bisect_right(trace, moment, key=_START)])
