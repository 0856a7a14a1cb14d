"""Make the best plan an answer: sentences, what stands beside it, people against the 80 % date, and a record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.record_shapes import trial_record, trials_record
from simulation.present.renderers.record import study_record
from simulation.present.words.change_format import INTERVAL, change_format
from simulation.present.words.trial_words import count_runs, p80_notes
from simulation.questions.plan.picture import describe_frontier, draw_frontier
from simulation.questions.plan.sentences import describe_plan, name_row, plan_headline, plan_lines, warning_lines
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.plan.study import PlanResult

#: Rows of the short form.
MOST = 8


def plan_answer(result: PlanResult) -> Answer:
    """Return the answer to which plan is the best."""
    scenario, headline = result.outcome.scenario, plan_headline(result)
    figure = Figure("plan", headline, partial(draw_frontier, result), partial(describe_frontier, result))
    return Answer(
        question="plan",
        title=scenario.title,
        about=f"which plan is the best; {count_runs(result)}, seed {result.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}",
        headline=headline,
        lines=tuple(plan_lines(result)),
        warnings=tuple(warning_lines(result)),
        pages=(Page("plan", "The best plan", (*_parts(result), Part("People on site against the 80 % date", (figure,)))),),
        record=_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
    )


def _parts(result: PlanResult) -> tuple[Part, ...]:
    written = change_format(result.outcome)
    rows: list[tuple[str, ...]] = [("best plan", f"{result.best.people:,}", "reference", "")]
    for row, kind in zip(result.rows, result.kinds, strict=False):
        rows.append((name_row(row, kind), f"{row.trial.people:,}", *written.cells(row.against.p80, row.identical)))
    title = f"Beside the best plan: change of the 80 % date, in {written.name}"
    columns = ("plan", "people", "change", INTERVAL)
    notes = ("Above zero is later than the best plan.", *p80_notes(result, written))
    return (Part(title, (Table(title, columns, tuple(rows), notes=notes, short=MOST),), short=True),)


def _record(result: PlanResult) -> dict[str, Any]:
    search = result.search
    return {
        **trials_record(result),
        "best": {
            "name": result.best.name,
            "words": describe_plan(result.best),
            "changes": [str(change) for change in result.best.changes],
            "people_on_site": result.best.people,
        },
        "limits": dict(vars(result.limits)),
        "search": {
            "combinations": result.size,
            "outside_limits": result.outside,
            "unsound": result.unsound,
            "tried": len(search.tried),
            "whole_space": search.whole,
            "sure": search.sure,
            "may_be_best": len(search.left),
            "runs_in_all": search.done,
        },
        "beside": [
            {"kind": kind, "name": row.trial.name, "people_on_site": row.trial.people, **trial_record(row)}
            for row, kind in zip(result.rows, result.kinds, strict=False)
        ],
    }
