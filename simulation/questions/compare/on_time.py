"""Which plan is most often ready by the deadline, and which are as good? By what the same runs say of them, pair by pair."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.stats.paired_difference import FEWEST
from simulation.study.outcomes import chance_against

if TYPE_CHECKING:
    from simulation.questions.compare.row import CompareRow


def find_most_often(plans: Sequence[CompareRow], reference: int) -> int | None:
    """Return the plan with the best chance of the deadline; None without a deadline.

    It is one of those measurably more often on time than the reference in the same runs, of several as good the one with the
    fewest people; where there are none, the reference. Chances themselves are not compared: that of the reference may be read
    from more runs than those of the others.
    """
    if plans[reference].outcome.chance is None:
        return None
    better = _more_often(plans)
    people = [row.outcome.people for row in plans]
    return max(better, key=lambda index: (_gain(plans[index]), -people[index]), default=reference)


def find_as_often(plans: Sequence[CompareRow], reference: int) -> tuple[int, ...]:
    """Return the other plans that are as good by the deadline as the one most often on time.

    Beside the reference, those with the same chance in the same runs. Beside another plan, those that are measurably better
    than the reference too, and that the runs cannot tell from it.
    """
    best = find_most_often(plans, reference)
    if best is None:
        return ()
    if best == reference:
        return tuple(index for index, row in enumerate(plans) if index != best and row.against.chance.value == 0.0)
    first = plans[best].outcome
    others = (index for index in _more_often(plans) if index != best)
    return tuple(index for index in others if not chance_against(first, plans[index].outcome).measurable)


def _more_often(plans: Sequence[CompareRow]) -> list[int]:
    """Return the plans that are measurably more often on time than the reference."""
    return [
        index
        for index, row in enumerate(plans)
        if row.against.chance.measurable and _gain(row) > 0.0 and len(row.outcome.hours) >= FEWEST
    ]


def _gain(row: CompareRow) -> float:
    return row.against.chance.value or 0.0
