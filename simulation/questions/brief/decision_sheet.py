"""Collects what the decision sheet shows: every plan of the grid, its words, and its runs for curve and chance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from simulation.present.answer import Table
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS, change_format, meanings, whole
from simulation.present.words.job_words import ready_word
from simulation.present.words.trial_words import AROUND, AROUND_MEANS, judged_change, move_around
from simulation.questions.brief.decision_grid import Choice, PlanGrid, crews_words
from simulation.questions.compare.row import CompareRow
from simulation.questions.compare.sentences import count_runs, how_read
from simulation.stats.chances import estimate_chance
from simulation.stats.likelihood_words import FEW, SCALE
from simulation.study.changes.default_plans import STARTS


def sheet_record(grid: PlanGrid) -> dict[str, Any]:
    """Return what the page's script reads; hours after the last day simulated are null."""
    own, comparison = grid.as_written, grid.comparison
    sizes = sorted({plan.outcome.by_change or plan.runs for plan in comparison.plans})
    written = comparison.plans[comparison.reference].outcome
    scenario, deadline = written.scenario, written.deadline
    return {
        "own": _key(own),
        "people": [[people, _people(people, own)] for people in _axis(grid, "people")],
        "starts": [[start, _start(start, own)] for start in _axis(grid, "start")],
        "forklifts": [
            [count, f"{count}, as written" if count == own.forklifts else str(count)] for count in _axis(grid, "forklifts")
        ],
        "area": scenario.area[0].name,
        "ready": ready_word(scenario),
        "deadline": None if deadline is None else [deadline.hours, deadline.text],
        # An interval for each count that there can be, so that the script has no statistics of its own. A plan that
        # is surely later has fewer runs than others.
        "intervals": {
            runs: [
                [round(chance.low, 6), round(chance.high, 6)] for chance in (estimate_chance(n, runs) for n in range(runs + 1))
            ]
            for runs in sizes
        },
        "words": {runs: [list(band) for band in SCALE] if runs >= FEW else [] for runs in sizes},
        "plans": {_key(choice): _plan(grid, choice) for choice in grid.choices},
        "left_out": {_key(choice): why for choice, why in grid.left_out.items()},
    }


def _axis(grid: PlanGrid, name: str) -> list[Any]:
    return sorted({getattr(choice, name) for choice in grid.choices})


def _key(choice: Choice) -> str:
    return f"{choice.people}|{choice.start}|{choice.forklifts}"


def _start(start: str, own: Choice) -> str:
    """Return a start in words; nothing where a field is taken up."""
    if not start:
        return ""
    return f"{STARTS[start]}, as written" if start == own.start else STARTS[start]


def _people(people: int, own: Choice) -> str:
    if people == own.people:
        return f"{people} people, as written"
    return f"{people} people ({100 * (people / own.people - 1):+.0f} %)"


def _plan(grid: PlanGrid, choice: Choice) -> dict[str, Any]:
    row, calendar = grid.plan(choice), grid.comparison.calendar
    bands = (row.outcome.p50, row.outcome.p80, row.outcome.p90)
    return {
        "people": row.outcome.people,
        "bands": [
            [
                band.name,
                wording.days(band.value),
                # What is told by a change is no moment at which a run of the plan was ready.
                "" if math.isinf(band.value) or row.outcome.by_change else str(calendar.day_and_shift(band.value)),
                wording.interval(band),
            ]
            for band in bands
        ],
        "change": _change(grid, row),
        "by_change": row.outcome.by_change,
        "hours": _hours(row.outcome.read_from or row.outcome.hours),
        # What its chance by any deadline changes by: the runs of it and of the reference that have the same luck.
        "paired": [_hours(row.outcome.paired), _hours(row.outcome.hours[: len(row.outcome.paired)])],
    }


def _hours(hours: Sequence[float]) -> list[float | None]:
    return [round(hour, 6) if math.isfinite(hour) else None for hour in sorted(hours)]


def _change(grid: PlanGrid, row: CompareRow) -> str:
    """Return the sentence on what a plan changes at P80 against the scenario as written."""
    reference = grid.comparison.plans[grid.comparison.reference]
    if row is reference:
        return "This is the scenario as written."
    digits, change = change_format(reference.outcome), row.against.p80
    if change.value is None:
        return "P80 against the scenario as written: not known, because one of the two is later than the last day simulated."
    around = row.against.around_p80
    if not around.measurable:
        ends = HOURS.ends(around, "later", "earlier")
        return f"P80 against the scenario as written: no measurable change (dates around it, in hours on shift: {ends})."
    if not change.measurable:
        return f"Against the scenario as written, {move_around(row.against)}."
    way = "later" if change.value > 0 else "earlier"
    turned = digits.in_brackets(change, turned=True)
    return f"P80 against the scenario as written: {digits.of(change.value)} {way} ({turned})."


def grid_table(grid: PlanGrid) -> Table:
    """Return every plan of the grid as a row, for readers without a script, and for print."""
    comparison = grid.comparison
    reference = comparison.plans[comparison.reference]
    digits = replace(change_format(reference.outcome), signed=True)
    rows = []
    for choice, row in zip(grid.choices, comparison.plans, strict=True):
        cells = ("reference", "") if row is reference else judged_change(row.against, digits)
        hours = [band.value for band in (row.outcome.p50, row.outcome.p80, row.outcome.p90)]
        chance = () if row.outcome.chance is None else (whole(row.outcome.chance.probability),)
        rows.append(
            (
                crews_words(choice),
                str(choice.forklifts),
                *(wording.short_days(hour) for hour in hours),
                *cells,
                *chance,
            )
        )
    deadline = reference.outcome.deadline
    ready = ready_word(reference.outcome.scenario)
    by = () if deadline is None else (f"{ready} by {deadline.text}",)
    notes = [
        f"{count_runs(comparison)} of each, with the same random draws. Change: of P80 against the scenario as "
        f"written; below zero is earlier; in brackets: no measurable effect. With {len(comparison.plans)} plans tried, expect "
        "one false alarm or so.",
        AROUND_MEANS,
        *meanings([(HOURS, row.against.around_p80) for row in comparison.plans if row is not reference]),
        *filter(None, [how_read(comparison, "the scenario as written")]),
    ]
    notes += _left_out(grid.left_out)
    columns = ("plan", "forklifts", "P50", "P80", "P90", f"change, {digits.name}", AROUND, *by)
    return Table(f"Every plan of the sheet, days until {ready}", columns, tuple(rows), notes=tuple(notes))


def _left_out(choices: dict[Choice, str]) -> list[str]:
    """Return which plans are left out for each first reason."""
    reasons: dict[str, list[Choice]] = {}
    for choice, why in choices.items():
        reasons.setdefault(why, []).append(choice)
    return [
        f"Left out ({why}): "
        + "; ".join(f"{crews_words(choice, 'people')}, {wording.counted(choice.forklifts, 'forklift')}" for choice in left)
        + "."
        for why, left in reasons.items()
    ]
