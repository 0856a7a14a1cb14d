"""What does a change do to the milestones that a question is not about? Their P80 under the same luck."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from simulation.stats.paired_difference import Difference, difference_of_quantiles
from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable


def change_milestones(
    names: Iterable[str], before: RunTable, after: RunTable, confidence: float = CONFIDENCE
) -> tuple[tuple[str, Difference], ...]:
    """Return by how many hours P80 of each milestone named comes later, over the runs that both tables have."""
    changes = []
    for name in names:
        first, second = (table[f"milestone.{name}"].tolist() for table in (before, after))
        count = min(len(first), len(second))
        changes.append((name, difference_of_quantiles(first[:count], second[:count], 0.8, confidence)))
    return tuple(changes)
