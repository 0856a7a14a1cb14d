"""The sentences on what a plan does beside what is made best: to the other milestones, and by which further changes."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.present.words.change_format import change_format
from simulation.study.changes.default_plans import STARTS

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult
    from simulation.questions.plan.space import ChosenPlan


def say_later(result: PlanResult) -> str:
    """Return which other milestones the best plan puts off, measurably, for the end of the headline."""
    written = change_format(result.outcome)
    later = [(name, change.value) for name, change in result.others if change.measurable and (change.value or 0.0) > 0]
    return "".join(f"; {name} {written.of(value or 0.0)} later" for name, value in later)


def count_more_changes(best: ChosenPlan) -> str:
    """Return how many changes of the file a plan's description does not name, for the headline."""
    first = best.scenario.area[0]
    named = re.compile(
        rf"{re.escape(first.name)} {re.escape(STARTS[first.start])}|\d+ forklifts?|\d* ?crews? .*|\w+ the direction .*"
    )
    more = sum(1 for words in best.words if words and not named.fullmatch(words))
    return f"; and {wording.counted(more, 'more change')}, named in the text" if more else ""


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
