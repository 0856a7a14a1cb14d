"""How does a step begin? A clock says when it ends, it is written to the trace, and who began it goes on then."""

from __future__ import annotations

from collections.abc import Callable

from simulation.conditions import WorkClock
from simulation.construction.plan.steps import END, Step
from simulation.construction.site.event_loop import Awaited, Environment

#: ``begin(kind, hours, because, actor, laying edge=-1, number=-1)``
Begin = Callable[..., Awaited]


def beginner(env: Environment, clocks: list[WorkClock | None], trace: list[Step]) -> Begin:
    """Return `Site.begin`, which every step goes through: a closure, since looking names up would cost more than it."""
    timeout, record = env.timeout, trace.append

    def begin(kind: int, hours: float, because: Step, actor: int, edge: int = -1, number: int = -1) -> Awaited:
        now, clock = because[END], clocks[kind]
        if clock is None or (clock.open_from <= now and now + hours <= clock.open_to):
            delay = hours
        else:
            delay = clock.finish(now, hours) - now
        step = (now, now + delay, because, hours, kind, actor, edge, number)
        record(step)
        return timeout(delay, step)

    return begin


def beginner_on(clock: WorkClock, own: dict[int, WorkClock], env: Environment, trace: list[Step]) -> Begin:
    """Return what begins steps that go by a clock of their own, whatever their kind; it is noted in `own` which they are."""

    def begin(kind: int, hours: float, because: Step, actor: int, edge: int = -1, number: int = -1) -> Awaited:
        now = because[END]
        delay = clock.finish(now, hours) - now
        step = (now, now + delay, because, hours, kind, actor, edge, number)
        own[id(step)] = clock
        trace.append(step)
        return env.timeout(delay, step)

    return begin
