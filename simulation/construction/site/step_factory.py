"""How does a step begin? A clock says when it ends, and it is written to the trace; who yields it goes on then."""

from __future__ import annotations

from collections.abc import Callable

from simulation.conditions import WorkClock
from simulation.construction.plan.steps import END, Step

#: ``begin(kind, hours, because, actor, laying edge=-1, number=-1)``
Begin = Callable[..., Step]


def beginner(clocks: list[WorkClock | None], trace: list[Step]) -> Begin:
    """Return `Site.begin`, which every step goes through: a closure, since looking names up would cost more than it."""
    record = trace.append

    def begin(kind: int, hours: float, because: Step, actor: int, edge: int = -1, number: int = -1) -> Step:
        now, clock = because[END], clocks[kind]
        end = now + hours
        if clock is not None and not (clock.open_from <= now and end <= clock.open_to):
            end = now + (clock.finish(now, hours) - now)
        step = (now, end, because, hours, kind, actor, edge, number)
        record(step)
        return step

    return begin


def beginner_on(clock: WorkClock, own: dict[int, WorkClock], trace: list[Step]) -> Begin:
    """Return what begins steps that go by a clock of their own, whatever their kind; it is noted in `own` which they are."""

    def begin(kind: int, hours: float, because: Step, actor: int, edge: int = -1, number: int = -1) -> Step:
        now = because[END]
        end = now + (clock.finish(now, hours) - now)
        step = (now, end, because, hours, kind, actor, edge, number)
        own[id(step)] = clock
        trace.append(step)
        return step

    return begin
