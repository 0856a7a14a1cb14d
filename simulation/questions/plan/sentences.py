"""The sentences on the best plan: what it is, what it buys, how sure that is, what binds, and what more of each thing buys."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL, whole
from simulation.questions.plan.certainty import by_how_much, half, how_sure, plan_format
from simulation.questions.plan.limits import count_what_it_takes, name_limit
from simulation.questions.plan.other_milestones import count_more_changes, milestone_lines, say_later
from simulation.stats.group_sequential import Effect
from simulation.study.calendar import make_calendar
from simulation.study.changes.default_plans import STARTS

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult, PlanRow
    from simulation.questions.plan.space import ChosenPlan
    from simulation.stats.paired_difference import Difference


def plan_headline(result: PlanResult) -> str:
    """Return the answer in one sentence that a commander repeats."""
    gain, row = "", result.as_written
    if row is not None and row.change.value is not None:
        plain = " than the plan as written"
        if row.change.measurable and row.change.value > 0 and not _is_nothing(result, row.change):
            gain = f", {by_how_much(result, row.change.value)} {_better(result)}{plain}"
        elif row.effect is Effect.NO_MATTER or row.identical or (row.change.measurable and _is_nothing(result, row.change)):
            gain = "; no gain that matters over the plan as written"
        else:
            gain = "; against the plan as written too close to call"
    within = " within the limits" if result.limits.any else ""
    if result.with_as_many:
        within = " with no more people than written"
    which = f"Best plan{' found so far' if result.search.spent else ''}{within}"
    which = "In front when stopped, not settled" if result.search.stopped else which
    text = (
        f"{which}: {describe_plan(result.best)}{count_more_changes(result.best)}. {wording.capitalised(say_value(result))}{gain}"
    )
    return f"{text}{say_later(result)}."


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


def _better(result: PlanResult) -> str:
    return "more likely" if result.objective.is_chance else "earlier"


def _worse(result: PlanResult) -> str:
    return "less likely" if result.objective.is_chance else "later"


def turn(result: PlanResult, change: Difference) -> Difference:
    """Return a change as a reader has it: of a chance, above zero is more likely; of a date, later."""
    return -change if result.objective.is_chance else change


def _in_brackets(result: PlanResult, change: Difference) -> str:
    return plan_format(result).in_brackets(change, turned=True)


def _is_nothing(result: PlanResult, change: Difference) -> bool:
    """Whether a change is less than the last digit that is told: nobody does anything for it."""
    written = plan_format(result)
    return change.value is not None and abs(change.value) < written.size * 10.0**-written.places


def _least(result: PlanResult) -> str:
    """Return the last digit that is told of a change, such as ``0.1 days``."""
    written = plan_format(result)
    return written.of(written.size * 10.0**-written.places)


def describe_plan(plan: ChosenPlan) -> str:
    """Return a plan in words: crews and their people, start of the first area or direction, forklifts, people on site."""
    scenario = plan.scenario
    crews = listed([f"{crew.name} {crew.people}" for crew in scenario.crew])
    first, forklifts = scenario.area[0], scenario.forklifts.count
    way = f"{first.name} {STARTS[first.start]}"
    if scenario.takes_up:
        way = f"{scenario.take_up.direction} the direction of assembly"
    return (
        f"crew{'s' if len(scenario.crew) > 1 else ''} {crews}; {way}; "
        f"{forklifts} forklift{'' if forklifts == 1 else 's'}; {plan.people:,} people on site"
    )


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
        *_frontier(result),
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
        way = _worse(result) if row.change.value > 0 else _better(result)
        return [f"The plan as written is {by_how_much(result, row.change.value)} {way} ({_in_brackets(result, row.change)})."]
    if result.search.stopped:
        runs = wording.counted(row.runs, "run")
        return [f"Against the plan as written by {runs} of both: {_in_brackets(result, row.change)}, too close to call."]
    return []


def _other_kinds(result: PlanResult) -> list[str]:
    rows = result.of("other kind")
    if not rows:
        return []
    said = "; ".join(f"{row.plan.against(result.best)} ({_say_change(result, row)})" for row in rows)
    return [f"Plans of another kind, by what is otherwise than in the best plan: {said}."]


def _say_change(result: PlanResult, row: PlanRow) -> str:
    change = row.change
    if row.identical:
        return "no run changes"
    if change.value is None:
        return "after the last day simulated"
    if change.measurable and not _is_nothing(result, change):
        way = _worse(result) if change.value > 0 else _better(result)
        return f"{by_how_much(result, change.value)} {way}, {_in_brackets(result, change)}"
    if row.effect is Effect.NO_MATTER or change.measurable:
        return "no difference that matters"
    return "too close to call"


def buys(result: PlanResult, row: PlanRow) -> bool:
    """Whether more of a thing buys something that anybody would bring it for."""
    return row.is_better and not _is_nothing(result, row.change)


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
            parts.append(f"{row.plan.name}: {by_how_much(result, row.change.value)} ({_in_brackets(result, row.change)})")
        elif (
            row.change.measurable
            and row.change.value is not None
            and row.change.value > 0
            and not _is_nothing(result, row.change)
        ):
            parts.append(f"{row.plan.name}: {by_how_much(result, row.change.value)} {_worse(result)}")
        elif row.is_better:
            small.append(row.plan.name)
        else:
            nothing.append(row.plan.name)
    if small:
        parts.append(f"{listed(small)}: less than {_least(result)}")
    if nothing:
        parts.append(f"{listed(nothing)}: nothing measurable")
    return [f"What more would buy, all else as in the best plan: {'; '.join(parts)}."]


def _frontier(result: PlanResult) -> list[str]:
    points = result.frontier
    if len(points) < 2:
        return []
    if result.knee is None:
        if result.enough == points[0][0]:
            return [f"People: even {result.enough:,}, the fewest tried, cost no more than {half(result)}."]
        fewer = [row for row in result.of("people") if row.plan.people < result.enough]
        said = listed([f"with {row.plan.people:,} {_say_change(result, row)}" for row in sorted(fewer, key=_count_people)])
        return [f"People: these runs show no knee; {said}."]
    if result.knee == result.best.people:
        return [f"People: the knee is at {result.knee:,}, the best plan itself; fewer cost more than {half(result)}."]
    knee = next(row for row in result.of("people") if row.plan.people == result.knee)
    way = _say_change(result, knee)
    return [
        f"People: the knee is at {result.knee:,} ({way}: {knee.plan.against(result.best)}); fewer cost more than {half(result)}."
    ]


def _count_people(row: PlanRow) -> int:
    return -row.plan.people


def warning_lines(result: PlanResult) -> list[str]:
    """Return what a reader must know before any number."""
    lines = []
    unfinished = sum(math.isinf(hours) for hours in result.outcome.hours)
    if unfinished:
        lines.append(
            f"{wording.counted(unfinished, 'run')} of the best plan not ready by the last day simulated: counted as late."
        )
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
