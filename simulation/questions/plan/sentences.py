"""The sentences on the best plan: what it is, what it buys, how sure that is, and what would buy more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import change_format
from simulation.present.words.trial_words import deny_effect
from simulation.questions.plan.search import CONFIDENCE
from simulation.study.calendar import make_calendar
from simulation.study.default_plans import STARTS

if TYPE_CHECKING:
    from simulation.questions.plan.space import ChosenPlan
    from simulation.questions.plan.study import PlanResult, PlanRow


def plan_headline(result: PlanResult) -> str:
    """Return the answer in one sentence that a commander repeats."""
    p80 = result.outcome.p80.value
    when = make_calendar(result.outcome.scenario).day_and_shift(p80).day if p80 < result.outcome.scenario.horizon else "later"
    gain = ""
    if result.as_written is not None:
        change = result.as_written.against.p80
        if change.value is not None and change.measurable and change.value > 0:
            gain = f", {change_format(result.outcome).of(change.value)} earlier than the plan as written"
        elif change.value is not None:
            gain = f"; against the plan as written {deny_effect([result.as_written])}"
    within = " within the limits" if any(vars(result.limits).values()) else ""
    return f"Best plan{within}: {describe_plan(result.best)}. 80 % date {when} ({wording.days(p80)} days){gain}."


def describe_plan(plan: ChosenPlan) -> str:
    """Return a plan in words: crews and their people, start of the first area, forklifts, people on site."""
    scenario = plan.scenario
    crews = listed([f"{crew.name} {crew.people}" for crew in scenario.crew])
    first, forklifts = scenario.area[0], scenario.forklifts.count
    return (
        f"crews {crews}; {first.name} {STARTS[first.start]}; {forklifts} forklift{'' if forklifts == 1 else 's'}; "
        f"{plan.people:,} people on site"
    )


def plan_lines(result: PlanResult) -> list[str]:
    """Return the sentences around the headline."""
    return [*_chosen(result), *_as_written(result), _how_sure(result), *_fewer_people(result), *_more(result)]


def _chosen(result: PlanResult) -> list[str]:
    if not result.best.changes:
        return ["The plan as written is the best of those tried."]
    return [f"What is otherwise than written: {result.best.name}."]


def _as_written(result: PlanResult) -> list[str]:
    row = result.as_written
    if row is None or row.against.p80.value is None or not row.against.p80.measurable:
        return []
    written = change_format(result.outcome)
    return [f"The plan as written is {written.of(row.against.p80.value)} later ({written.in_brackets(row.against.p80)})."]


def _how_sure(result: PlanResult) -> str:
    search = result.search
    tried = f"{wording.counted(len(search.tried), 'plan')} of {wording.counted(result.size, 'combination')}"
    of = "of all that may be chosen" if search.whole else "of those tried, which a search proposed"
    outside = f"; {result.outside:,} outside the limits and never simulated" if result.outside else ""
    line = f"Tried: {tried}{outside}; {search.done:,} runs in all."
    if search.sure:
        near = f"or within half a shift ({result.margin:.3g} hours) of the best"
        return f"{line} With {100 * CONFIDENCE:.0f} % confidence it is the best {of}, {near}."
    why = f" ({search.stopped})" if search.stopped else ""
    known = f"another may be up to {search.ahead:.0f} hours better" if search.ahead < float("inf") else "no plan is dropped yet"
    front = f"it is in front after {search.runs:,} runs of each of {len(search.left)} that may be the best"
    return f"{line} Not settled{why}: {front}; {known}."


def _fewer_people(result: PlanResult) -> list[str]:
    row = result.with_fewer_people
    if row is None:
        return []
    return [f"As quick with {row.trial.people:,} people in the place of {result.best.people:,}: {row.trial.name}."]


def _more(result: PlanResult) -> list[str]:
    written, lines = change_format(result.outcome), []
    for row in result.of("more"):
        change = row.against.p80
        if change.value is None:
            continue
        if row.identical:
            lines.append(f"{row.trial.name}: no run changes.")
        elif change.measurable:
            way = "earlier" if change.value < 0 else "later"
            lines.append(f"{row.trial.name}: {written.of(change.value)} {way} ({written.in_brackets(change, turned=True)}).")
        else:
            lines.append(f"{row.trial.name}: {deny_effect([row])}.")
    return [f"What more would buy: {' '.join(lines)}"] if lines else []


def warning_lines(result: PlanResult) -> list[str]:
    """Return what a reader must know before any number."""
    lines = []
    if result.unfinished:
        lines.append(
            f"{wording.counted(result.unfinished, 'run')} of the best plan not ready by the last day simulated: counted as late."
        )
    if result.stopped:
        lines.append("Stopped early: the same command goes on from there.")
    return lines


def name_row(row: PlanRow, kind: str) -> str:
    """Return what a row is called in a table."""
    return "as written" if kind == "as written" else f"{kind}: {row.trial.name}" if kind == "more" else row.trial.name
