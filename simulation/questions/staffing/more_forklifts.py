"""What would one more forklift buy a team? The same runs with it, one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.staffing.verdicts import FIRST
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome

if TYPE_CHECKING:
    from simulation.questions.staffing.candidates import Candidate
    from simulation.replicate import Workshop
    from simulation.study.deadline import Deadline


@dataclass(frozen=True)
class OneMore:
    """A team with one more forklift.

    Attributes
    ----------
    index : int
        Which of the teams in question.
    forklifts : int
        With the one more.
    before, after : Outcome
        Of the same runs.
    against : Against
        What it changes.
    """

    index: int
    forklifts: int
    before: Outcome
    after: Outcome
    against: Against


def one_more_forklift(
    candidates: Sequence[Candidate], index: int, deadline: Deadline, workshop: Workshop, seed: int
) -> OneMore | None:
    """Return what one more forklift changes for the team at a place; None where it was stopped before it had its runs."""
    from simulation.replicate import Alternatives
    from simulation.scenario import Change, vary

    scenario = candidates[index].scenario
    more = vary(scenario, [Change("forklifts.count", "+1")])
    both = Alternatives([scenario, more], workshop, seed)
    if not both.reach(2 * FIRST):
        return None
    before, after = (
        summarise_outcome("", scenario, both.table(which, 2 * FIRST), deadline) for which, scenario in enumerate((scenario, more))
    )
    return OneMore(index, more.forklifts.count, before, after, against(before, after))
