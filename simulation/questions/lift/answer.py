"""Make the result of lift an answer: by when the field is up, what comes back, who waits, and what more crews gain."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from simulation.construction.site.edges.waits import FORKLIFTS, HANDLERS
from simulation.construction.take_up.mat_luck import STATES
from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.job_words import cautions_of
from simulation.present.words.wording import laying_shifts
from simulation.questions.lift.picture import describe_lift, draw_lift
from simulation.questions.lift.record import lift_record
from simulation.questions.lift.sentences import lift_headline, lift_lines, picture_title
from simulation.questions.lift.study import quantile
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from simulation.questions.lift.study import Array, LiftResult

LEFT_OUT = (
    "The whole field lies at the start. The way beyond the port is not simulated. Rows come off "
    "by the row-time law of [laying] for those of a crew who lift, times the share in [repair]."
)


def lift_answer(result: LiftResult) -> Answer:
    """Return the answer to how long it takes to take the field up."""
    starts = result.scenario.starts
    figure = Figure("lift", picture_title(result), partial(draw_lift, result), partial(describe_lift, result))
    tables = (_when(result), _mats(result), _crews(result))
    return Answer(
        question="lift",
        title=result.scenario.title,
        about=f"taken up {result.asked.direction} the direction of assembly; {wording.counted(result.runs, 'run')} each, seed "
        f"{result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=lift_headline(result),
        lines=tuple(lift_lines(result)),
        warnings=tuple(_warnings(result)),
        pages=(Page("lift", "Taking the field up", (*(Part.of(table, short=True) for table in tables), Part.of(figure))),),
        record=lift_record(result),
        study=study_record(result.manifest),
        stopped=result.stopped,
        cautions=cautions_of(result.scenario),
    )


def _warnings(result: LiftResult) -> list[str]:
    lines = [f"Stopped early: {result.runs} of {result.wanted} runs of each way are done."] if result.stopped else []
    left = int(np.isinf(result.asked.in_yard).sum())
    if not left:
        return lines
    return [*lines, f"{left} of {result.runs} runs are not done by the last day simulated; raise horizon."]


def _when(result: LiftResult) -> Table:
    asked = result.asked
    named = [("last row up", asked.rows_up), ("last pallet in the yard", asked.in_yard)]
    if result.leaves:
        named.append(("last pallet leaves the yard", asked.gone))
    rows = tuple((name, *_days(hours)) for name, hours in named)
    return Table(
        "When, in days since the start", ("", "P10", "P50", "P80", "P90"), rows, notes=(LEFT_OUT, SAMPLING_ERROR_ONLY), short=3
    )


def _days(hours: Array) -> tuple[str, ...]:
    return tuple(wording.short_days(quantile(hours, share).value) for share in (0.1, 0.5, 0.8, 0.9))


def _mats(result: LiftResult) -> Table:
    measures, mat = result.scenario.measures, result.scenario.mat
    rows = []
    for state in STATES:
        full, half = result.mean_mats(state, True), result.mean_mats(state, False)
        pallets = result.mean_pallets(state)
        mass = (full + 0.5 * half) * mat.mass + pallets * mat.dunnage
        rows.append((state, f"{full:,.0f}", f"{half:,.0f}", f"{pallets:,.0f}", measures.mass.number(mass)))
    note = "Means. Full and half mats, and each state, have pallets of their own."
    if result.leaves:
        note += f" {result.mean_loads:,.0f} loads leave the yard."
    return Table(
        "What comes back", ("", "full mats", "half mats", "pallets", f"{measures.mass.name} gross"), tuple(rows), notes=(note,)
    )


def _crews(result: LiftResult) -> Table:
    rows = []
    for row in (*result.by_crews, result.other):
        name = f"{wording.counted(row.crews, 'crew')}, {row.direction}"
        waits = (f"{row.waits(what):,.0f}" for what in (HANDLERS, FORKLIFTS))
        away = (_days(row.gone)[1],) if result.leaves else ()
        rows.append((name, f"{row.people}", *_days(row.in_yard)[1:3], *away, *waits))
    hours = laying_shifts(make_calendar(result.scenario), numbered=False)
    notes = (
        "Hours on shift that each crew waited for its handlers, and these for a forklift; means. Of the same luck row by row.",
        *(("Gone: days until the last load leaves the yard, P50.",) if result.leaves else ()),
        f"Crews work {hours}; of more or fewer, each is one of these in turn and keeps its hours.",
    )
    return Table(
        "More or fewer crews, and the other direction: days until all is in the yard",
        ("", "people", "P50", "P80", *(("gone",) if result.leaves else ()), "for handlers", "for forklifts"),
        tuple(rows),
        notes=notes,
        strong=frozenset({row.crews - 1 for row in result.by_crews if row.crews == result.asked.crews}),
    )
