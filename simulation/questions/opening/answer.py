"""Make the result of opening an answer: sentences, the frontier of first use against all done, and a record."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING, Any

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.record_shapes import ANSWER_UNITS, change_record, quantile_record
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.change_format import BRACKETS, INTERVAL
from simulation.questions.forecast.drawn.strips import Strips, conclude_strips, describe_strips, draw_strips
from simulation.questions.forecast.tasks import tasks_table
from simulation.questions.opening.picture import conclude_opening, describe_opening, draw_opening
from simulation.questions.opening.sentences import CAUTION, opening_headline, opening_lines, price_format
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from simulation.questions.opening.study import OpeningResult, OpeningRow

#: Name of the picture of areas and tasks: a forecast with pictures writes strips of its own into the same folder.
OPENING_STRIPS = "opening_strips"


def opening_answer(result: OpeningResult) -> Answer:
    """Return the answer to what it costs the whole to open part of it early."""
    starts = result.scenario.starts
    runs = wording.counted(result.runs, "run")
    few, headline = wording.few_runs(result.runs), opening_headline(result)
    figure = Figure("opening", conclude_opening(result), partial(draw_opening, result), partial(describe_opening, result))
    parts = [Part.of(_frontier(result), short=True), Part.of(_curve(result)), Part.of(figure)]
    if result.tasks:
        strips = _strips(result)
        draw, describe = partial(draw_strips, strips), partial(describe_strips, strips)
        parts.append(Part.of(tasks_table(result.areas, result.tasks, result.runs)))
        parts.append(Part.of(Figure(OPENING_STRIPS, conclude_strips(strips), draw, describe)))
    return Answer(
        question="opening",
        title=result.scenario.title,
        about=f"opening early; {runs} of each way, paired, seed {result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(opening_lines(result)),
        warnings=() if few is None else (few,),
        pages=(Page("opening", "First use against all done", tuple(parts)),),
        record=_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
    )


def _strips(result: OpeningResult) -> Strips:
    measures, length = result.scenario.measures.length, result.lengths[0]
    flown = "flown from in windows" if result.windows else "with temporary ends" if result.priced else "no windows"
    below = f"areas and tasks, {measures.text(length)} {result.starts[0]}, {flown}; {wording.counted(result.runs, 'run')}"
    return Strips(result.areas, result.tasks, make_calendar(result.scenario), result.runs, below)


def _frontier(result: OpeningResult) -> Table:
    written = price_format(result)
    measures = result.scenario.measures.length
    rows, ends = [], []
    for number, row in enumerate(result.rows):
        new = number == 0 or result.rows[number - 1].opening.start != row.opening.start
        if new and number:
            ends.append(number - 1)
        cost = ("", "") if row.price is None else written.cells(row.price, row.identical)
        rows.append(
            (
                row.opening.start if new else "",
                measures.text(row.opening.length),
                "in windows" if row.opening.windows else "temporary end" if row.opening.used else "none",
                *(wording.short_days(row.first_at(share).value) for share in (0.5, 0.8)),
                *(wording.short_days(row.whole_at(share).value) for share in (0.5, 0.8)),
                *cost,
            )
        )
    made = " Its temporary ends are made, and taken up for laying." if result.scenario.makes_ends else ""
    if result.windows:
        windows = f"Windows: {', '.join(result.windows)}.{made}"
    else:
        windows = f"No windows.{made}" if made else "No windows: laying goes on, and opening costs it nothing."
    price = "the windows and the ends" if made and result.windows else "the ends" if made else "the windows"
    notes = (
        f"First use: {result.milestone}, with its tasks and final sweep; whole: {result.ready}. {windows} The cost is that of "
        f"{price} to P80 of the whole, under the same luck.",
        *([BRACKETS] if any(cell.startswith("(") for row in rows for cell in row[7:8]) else []),
        SAMPLING_ERROR_ONLY,
    )
    return Table(
        f"First use of {result.area} against all done, days from the start",
        ("start", "length", "flying", "first P50", "P80", "whole P50", "P80", f"cost, {written.name}", INTERVAL),
        tuple(rows),
        frozenset({1, 2}),
        notes,
        ends=frozenset(ends),
    )


def _curve(result: OpeningResult) -> Table:
    """Return the usable length against days, with bands, while laying goes on."""
    measures, rows, ends = result.scenario.measures.length, [], []
    for start in result.starts:
        for length in result.lengths:
            row = result.opened(start, length)
            if row is not None:
                bands = (wording.short_days(row.first_at(share).value) for share in (0.1, 0.5, 0.8, 0.9))
                rows.append((start if length == result.lengths[0] else "", measures.text(length), *bands))
        ends.append(len(rows) - 1)
    how = "temporary ends made" if result.scenario.makes_ends else "no windows"
    columns = ("start", "length", "P10", "P50", "P80", "P90")
    return Table(
        f"Usable length against days from the start, {how}", columns, tuple(rows), frozenset({1}), ends=frozenset(ends[:-1])
    )


def _record(result: OpeningResult) -> dict[str, Any]:
    return {
        "units": ANSWER_UNITS,
        "milestone": result.milestone,
        "area": result.area,
        "ready": result.ready,
        "windows": list(result.windows),
        "runs": result.runs,
        "ways": [_way(result, row) for row in result.rows],
        "caution": CAUTION,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _way(result: OpeningResult, row: OpeningRow) -> dict[str, Any]:
    calendar = make_calendar(row.opening.scenario)

    def bands(hours: tuple[float, ...], at: Any) -> dict[str, Any]:
        known = {
            name: quantile_record(at(share), calendar) for name, share in (("p10", 0.1), ("p50", 0.5), ("p80", 0.8), ("p90", 0.9))
        }
        return {**known, "unfinished": sum(math.isinf(hour) for hour in hours)}

    return {
        "start": row.opening.start,
        "length_feet": row.opening.length,
        "windows": list(row.opening.windows),
        "first_use": bands(row.first, row.first_at),
        "whole": bands(row.whole, row.whole_at),
        "cost_p80": None if row.price is None else change_record(row.price),
        "every_run_alike": row.identical,
        "held_by_task": None if row.held is None else {"task": row.held[0], "share_at_least": row.held[1]},
        **_ends(row),
    }


def _ends(row: OpeningRow) -> dict[str, Any]:
    """Return how often temporary ends were made, and in how many runs one was late; nothing where none is made."""
    if not row.made:
        return {}
    late = sum(count > 0 for count in row.late)
    return {"temporary_ends": {"made_mean": math.fsum(row.made) / len(row.made), "late_in_runs": late}}
