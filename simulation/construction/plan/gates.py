"""What happens when so many laying edges have passed their row, and which rows of which laying edge are they?"""

from __future__ import annotations

from dataclasses import dataclass, field

from simulation.construction.plan.plan import GatePlan


@dataclass
class Gates:
    """The gates, and how many rows of which laying edge each waits for."""

    plans: list[GatePlan] = field(default_factory=list)
    after_row: dict[int, dict[int, tuple[int, ...]]] = field(default_factory=dict)
    after_check: dict[int, dict[int, tuple[int, ...]]] = field(default_factory=dict)

    def add(self, waits: list[tuple[int, int]], checked: bool, more: int = 0, **opens: int) -> int:
        """Add a gate that waits for the given (laying edge, rows laid) pairs and so many things more, and return its number."""
        number = len(self.plans)
        self.plans.append(GatePlan(len(waits) + more, **opens))
        marks = self.after_check if checked else self.after_row
        for edge, rows in waits:
            of_edge = marks.setdefault(edge, {})
            of_edge[rows] = (*of_edge.get(rows, ()), number)
        return number
