"""Make the history of a forecast an answer: a sentence, a table of moments, a picture and a record."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING, Any

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.pictures.day_axis import draw_days
from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.record_shapes import ANSWER_UNITS, outcome_record
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.change_format import whole
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Drawn

    from simulation.questions.update.history import HistoryResult

#: What the files of a history are called.
STEM = "update_history"
_NOTE = "Each forecast knows the log up to its moment and no more. Bands cover neither wrong inputs nor a wrong model."


def history_answer(result: HistoryResult) -> Answer:
    """Return the answer to how the forecast went, and whether it was honest."""
    scenario, starts = result.scenario, result.scenario.starts
    headline = say_history(result)
    figure = Figure(STEM, headline, partial(draw_history, result), partial(say_history, result))
    log = scenario.source.log
    return Answer(
        question="update",
        title=scenario.title,
        about=f"the forecast after each shift of {log.file if log is not None else 'a log'}; "
        f"{wording.counted(result.asked, 'run')} each, seed {result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        warnings=tuple(line for line in (wording.few_runs(result.asked),) if line),
        pages=(
            Page(
                "history",
                "How the forecast went",
                (Part("Shift by shift", (_table(result),), short=True), Part("The forecast as the work went on", (figure,))),
            ),
        ),
        record=_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stem=STEM,
        stopped=result.stopped,
    )


def say_history(result: HistoryResult) -> str:
    """Return in a sentence how the forecast went."""
    first, last = result.rows[0], result.rows[-1]
    spans = f"from {wording.days(first.left)} to {wording.days(last.left)} days"
    middle = f"the middle of the runs went from {wording.days(first.quantiles[0.5])} to {wording.days(last.quantiles[0.5])} days"
    line = f"Over {wording.counted(len(result.rows), 'forecast')} {middle}, and P10 to P90 {spans}"
    inside = result.inside(0.1, 0.9)
    if inside is None or result.truth is None:
        return f"{line}; what comes true is not known yet."
    hits, count = inside
    return f"{line}; ready after {wording.days(result.truth)}, inside {hits} of {wording.counted(count, 'band')}."


def _table(result: HistoryResult) -> Table:
    calendar = make_calendar(result.scenario)
    rows = []
    for row in result.rows:
        chance = "" if row.outcome.chance is None else whole(row.outcome.chance.probability)
        when = "start" if not row.moment else wording.moment(calendar, row.moment)
        cells = [wording.days(row.quantiles[share]) for share in (0.1, 0.5, 0.8, 0.9)]
        rows.append((when, *cells, *(() if result.rows[0].outcome.deadline is None else (chance,))))
    deadline = result.rows[0].outcome.deadline
    columns = ("known up to", "P10", "P50", "P80", "P90", *(() if deadline is None else (f"by {deadline.text}",)))
    notes = [f"Days from the start. {_NOTE}"]
    covered = result.covered(0.8)
    if covered is not None:
        notes.append(
            f"P80 held in {covered[0]} of {covered[1]} forecasts: they follow each other, so this is one job and no rate."
        )
    return Table("The forecast after each shift", columns, tuple(rows), notes=tuple(notes), short=12)


def draw_history(result: HistoryResult) -> Drawn:
    """Return the picture: the band of readiness against the moment up to which the log was known."""
    figure = blank(8.4, 5.6)
    axes = axes_at(figure, 0.8, 1.65, 5.6, 2.9)
    known = [row for row in result.rows if all(map(math.isfinite, row.quantiles.values()))]
    at = [row.moment / 24.0 for row in known]
    low, middle, eighty, high = ([row.quantiles[share] / 24.0 for row in known] for share in (0.1, 0.5, 0.8, 0.9))
    axes.fill_between(at, low, high, facecolor="none", edgecolor=GREY, hatch="////", linewidth=0, label="P10 to P90")
    axes.plot(at, middle, color=INK, linewidth=1.6, marker="o", markersize=3.5, label="P50")
    axes.plot(at, eighty, color=INK, linewidth=1.2, linestyle=(0, (5, 3)), label="P80")
    end = max([*(row.moment for row in result.rows), 24.0, *([result.truth] if result.truth else [])])
    top = max([*high, end / 24.0], default=1.0)
    if result.truth is not None:
        axes.axhline(result.truth / 24.0, color=INK, linewidth=2.2, label="came true")
    axes.set_xlim(0.0, 1.02 * end / 24.0)
    axes.set_ylim(min([*low, top, *([result.truth / 24.0] if result.truth else [])]) * 0.9, top * 1.05)
    axes.set_ylabel("ready, days from the start")
    draw_days(axes, make_calendar(result.scenario), 0.0, 1.02 * end)
    axes.legend(loc="lower left", bbox_to_anchor=(1.0, 0.0), frameon=False, fontsize=SMALL, handlelength=2.2)
    title = "How the forecast went as the work went on"
    draw_words(figure, 0.8, title, say_history(result), _NOTE)
    return figure


def _record(result: HistoryResult) -> dict[str, Any]:
    inside, covered = result.inside(0.1, 0.9), result.covered(0.8)
    return {
        "units": ANSWER_UNITS,
        "asked": result.asked,
        "history": [
            {
                "moment_days": row.moment / 24.0,
                **{f"p{round(100 * share)}_days": _days(hours) for share, hours in row.quantiles.items()},
                "outcome": outcome_record(row.outcome),
            }
            for row in result.rows
        ],
        "reached_days": _days(result.truth),
        "inside_p10_to_p90": None if inside is None else {"count": inside[0], "of": inside[1]},
        "covered_by_p80": None if covered is None else {"count": covered[0], "of": covered[1]},
    }


def _days(hours: float | None) -> float | None:
    return None if hours is None or not math.isfinite(hours) else hours / 24.0
