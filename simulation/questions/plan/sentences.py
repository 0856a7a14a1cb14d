"""The sentences on the best plan: what it is, what it buys, how sure that is, what binds, and what more of each thing buys."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL
from simulation.present.words.job_words import ready_word
from simulation.questions.plan.limits import count_what_it_takes, name_limit
from simulation.questions.plan.worded.certainty import how_sure
from simulation.questions.plan.worded.change_words import better, by_how_much, in_brackets, is_nothing, least, say_change, worse
from simulation.questions.plan.worded.other_milestones import milestone_lines
from simulation.questions.plan.worded.people_sentences import people_lines

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult, PlanRow


def plan_lines(result: PlanResult) -> list[str]:
    """Return the sentences around the headline."""
    return [
        *_chosen(result),
        *_as_written(result),
        *milestone_lines(result),
        how_sure(result),
        *_other_kinds(result),
        *_binds(result),
        *_prices(result),
        *people_lines(result),
    ]


def _chosen(result: PlanResult) -> list[str]:
    if result.is_as_written:
        return ["The plan as written is the best of those tried."]
    return [f"What is otherwise than written: {result.best.name}."]


def _as_written(result: PlanResult) -> list[str]:
    row = result.as_written
    if result.breaks:
        return [f"The plan as written breaks the limits: {'; '.join(map(str, result.breaks))}."]
    if row is None or row.change.value is None or row.identical:
        return []
    if row.change.measurable:
        way = worse(result) if row.change.value > 0 else better(result)
        return [f"The plan as written is {by_how_much(result, row.change.value)} {way} ({in_brackets(result, row.change)})."]
    if result.search.stopped:
        runs = wording.counted(row.runs, "run")
        return [f"Against the plan as written by {runs} of both: {in_brackets(result, row.change)}, too close to call."]
    return []


def _other_kinds(result: PlanResult) -> list[str]:
    rows = result.of("other kind")
    if not rows:
        return []
    said = "; ".join(f"{row.plan.against(result.best)} ({say_change(result, row)})" for row in rows)
    return [f"Plans of another kind, by what is otherwise than in the best plan: {said}."]


def buys(result: PlanResult, row: PlanRow) -> bool:
    """Whether more of a thing buys something that anybody would bring it for."""
    return row.is_better and not is_nothing(result, row.change)


def _binds(result: PlanResult) -> list[str]:
    """Return what holds the best plan back, and which limits it uses to the last one."""
    rows, lines = result.of("more"), []
    gains: dict[str, float] = {}
    for row in rows:
        if buys(result, row) and row.change.value is not None:
            gains[row.thing] = min(gains.get(row.thing, 0.0), row.change.value)
    free = list(dict.fromkeys(row.thing for row in rows if row.thing not in gains))
    worse = any(
        row.plan.people < result.best.people and row.change.measurable and not row.is_better for row in result.of("people")
    )
    fewer = " Fewer people do cost, see People." if worse and "people" in free else ""
    if rows:
        first = listed(sorted(gains, key=lambda thing: gains[thing])) if gains else "nothing that was tried by itself"
        lines.append(
            f"What binds: {first}.{f' More of {listed(free)} gains nothing measurable.{fewer}' if free and gains else ''}"
        )
    used = result.limits.used_up_by(result.best.scenario)
    if result.limits.any:
        has = count_what_it_takes(result.best.scenario)
        stated = [
            f"{name_limit(name, result.best.scenario)} {has[name]:,.10g} of {most:,.10g}"
            for name, most in vars(result.limits).items()
            if most is not None
        ]
        lines.append(f"Of the limits it takes {listed(stated)}{'' if used else '; none is used up'}.")
    if result.with_as_many:
        lines.append("No limit of people is given, so no plan has more than the plan as written; --people N says otherwise.")
    return lines


def _prices(result: PlanResult) -> list[str]:
    rows = result.of("more")
    if not rows:
        return []
    parts, small, nothing = [], [], []
    for row in rows:
        if buys(result, row) and row.change.value is not None:
            parts.append(f"{row.plan.name}: {by_how_much(result, row.change.value)} ({in_brackets(result, row.change)})")
        elif (
            row.change.measurable and row.change.value is not None and row.change.value > 0 and not is_nothing(result, row.change)
        ):
            parts.append(f"{row.plan.name}: {by_how_much(result, row.change.value)} {worse(result)}")
        elif row.is_better:
            small.append(row.plan.name)
        else:
            nothing.append(row.plan.name)
    if small:
        parts.append(f"{listed(small)}: less than {least(result)}")
    if nothing:
        parts.append(f"{listed(nothing)}: nothing measurable")
    return [f"What more would buy, all else as in the best plan: {'; '.join(parts)}."]


def warning_lines(result: PlanResult) -> list[str]:
    """Return what a reader must know before any number."""
    lines = []
    unfinished = sum(math.isinf(hours) for hours in result.outcome.hours)
    if unfinished:
        runs, done = wording.counted(unfinished, "run"), ready_word(result.outcome.scenario)
        lines.append(f"{runs} of the best plan not {done} by the last day simulated: counted as late.")
    if result.stopped:
        lines.append("Stopped early: the same command goes on from there.")
    return lines


def table_notes(result: PlanResult) -> list[str]:
    """Return what the table needs to be read."""
    above = (
        "Above zero is more likely than in the best plan."
        if result.objective.is_chance
        else "Above zero is later than the best plan."
    )
    looks = listed([f"{look:,}" for look in result.looks])
    around = (
        f"A change of the {result.objective.name} is read from all runs around it, so it may differ a little from that of two "
    )
    return [
        f"{above} Plans of another kind and of other people are named by what is otherwise than in it.",
        *([f"{around}forecasts (Harrell and Davis 1982)."] if result.objective.share is not None else []),
        f"In brackets: not measurable. {INTERVAL}s hold over all looks, after {looks} runs of both plans with the same draws; a "
        "row gets no more runs once its change is measurable and known to a half, or none that matters. Sampling error only.",
    ]
