"""The best plan in one sentence that a commander repeats: with all that there is room for, then with counts for lists."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import change_format, whole
from simulation.questions.plan.worded.change_words import better, by_how_much, is_nothing
from simulation.stats.group_sequential import Effect
from simulation.study.calendar import make_calendar
from simulation.study.changes.default_plans import STARTS

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult
    from simulation.questions.plan.space import ChosenPlan

#: Letters of a headline at the most. The house's value: what a commander repeats.
LONGEST = 200
#: How what is changed of the packing begins (`usual_choices`).
_PACKING = ("half mats ", "supply.half_mats=")


def plan_headline(result: PlanResult) -> str:
    """Return the answer in one sentence: the fullest of its forms that is not too long to repeat, else the shortest."""
    which, comes_to = _say_which(result), f"{say_value(result)}{_say_gain(result)}"
    plans = (f"{describe_plan(result.best)}{_count_more_changes(result.best)}", *_describe_shortly(result.best))
    forms = [f"{which}: {plan}. {wording.capitalised(comes_to)}{later}." for plan in plans for later in _say_later(result)]
    return next((form for form in forms if len(form) <= LONGEST), forms[-1])


def _say_which(result: PlanResult) -> str:
    if result.search.stopped:
        return "In front when stopped, not settled"
    within = " within the limits" if result.limits.any else ""
    if result.with_as_many:
        within = " with no more people"
    return f"Best plan{' so far' if result.search.spent else ''}{within}"


def _say_gain(result: PlanResult) -> str:
    row = result.as_written
    if row is None or row.change.value is None:
        return ""
    if row.is_worse and not is_nothing(result, row.change):
        return f", {by_how_much(result, row.change.value)} {better(result)} than as written"
    if row.effect is Effect.NO_MATTER or row.identical or (row.change.measurable and is_nothing(result, row.change)):
        return "; no gain that matters over as written"
    return "; too close to call against as written"


def say_value(result: PlanResult) -> str:
    """Return what the best plan comes to in what is made best."""
    objective, horizon = result.objective, result.outcome.scenario.horizon
    of = "" if _is_ready(result) else f" of {objective.milestone}"
    if objective.is_chance:
        return f"{objective.name}{of} {whole(1.0 - result.value)}"
    if result.value >= horizon:
        return f"{objective.name}{of} after the last day simulated"
    day = make_calendar(result.outcome.scenario).day_and_shift(result.value).day_alone
    return f"{objective.name}{of} {day} ({wording.days(result.value)} days)"


def _is_ready(result: PlanResult) -> bool:
    return any(each.ready and each.name == result.objective.milestone for each in result.outcome.scenario.milestones)


def describe_plan(plan: ChosenPlan) -> str:
    """Return a plan in words: crews and their people, start of the first area or direction, packing if that is changed,
    forklifts, people on site.
    """
    crews = listed([f"{crew.name} {crew.people}" for crew in plan.scenario.crew])
    return f"crew{'s' if len(plan.scenario.crew) > 1 else ''} {crews}; {_say_way(plan)}; {_say_packing(plan)}{_count_means(plan)}"


def _describe_shortly(plan: ChosenPlan) -> tuple[str, str]:
    """Return the same with its crews counted and the rest left to the text, and then forklifts and people alone."""
    crews, counts = wording.counted(len(plan.scenario.crew), "crew"), _count_means(plan)
    return f"{crews}; {_say_way(plan)}; {_say_packing(plan)}{counts}; more in the text", counts


def _say_way(plan: ChosenPlan) -> str:
    scenario, first = plan.scenario, plan.scenario.area[0]
    if scenario.takes_up:
        return f"{scenario.take_up.direction} the direction of assembly"
    return f"{first.name} {STARTS[first.start]}"


def _say_packing(plan: ChosenPlan) -> str:
    packed = any(words.startswith(_PACKING) for words in plan.words)
    return f"half mats {plan.scenario.supply.half_mats}; " if packed else ""


def _count_means(plan: ChosenPlan) -> str:
    return f"{wording.counted(plan.scenario.forklifts.count, 'forklift')}; {plan.people:,} people on site"


def _count_more_changes(best: ChosenPlan) -> str:
    """Return how many changes of the file a plan's description does not name."""
    first = best.scenario.area[0]
    named = re.compile(
        rf"{re.escape(first.name)} {re.escape(STARTS[first.start])}|\d+ forklifts?|\d* ?crews? .*|\w+ the direction .*"
        rf"|crew\..*\.people=.*|(people|forklifts\.count|take_up\.direction)=.*|({'|'.join(map(re.escape, _PACKING))}).*"
    )
    more = sum(1 for words in best.words if words and not named.fullmatch(words))
    return f"; {wording.counted(more, 'more change')}" if more else ""


def _say_later(result: PlanResult) -> list[str]:
    """Return which other milestones the best plan puts off, measurably: each by how much, then how many."""
    written = change_format(result.outcome)
    later = [(name, change.value) for name, change in result.others if change.measurable and (change.value or 0.0) > 0]
    if not later:
        return [""]
    each = "".join(f"; {name} {written.of(value or 0.0)} later" for name, value in later)
    return [each, f"; {wording.counted(len(later), 'other milestone')} later"]
