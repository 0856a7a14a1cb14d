"""Make the result of bottlenecks an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table, Text
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL, change_format, ends_of, whole
from simulation.present.words.job_words import cautions_of, ready_word
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
from simulation.questions.bottlenecks.attribution import Holder
from simulation.questions.bottlenecks.picture import describe_bottlenecks, draw_bottlenecks
from simulation.questions.bottlenecks.record import bottlenecks_record
from simulation.questions.bottlenecks.sentences import WHEN, bottleneck_lines, warning_lines
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.study import BottlenecksResult

#: Rows of the table of gains in the short form.
MOST = 8
#: What lights alone do not give.
DAY_AND_NIGHT = (
    "Day and night: all work around the clock under lights, at the night_rate of each shift. The same people cannot do that: "
    "each further shift takes as many people again."
)
#: Why the calendar's hours stand apart.
APART = (
    "Hours off shift and in the dark stand apart: they would lead nearly everywhere, and follow from all the rest, since longer "
    "work meets more nights. Rain and wet ground take hours on shift and are counted with the others."
)


def bottlenecks_answer(result: BottlenecksResult) -> Answer:
    """Return the answer to what holds a scenario up."""
    starts = result.outcome.scenario.starts
    headline, *lines = bottleneck_lines(result)
    figure = Figure("bottlenecks", headline, partial(draw_bottlenecks, result), partial(describe_bottlenecks, result))
    picture = Part("What each change gains, and the main constraint in each third of the time", (figure,))
    return Answer(
        question="bottlenecks",
        title=result.outcome.scenario.title,
        about=f"what holds it up; {count_runs(result)}, seed {result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(lines),
        warnings=tuple(warning_lines(result)),
        pages=(Page("bottlenecks", "What holds it up, and what would help", (*_parts(result), picture)),),
        record=bottlenecks_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
        cautions=cautions_of(result.outcome.scenario),
    )


def _parts(result: BottlenecksResult) -> tuple[Part, ...]:
    parts: list[Part] = []
    if result.rows:
        parts.append(_part(_gains(result), short=True))
        parts.append(_part(_means(result)))
    elif result.left_out:
        parts.append(Part("What was not tried", (Text(_not_tried(result)),), short=True))
    if result.leading.holders:
        parts.append(_part(_chain(result)))
        parts.append(_part(_thirds(result)))
    return tuple(parts)


def _part(table: Table, short: bool = False) -> Part:
    return Part(table.title, (table,), short=short)


def _gains(result: BottlenecksResult) -> Table:
    written = change_format(result.outcome)
    rows = [(row.trial.name, *judged_cells(row, written)) for row in result.rows]
    title = f"What each change gains at P80 against the current plan, in {written.name}"
    notes = [f"Below zero is earlier; largest gain first; {AROUND_SHORT}", *p80_notes(result, written)]
    if len(result.rows) > 1:
        notes.append(f"With {len(result.rows)} changes tried, expect one false alarm or so.")
    if any(row.trial.name.startswith("day and night") for row in result.rows):
        notes.append(DAY_AND_NIGHT)
    notes += [_not_tried(result)] if result.left_out else []
    columns = ("change", "P80", AROUND, "which is")
    return Table(title, columns, tuple(rows), words=frozenset({3}), notes=tuple(notes), short=MOST)


def _not_tried(result: BottlenecksResult) -> str:
    return f"Not tried: {'; '.join(f'{left.name} ({left.why})' for left in result.left_out)}."


def _means(result: BottlenecksResult) -> Table:
    written, notes = change_format(result.outcome), []
    rows = [(row.trial.name, *mean_cells(result, row, written)) for row in result.rows]
    if result.leading.calendar is not None:
        notes.append(
            f"No run is {ready_word(result.outcome.scenario)} off shift, so P50 and P80 jump from shift to shift; the mean moves "
            "evenly and shows small gains, too, where enough runs move by a night."
        )
    notes += mean_notes(result, written)
    title = means_title(result, written)
    return Table(title, ("change", *mean_columns(result, INTERVAL)), tuple(rows), notes=tuple(notes))


def _chain(result: BottlenecksResult) -> Table:
    leading = result.leading
    rows: list[tuple[str, ...]] = []
    strong, ends = set(), set()
    for holder in (*leading.holders, *([] if leading.calendar is None else [leading.calendar])):
        strong.add(len(rows))
        rows += _holder_rows(holder, leading.hours)
        ends.add(len(rows) - 1)
    mean = f"the mean time {'to the end' if result.outcome.scenario.takes_up else 'of readiness'}"
    sums_to = mean if leading.reached else "the last day simulated"
    rows.append((f"sum: {sums_to}", f"{leading.hours:.1f}", wording.percent(1.0), "", "", ""))
    title = "What held up the finish: average hours by cause, and in how many runs each was the main cause"
    columns = ("cause", "hours", "share", "main cause in", INTERVAL, "alone in")
    return Table(title, columns, tuple(rows), notes=tuple(_chain_notes(result)), strong=frozenset(strong), ends=frozenset(ends))


def _holder_rows(holder: Holder, total: float) -> list[tuple[str, ...]]:
    """Return the row of who holds the work up, and one for each cause where there are several."""
    leads = ("", "") if holder.leads is None else (whole(holder.leads.probability), ends_of(holder.leads))
    single = len(holder.causes) == 1 and holder.causes[0].name == holder.name
    alone = "" if holder.causes[0].leads is None or not single else whole(holder.causes[0].leads.probability)
    rows: list[tuple[str, ...]] = [(holder.name, f"{holder.hours:.1f}", wording.percent(holder.hours / total), *leads, alone)]
    for cause in () if single else holder.causes:
        alone = "" if cause.leads is None else whole(cause.leads.probability)
        rows.append((f"  {cause.name}", f"{cause.hours:.1f}", wording.percent(cause.hours / total), "", "", alone))
    return rows


def _chain_notes(result: BottlenecksResult) -> list[str]:
    notes = [
        "Main cause in: runs in which the bold row has the most hours of all bold rows. Alone in: runs in which a single cause "
        "has the most hours of all single causes; use the bold rows to see who leads.",
        wording.ROUNDED,
        APART,
        SAMPLING_ERROR_ONLY,
    ]
    if result.unfinished and result.leading.reached:
        notes.insert(0, f"Over the {wording.counted(result.leading.runs, 'finished run')} only.")
    return notes


def _thirds(result: BottlenecksResult) -> Table:
    leading = result.leading
    firsts = {third: leading.first(third) for third in WHEN}
    rows = []
    for holder in leading.holders:
        assert holder.leads_by_third is not None
        cells = []
        for third in WHEN:
            mark = " *" if holder is firsts[third] else ""
            cells += [f"{holder.thirds[third]:.1f}", f"{whole(holder.leads_by_third[third].probability)}{mark}"]
        rows.append((holder.name, *cells))
    last = len(rows) - 1
    if leading.calendar is not None:
        hours = (cell for third in WHEN for cell in (f"{leading.calendar.thirds[third]:.1f}", ""))
        rows.append((leading.calendar.name, *hours))
    title = "The main constraint over time: average hours in each third, and in how many runs each leads"
    columns = ("cause", *(name for third in WHEN.values() for name in (third, "leads in")))
    end = "the end" if result.outcome.scenario.takes_up else "readiness"
    note = f"* leads most often. First, middle and last third of the time to {end} of each run. {SAMPLING_ERROR_ONLY}"
    return Table(title, columns, tuple(rows), notes=(note,), ends=frozenset({last}))
