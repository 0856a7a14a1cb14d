"""Plans side by side as an answer: who is ready first, the ten plans that matter, all of them in full, two pictures, a record."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.spreadsheet import format_csv
from simulation.present.words import wording
from simulation.present.words.change_format import (
    HOURS,
    INTERVAL,
    POINTS,
    ChangeFormat,
    change_format,
    ends_of,
    meanings,
    whole,
)
from simulation.present.words.job_words import cautions_of
from simulation.present.words.trial_words import AROUND, AROUND_MEANS, judged_change, list_looks
from simulation.questions.compare.file_names import has_people_picture, name_files
from simulation.questions.compare.people_picture import describe_people, draw_people
from simulation.questions.compare.picture import describe_comparison, draw_comparison
from simulation.questions.compare.record import compare_record, flatten_plans
from simulation.questions.compare.sentences import (
    count_runs,
    describe_deadline,
    how_read,
    write_conclusion,
    write_headline,
    write_lines,
    write_warnings,
)
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.compare.study import CompareResult

#: With more plans than this it is said that some differ by chance. Planning value.
_FEW = 6
_EFFORT = (
    "People: on site, operators and drivers included. Crew-days: crews times median days. Mats/person-h: mats of the "
    "field over people on site times the hours on the laying shift until the median."
)


def compare_answer(result: CompareResult) -> Answer:
    """Return the answer to which plan is ready first."""
    scenario = result.plans[result.reference].outcome.scenario
    runs = count_runs(result)
    record, stem = compare_record(result), name_files([row.outcome.name for row in result.plans])
    return Answer(
        question="compare",
        title=scenario.title,
        about=(
            f"{len(result.plans)} plans, {runs} of each under the same weather and chances, seed {result.seed}, "
            f"start {day(scenario.starts)} {scenario.starts:%H:%M}"
        ),
        headline=write_headline(result),
        lines=tuple(write_lines(result)),
        warnings=tuple(write_warnings(result)),
        pages=(Page("plans", "Plans side by side", _parts(result, stem)),),
        record=record,
        study={} if result.manifest is None else study_record(result.manifest),
        stem=stem,
        sheets={f"{stem}.csv": format_csv(flatten_plans(record))},
        stopped=result.stopped,
        cautions=cautions_of(scenario),
    )


def _parts(result: CompareResult, stem: str) -> tuple[Part, ...]:
    shown = result.that_matter
    title = "Plans side by side, best P80 first"
    if len(shown) < len(result.plans):
        title = f"The {len(shown)} plans that matter, of {len(result.plans)}, best P80 first"
    parts = [Part(title, (_short_table(result, shown, title, f"{stem}.csv"),), short=True)]
    full = plans_table(result)
    parts += [Part(table.title, (table,)) for table in (full, _effort(result))]
    if result.plans[result.reference].outcome.deadline is not None:
        table = _on_time(result)
        parts.append(Part(table.title, (table,)))
    conclusion = write_conclusion(result)
    figures = [Figure(stem, conclusion, partial(draw_comparison, result), partial(describe_comparison, result))]
    if has_people_picture([row.outcome.people for row in result.plans]):
        draw, describe = partial(draw_people, result), partial(describe_people, result)
        figures.insert(0, Figure(f"{stem}_people", conclusion, draw, describe))
    return (*parts, Part(conclusion, tuple(figures)))


def _short_table(result: CompareResult, shown: Sequence[int], title: str, sheet: str) -> Table:
    digits, by = _signed_digits(result), _deadline_column(result)
    rows = []
    for index in shown:
        outcome = result.plans[index].outcome
        days = wording.short_days(outcome.p80.value)
        cells = (f"{outcome.people:,}", days, *_change_cells(result, index, digits), *_on_time_cells(result, index))
        rows.append((_named(result, index), *cells))
    against = f"Change: of P80 against plan {result.reference + 1}, the reference; below zero is earlier; {_BRACKETS}."
    notes = [f"{_p80_means(result)} {against}"]
    if len(shown) < len(result.plans):
        left = wording.counted(len(result.plans) - len(shown), "more plan")
        notes.append(f"{left} not shown: all of them stand in the full text and in {sheet}.")
    notes += [*_change_notes(result, digits, shown), SAMPLING_ERROR_ONLY]
    columns = ("plan", "people", "P80, days", f"change, {digits.name}", AROUND, *by)
    return Table(title, columns, tuple(rows), notes=tuple(notes))


def plans_table(result: CompareResult) -> Table:
    """Return all plans, best P80 first: people, days, the paired change of P80, the chance of a deadline."""
    digits, by = _signed_digits(result), _deadline_column(result)
    rows = []
    for index in result.by_p80:
        outcome = result.plans[index].outcome
        days = (wording.short_days(band.value) for band in (outcome.p50, outcome.p80))
        change, around = _change_cells(result, index, digits)
        ends = "" if index == result.reference else digits.interval(result.plans[index].against.p80)
        cells = (change, ends, around, *_on_time_cells(result, index))
        rows.append((_named(result, index), f"{outcome.people:,}", *days, wording.interval(outcome.p80), *cells))
    notes = [
        f"{count_runs(result)} of each plan, paired run by run. {_p80_means(result)} Change: of P80 against plan "
        f"{result.reference + 1}, the reference; below zero is earlier; {_BRACKETS}. "
        "People: on site, operators and drivers included.",
        *_change_notes(result, digits, result.by_p80),
        SAMPLING_ERROR_ONLY,
    ]
    if any(wording.has_no_limit(row.outcome.p80) for row in result.plans):
        notes.append(wording.NO_LIMIT_MEANS)
    columns = ("plan", "people", "P50, days", "P80, days", INTERVAL, f"change, {digits.name}", INTERVAL, AROUND, *by)
    return Table(f"All plans: days until {result.ready_word}", columns, tuple(rows), notes=tuple(notes))


_BRACKETS = "in brackets: too small to measure with so many runs"


def _change_notes(result: CompareResult, digits: ChangeFormat, shown: Sequence[int]) -> list[str]:
    """Return what the changes in a table are read from, and how far each can be trusted."""
    changes = [(HOURS, result.plans[index].against.around_p80) for index in shown if index != result.reference]
    notes = [AROUND_MEANS, *meanings(changes), *filter(None, [how_read(result)])]
    if len(result.looks) > 1:
        notes.append(
            "A plan gets more runs until it is measurably later around P80 than the earliest, or it is known how it stands to "
            f"plan {result.reference + 1} and to the earliest. Intervals hold over all looks, after "
            f"{list_looks(result.looks)} runs."
        )
    if len(result.plans) > _FEW:
        notes.append("Each interval stands for itself: of twenty plans that change nothing, expect one that seems to differ.")
    return notes


def _effort(result: CompareResult) -> Table:
    rows = []
    for index in result.by_p80:
        row = result.plans[index]
        rows.append(
            (
                _named(result, index),
                f"{row.outcome.people:,}",
                "-" if math.isinf(row.outcome.crew_days) else f"{row.outcome.crew_days:.1f}",
                "-" if row.mats_per_person_hour is None else f"{row.mats_per_person_hour:.2f}",
                row.verdict.value,
            )
        )
    columns = ("plan", "people", "crew-days", "mats/person-h", "P80 is")
    return Table("All plans: people and effort", columns, tuple(rows), words=frozenset({4}), notes=(_EFFORT,))


def _on_time(result: CompareResult) -> Table:
    rows = []
    for index in result.by_p80:
        row = result.plans[index]
        chance, change = row.outcome.chance, row.against.chance
        assert chance is not None
        cells = ("reference", "") if index == result.reference else POINTS.cells(change)
        rows.append((_named(result, index), whole(chance.probability), ends_of(chance), *cells))
    notes = (
        f"{describe_deadline(result)} Change: in percentage points against plan {result.reference + 1}, paired run by run; "
        f"{_BRACKETS}.",
        SAMPLING_ERROR_ONLY,
    )
    columns = ("plan", "on time", INTERVAL, "change, points", INTERVAL)
    return Table(f"All plans: {result.ready_word} by the deadline", columns, tuple(rows), notes=notes)


def _p80_means(result: CompareResult) -> str:
    return f"P80, the 80 % date: 8 runs of 10 are {result.ready_word} by then."


def _named(result: CompareResult, index: int) -> str:
    return f"{index + 1} {result.plans[index].outcome.name}"


def _signed_digits(result: CompareResult) -> ChangeFormat:
    return replace(change_format(result.plans[result.reference].outcome), signed=True)


def _deadline_column(result: CompareResult) -> tuple[str, ...]:
    deadline = result.plans[result.reference].outcome.deadline
    return () if deadline is None else (f"{result.ready_word} by {deadline.text}",)


def _change_cells(result: CompareResult, index: int, digits: ChangeFormat) -> tuple[str, str]:
    """Return the change of P80, and the interval of the dates around it, by which plans are judged."""
    if index == result.reference:
        return "reference", ""
    return judged_change(result.plans[index].against, digits)


def _on_time_cells(result: CompareResult, index: int) -> tuple[str, ...]:
    chance = result.plans[index].outcome.chance
    return () if chance is None else (whole(chance.probability),)
