"""SimPy's environment with a loop of its own: what happens is SimPy's to the bit, what it costs is not.

A run is mostly steps: a process begins one, waits for its end, and nobody else looks at it. So a process yields the step itself
and goes on at its end, with the step as value: ``(when, turn, who goes on, value)`` stands in the queue, without an event and a
list of callbacks. An event that one process waits for needs no list either, and who goes to sleep again and again yields its own
`Alarm`, no event at all. Processes are SimPy's generators; timeouts,
conditions, and events with callbacks are SimPy's own.

What a process may not do here: begin to wait for an event that is triggered and not yet processed; or be waited for.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from functools import partial
from heapq import heappop, heappush, heappushpop
from typing import TYPE_CHECKING, Any, Final

import simpy
from simpy.core import BoundClass, StopSimulation
from simpy.events import NORMAL, PENDING

from simulation.construction.plan.steps import END, Step

GoOn = Callable[[Any], Any]
#: What an actor does, or a part of it: it yields steps and events, and goes on with what each of them is at its end.
Process = Generator[Any, Any, Any]

#: What begins a process comes before all else of its moment, as SimPy has it.
_AT_ONCE: Final = -(1 << 62)


class Event(simpy.Event):
    """An event that one process waits for, as a rule."""

    def __init__(self, env: simpy.Environment) -> None:
        # What SimPy leaves to the class until it happens stands in the event itself: it is looked up faster there.
        self.env, self.callbacks, self._value = env, [], PENDING
        self._who: GoOn | None = None

    def succeed(self, value: Any = None) -> Event:
        """Let who waits go on with a value."""
        if self._value is not PENDING:
            raise RuntimeError(f"{self} has already been triggered")
        self._ok, self._value = True, value
        env: Any = self.env
        if self.callbacks:
            if self._who is not None:
                self.callbacks.insert(0, partial(env._go_on, self._who))
            env.schedule(self)
        else:
            self.callbacks: Any = None
            if self._who is not None:
                heappush(env._queue, (env._now, next(env._eid), self._who, value))
        return self


class Alarm:
    """What wakes a process as often as it goes to sleep by yielding it; an event happens once, and costs as much as a step."""

    __slots__ = ("_env", "who")

    def __init__(self, env: simpy.Environment) -> None:
        self._env: Any = env
        self.who: GoOn = _nobody

    def ring(self, value: Any) -> None:
        """Let the process that sleeps go on with a value."""
        env = self._env
        heappush(env._queue, (env._now, next(env._eid), self.who, value))


class Environment(simpy.Environment):
    """The environment of one run; of what happens at one moment comes first what was scheduled first, as in SimPy."""

    _queue: list[Any]

    if TYPE_CHECKING:

        def event(self) -> Event:
            """Return a new event."""

    else:
        event = BoundClass(Event)

    def alarm(self) -> Alarm:
        """Return a new alarm."""
        return Alarm(self)

    def schedule(self, event: simpy.Event, priority: int = NORMAL, delay: float = 0.0) -> None:
        """Let an event happen after a delay."""
        turn = next(self._eid) + (0 if priority == NORMAL else _AT_ONCE)
        heappush(self._queue, (self._now + delay, turn, _happen, event))

    def process(self, generator: Process) -> Any:
        """Let a process begin now."""
        heappush(self._queue, (self._now, next(self._eid) + _AT_ONCE, generator.send, None))

    def run(self, until: Any = None) -> Any:
        """Let things happen until an event does, or nothing is left."""
        if until is not None:
            if until.callbacks is None:
                return until.value
            until.callbacks.append(StopSimulation.callback)
        queue, turns = self._queue, self._eid
        try:
            happens = heappop(queue) if queue else None
            while happens:
                self._now, _, who, value = happens
                try:
                    awaited = who(value)
                except StopIteration:
                    awaited = None
                if type(awaited) is tuple:
                    happens = heappushpop(queue, (awaited[END], next(turns), who, awaited))
                    continue
                if type(awaited) is Alarm:
                    awaited.who = who
                elif type(awaited) is Event and awaited._value is PENDING and not awaited.callbacks and awaited._who is None:
                    awaited._who = who
                elif awaited is not None:
                    self._wait(who, awaited)
                happens = heappop(queue) if queue else None
        except StopSimulation as stop:
            return stop.args[0]

    def _wait(self, who: GoOn, awaited: Step | Alarm | simpy.Event) -> None:
        """Let a process wait for what it yielded; what has happened already lets it go on."""
        while not isinstance(awaited, tuple):
            if isinstance(awaited, Alarm):
                awaited.who = who
                return
            if awaited.callbacks is not None:
                awaited.callbacks.append(partial(self._go_on, who))
                return
            try:
                awaited = who(awaited._value)
            except StopIteration:
                return
        heappush(self._queue, (awaited[END], next(self._eid), who, awaited))

    def _go_on(self, who: GoOn, event: simpy.Event) -> None:
        try:
            self._wait(who, who(event._value))
        except StopIteration:
            return


def _nobody(value: Any) -> None:
    """Stand where no process sleeps."""
    raise AssertionError("nobody sleeps")


def _happen(event: Any) -> None:
    """Let all who wait for an event know."""
    callbacks, event.callbacks = event.callbacks, None
    for callback in callbacks:
        callback(event)
