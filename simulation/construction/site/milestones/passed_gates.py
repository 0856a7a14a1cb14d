"""What opens once laying has come so far? Gates wait for rows, for a length of an area, or for a load, and fire once."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from simulation.construction.plan.steps import Step
from simulation.construction.site.edges.laying_edge import Area


class Gate:
    """Fires when so many laying edges have passed their row."""

    __slots__ = ("left", "then")

    def __init__(self, parts: int, then: Callable[[Step], None]) -> None:
        self.left, self.then = parts, then

    def pass_one(self, step: Step) -> None:
        """Count one laying edge; `step` is what it did last."""
        self.left -= 1
        if self.left == 0:
            self.then(step)


class PassedGates:
    """The gates of one run.

    Attributes
    ----------
    opened : dict of int to (int, int)
        Gate -> the rows of its area, from the low end, between which the length that it asks for came to lie.
    loads : int
        Loads that have been unloaded.
    """

    __slots__ = ("_by_load", "_gates", "loads", "opened")

    def __init__(self) -> None:
        self._gates: list[Gate] = []
        self._by_load: list[tuple[int, int]] = []
        self.opened: dict[int, tuple[int, int]] = {}
        self.loads = 0

    def add(self, gate: Gate) -> None:
        """Add the next gate of the plan."""
        self._gates.append(gate)

    def clear(self) -> None:
        """Let go of what gates would have begun."""
        self._gates.clear()

    def pass_on(self, gates: Iterable[int], step: Step) -> None:
        """Tell gates that one more of what they wait for has come."""
        for gate in gates:
            self._gates[gate].pass_one(step)

    def look_at_length(self, area: Area, step: Step) -> None:
        """Tell gates that wait for a length of an area without a gap, wherever it lies, what lies of it now."""
        rows = area.rows_laid
        while area.wanted and area.wanted[0][0] <= rows:
            _, gate = area.wanted.pop(0)
            self.opened[gate] = area.span()
            self._gates[gate].pass_one(step)

    def wait_for_load(self, load: int, gate: int, now: Step) -> None:
        """Let a gate wait for a load to be unloaded, counted as loads are; one that is passes it now."""
        if load <= self.loads:
            self._gates[gate].pass_one(now)
        else:
            self._by_load.append((load, gate))

    def count_load(self, step: Step) -> None:
        """Note that one more load has been unloaded."""
        self.loads += 1
        self.pass_on([gate for load, gate in self._by_load if load == self.loads], step)
