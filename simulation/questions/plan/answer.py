"""Make the best plan an answer: sentences, what stands beside it, people against what is made best, and a record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.record_shapes import (
    ANSWER_UNITS,
    change_record,
    other_milestones_record,
    outcome_record,
    share_change_record,
)
from simulation.present.renderers.record import study_record
from simulation.present.words.change_format import INTERVAL
from simulation.present.words.job_words import cautions_of
from simulation.questions.plan.picture import describe_frontier, draw_frontier
from simulation.questions.plan.sentences import buys, plan_lines, table_notes, warning_lines
from simulation.questions.plan.worded.change_words import plan_format, turn
from simulation.questions.plan.worded.headline import describe_plan, plan_headline
from simulation.questions.plan.worded.people_sentences import frontier_title
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult, PlanRow

#: Rows of the short form.
MOST = 8
#: What a kind of row is called in the table.
_KINDS = {"as written": "", "other kind": "another kind: ", "more": "more: ", "people": "people: "}


def plan_answer(result: PlanResult) -> Answer:
    """Return the answer to which plan is the best."""
    scenario = result.outcome.scenario
    return Answer(
        question="plan",
        title=scenario.title,
        about=f"which plan is the best; {len(result.outcome.hours):,} runs of the best plan, seed {result.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}",
        headline=plan_headline(result),
        lines=tuple(plan_lines(result)),
        warnings=tuple(warning_lines(result)),
        pages=(Page("plan", "The best plan", (_table(result), frontier_part(result))),),
        record=_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
        cautions=cautions_of(scenario),
    )


def frontier_part(result: PlanResult) -> Part:
    """Return the picture of people against what is made best."""
    figure = Figure("plan", frontier_title(result), partial(draw_frontier, result), partial(describe_frontier, result))
    return Part(f"People on site against the {result.objective.name}", (figure,))


def _table(result: PlanResult) -> Part:
    written = plan_format(result)
    rows: list[tuple[str, ...]] = [("best plan", f"{result.best.people:,}", "reference", "", f"{len(result.outcome.hours):,}")]
    for row in result.rows:
        change = turn(result, row.change)
        rows.append((_name(result, row), f"{row.plan.people:,}", *written.cells(change, row.identical), f"{row.runs:,}"))
    title = f"Beside the best plan: change of the {result.objective.name}, in {written.name}"
    columns = ("plan", "people", "change", INTERVAL, "runs")
    return Part(title, (Table(title, columns, tuple(rows), notes=tuple(table_notes(result)), short=MOST),), short=True)


def _name(result: PlanResult, row: PlanRow) -> str:
    return "as written" if row.kind == "as written" else f"{_KINDS[row.kind]}{row.plan.against(result.best)}"


def _record(result: PlanResult) -> dict[str, Any]:
    search, objective = result.search, result.objective
    return {
        "units": ANSWER_UNITS,
        "runs": len(result.outcome.hours),
        "best": {
            "name": result.best.name,
            "words": describe_plan(result.best),
            "changes": [str(change) for change in result.best.changes],
            "people_on_site": result.best.people,
            "outcome": outcome_record(result.outcome),
        },
        "objective": {
            "milestone": objective.milestone,
            "goal": objective.goal,
            "deadline": None if objective.deadline is None else objective.deadline.text,
            **({"share": 1.0 - result.value} if objective.is_chance else {"days": result.value / 24.0}),
        },
        "limits": dict(vars(result.limits)),
        "search": {
            "combinations": result.size,
            "outside_limits": result.outside,
            "unsound": result.unsound,
            "joined": result.joined,
            "too_late_by_hand": search.bounded,
            "tried": len(search.tried),
            "whole_space": search.whole,
            "sure": search.sure,
            "may_be_best": len(search.left),
            "runs_in_all": search.done,
        },
        "beside": [
            {
                "kind": row.kind,
                "more_of": row.thing or None,
                "buys": buys(result, row) if row.kind == "more" else None,
                "name": row.plan.name,
                "people_on_site": row.plan.people,
                "changes": [str(change) for change in row.plan.changes],
                "runs": row.runs,
                "change": share_change_record(turn(result, row.change)) if objective.is_chance else change_record(row.change),
                "is": row.effect.value,
            }
            for row in result.rows
        ],
        "other_milestones": other_milestones_record(result.others),
        "knee_people": result.knee,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }
