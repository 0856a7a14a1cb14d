"""The sentence on what the best plan does to the milestones that it is not the best in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.words.change_format import change_format

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult


def milestone_lines(result: PlanResult) -> list[str]:
    """Return what the best plan does to the milestones that it is not the best in."""
    written, said = change_format(result.outcome), []
    for name, change in result.others:
        if change.value is None:
            said.append(f"{name} after the last day simulated in one of the two")
        elif change.measurable:
            way = "later" if change.value > 0 else "earlier"
            said.append(f"{name} {written.of(change.value)} {way} ({written.in_brackets(change, turned=True)})")
        else:
            said.append(f"{name} too close to call ({written.ends(change, 'later', 'earlier')})")
    return [f"Other milestones at P80, against the plan as written: {'; '.join(said)}."] if said else []
