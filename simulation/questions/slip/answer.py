"""Make the result of slip an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.file_names import file_stem
from simulation.present.renderers.record import study_record
from simulation.present.words.change_format import BRACKETS, INTERVAL, change_format, meanings
from simulation.present.words.job_words import cautions_of
from simulation.present.words.trial_words import (
    AROUND,
    AROUND_SHORT,
    count_runs,
    judged_cells,
    mean_cells,
    mean_columns,
    mean_notes,
    means_title,
    p80_notes,
)
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
    tables = (
        Part(table.title, (table,), short=short)
        for table, short in ((_costs(result), True), (_means(result), False), *_others(result))
    )
    return Answer(
        question="slip",
        title=result.outcome.scenario.title,
        about=f"what delays cost; {count_runs(result)}, seed {result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(slip_lines(result)),
        warnings=tuple(warning_lines(result)),
        pages=(Page("slip", "What it costs to come late", (*(tables if result.rows else ()), picture)),),
        record=slip_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stem=stem,
        stopped=result.stopped,
        cautions=cautions_of(result.outcome.scenario),
    )


def _costs(result: SlipResult) -> Table:
    written = change_format(result.outcome)

    def cells(row: SlipRow) -> tuple[str, ...]:
        return judged_cells(row, written)

    title = f"What each delay costs: how much later P80 comes than under the current plan, in {written.name}"
    notes = [f"Below zero is earlier; {AROUND_SHORT}", *p80_notes(result, written)]
    return replace(_table(result, title, ("P80", AROUND, "which is"), cells, notes, MOST), words=frozenset({4}))


def _means(result: SlipResult) -> Table:
    written = change_format(result.outcome)

    def cells(row: SlipRow) -> tuple[str, ...]:
        return mean_cells(result, row, written)

    return _table(result, means_title(result, written), mean_columns(result, INTERVAL), cells, mean_notes(result, written))


def _others(result: SlipResult) -> Iterator[tuple[Table, bool]]:
    """Yield a table for each milestone that does not make ready."""
    written = change_format(result.outcome)
    for number, name in enumerate(milestone.name for milestone in result.outcome.scenario.milestones if not milestone.ready):

        def cells(row: SlipRow, number: int = number) -> tuple[str, ...]:
            return written.cells(row.others[number][1])

        notes = [BRACKETS, *meanings([(written, row.others[number][1]) for row in result.rows]), SAMPLING_ERROR_ONLY]
        title = f"What each delay does to {name}: how much later its P80 comes, in {written.name}"
        yield _table(result, title, ("P80", INTERVAL), cells, notes), False


def _table(
    result: SlipResult,
    title: str,
    columns: tuple[str, ...],
    cells: Callable[[SlipRow], tuple[str, ...]],
    notes: list[str],
    short: int | None = None,
) -> Table:
    """Return a table with a row for each delay; what comes late is named once."""
    names = [row.trial.late.called for row in result.rows]
    firsts = [index == 0 or names[index - 1] != name for index, name in enumerate(names)]
    rows = [
        (row.trial.late.called if first else "", row.trial.delay.text, *cells(row))
        for row, first in zip(result.rows, firsts, strict=True)
    ]
    ends = frozenset(index - 1 for index, first in enumerate(firsts) if first and index)
    return Table(title, ("what comes late", "by", *columns), tuple(rows), notes=tuple(notes), ends=ends, short=short)
