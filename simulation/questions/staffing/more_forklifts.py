"""What would one more forklift buy a team? The same runs with it, one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.staffing.verdicts import NAMED
from simulation.stats.group_sequential import look_confidences
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome

if TYPE_CHECKING:
    from simulation.questions.staffing.candidates import Candidate
    from simulation.replicate import Workshop
    from simulation.study.deadline import Deadline

#: Runs after which the two are held against each other; more only where these do not set them apart. Planning values.
LOOKS = (NAMED, 2 * NAMED)


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
) -> tuple[OneMore | None, str]:
    """Return what one more forklift changes for the team at a place, None before it has its runs; and why it was stopped."""
    from simulation.replicate import Alternatives
    from simulation.scenario import Change, vary

    scenario = candidates[index].scenario
    more = vary(scenario, [Change("forklifts.count", "+1")])
    both, found = Alternatives([scenario, more], workshop, seed), None
    for look, confidence in zip(LOOKS, look_confidences(LOOKS), strict=True):
        if not both.reach(look):
            break
        before, after = (
            summarise_outcome("", of, both.table(which, look), deadline) for which, of in enumerate((scenario, more))
        )
        found = OneMore(index, more.forklifts.count, before, after, against(before, after, confidence))
        if found.against.p80.measurable or before.hours == after.hours:
            break
    return found, both.stopped
