"""Make the result of slip an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.change_format import (
    BRACKETS,
    HOURS,
    INTERVAL,
    NO_SPREAD_MEANS,
    POINTS,
    WITHHELD_MEANS,
    ChangeFormat,
    change_format,
    meanings,
    on_time_cells,
    whole,
)
from simulation.present.record import file_stem, study_record
from simulation.questions.slip.picture import describe_slip, draw_slip
from simulation.questions.slip.record import slip_record
from simulation.questions.slip.sentences import slip_headline, slip_lines, warning_lines
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.slip.study import SlipResult, SlipRow

#: Rows of the table of costs in the short form: three things at the three usual delays.
MOST = 9


def slip_answer(result: SlipResult) -> Answer:
    """Return the answer to what it costs if something comes late; its files bear the names of what was asked for."""
    starts, headline, stem = result.outcome.scenario.starts, slip_headline(result), file_stem("slip", result.what)
    figure = Figure(stem, headline, partial(draw_slip, result), partial(describe_slip, result))
    picture = Part("What each delay costs, beside the delay itself", (figure,))
    tables = (Part(table.title, (table,), short=short) for table, short in ((_costs(result), True), (_means(result), False)))
    return Answer(
        question="slip",
        title=result.outcome.scenario.title,
        about=f"what delays cost; {wording.counted(result.runs, 'run')} of each, seed {result.seed}, "
        f"start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(slip_lines(result)),
        warnings=tuple(warning_lines(result)),
        pages=(Page("slip", "What it costs to come late", (*(tables if result.rows else ()), picture)),),
        record=slip_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stem=stem,
        stopped=result.stopped,
    )


def _costs(result: SlipResult) -> Table:
    written = change_format(result.outcome)

    def cells(row: SlipRow) -> tuple[str, ...]:
        return *written.cells(row.against.p50, row.identical), *written.cells(row.against.p80, row.identical)

    title = f"What each delay costs: how much later readiness comes than under the current plan, in {written.name}"
    return _table(result, title, ("P50", INTERVAL, "P80", INTERVAL), cells, _cost_notes(result, written), MOST)


def _means(result: SlipResult) -> Table:
    deadline = result.outcome.deadline

    def cells(row: SlipRow) -> tuple[str, ...]:
        chance = () if deadline is None else on_time_cells(result.outcome, row.against.chance, row.identical)
        return *HOURS.cells(row.against.mean, row.identical), *chance

    by = "" if deadline is None else f", and the chance of being ready by {deadline.text}"
    columns = ("mean", INTERVAL, *(() if deadline is None else ("on time", "points", INTERVAL)))
    return _table(result, f"The same for the mean, in hours later{by}", columns, cells, _mean_notes(result))


def _table(
    result: SlipResult,
    title: str,
    columns: tuple[str, ...],
    cells: Callable[[SlipRow], tuple[str, ...]],
    notes: list[str],
    short: int | None = None,
) -> Table:
    """Return a table with a row for each delay; what comes late is named once."""
    names = [row.late.called for row in result.rows]
    firsts = [index == 0 or names[index - 1] != name for index, name in enumerate(names)]
    rows = [
        (row.late.called if first else "", row.delay.text, *cells(row)) for row, first in zip(result.rows, firsts, strict=True)
    ]
    ends = frozenset(index - 1 for index, first in enumerate(firsts) if first and index)
    return Table(title, ("what comes late", "by", *columns), tuple(rows), notes=tuple(notes), ends=ends, short=short)


def _cost_notes(result: SlipResult, written: ChangeFormat) -> list[str]:
    notes = [f"Below zero is earlier. {BRACKETS} {SAMPLING_ERROR_ONLY}"]
    if any(row.identical for row in result.rows):
        notes.append("None: no run changed at all.")
    changed = [row for row in result.rows if not row.identical]
    notes += meanings([(written, change) for row in changed for change in (row.against.p50, row.against.p80)])
    return [*notes, "Intervals are paired run by run: all else has the same random draws."]


def _mean_notes(result: SlipResult) -> list[str]:
    changed = [row for row in result.rows if not row.identical]
    cells = [*((HOURS, row.against.mean) for row in changed), *((POINTS, row.against.chance) for row in changed)]
    notes = [note for note in meanings(cells) if note in (NO_SPREAD_MEANS, WITHHELD_MEANS)]
    if any(row.against.mean.value is None and not row.against.mean.withheld for row in changed):
        notes.append("Beyond: some runs are not ready by the last day simulated, so there is no mean.")
    if result.outcome.chance is not None:
        notes.append(f"Points: percentage points against {whole(result.outcome.chance.probability)} under the current plan.")
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]
