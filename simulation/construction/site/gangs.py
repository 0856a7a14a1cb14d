"""Who does tasks: people of a gang, or of a crew that lends them; the next task is that which could be begun first."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from typing import Any

import simpy

from simulation.construction.plan.steps import Step


class Gang:
    """The people of one gang.

    Attributes
    ----------
    free : int
        People who are there and at no task.
    lends : callable
        Told how many more, or fewer, are at tasks, and the step because of which; for a crew that lends them.
    """

    __slots__ = ("_env", "_waiting", "free", "lends")

    def __init__(self, env: simpy.Environment, people: int) -> None:
        self._env, self.free = env, people
        self._waiting: deque[tuple[int, Any]] = deque()
        self.lends: Callable[[int, Step], None] | None = None

    def lacks(self, people: int) -> bool:
        """Return whether a task that takes so many must wait: others wait before it, or fewer are free."""
        return bool(self._waiting) or self.free < people

    def take(self, people: int, because: Step) -> Step:
        """Put people who are free to work."""
        self.free -= people
        if self.lends is not None:
            self.lends(people, because)
        return because

    def come(self, people: int) -> Any:
        """Return the event with which they come to a task: its value is the step that let them."""
        event = self._env.event()
        self._waiting.append((people, event))
        return event

    def give_back(self, people: int, step: Step) -> None:
        """Let people go on to the next task that they are enough for, or be free; `step` is what they did last."""
        self.free += people
        if self.lends is not None:
            self.lends(-people, step)
        self.go_on(step)

    def go_on(self, step: Step) -> None:
        """Begin the tasks that wait for people, as far as those who are free are enough."""
        while self._waiting and self._waiting[0][0] <= self.free:
            needed, event = self._waiting.popleft()
            event.succeed(self.take(needed, step))
