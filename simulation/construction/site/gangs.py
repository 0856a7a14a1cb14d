"""Who does tasks: a gang is at one task at a time, and the next one is that which could be begun first."""

from __future__ import annotations

from collections import deque
from typing import Any

import simpy

from simulation.construction.plan.steps import Step


class Gang:
    """One gang.

    Attributes
    ----------
    busy : bool
        Whether it is at a task, or not there yet.
    """

    __slots__ = ("_env", "_waiting", "busy")

    def __init__(self, env: simpy.Environment) -> None:
        self._env, self.busy = env, False
        self._waiting: deque[Any] = deque()

    def take(self, because: Step) -> Step:
        """Put a gang that is free to work."""
        self.busy = True
        return because

    def come(self) -> Any:
        """Return the event with which it comes to a task: its value is the step that it has done before."""
        event = self._env.event()
        self._waiting.append(event)
        return event

    def free(self, step: Step) -> None:
        """Let it go on to the next task, or be free; `step` is what it did last."""
        self.busy = bool(self._waiting)
        if self._waiting:
            self._waiting.popleft().succeed(step)
