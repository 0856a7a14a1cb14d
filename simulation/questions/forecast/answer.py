"""The forecast as an answer: sentences, tables, pictures, a record, and a sheet of the runs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.construction.site.edges.waits import FOR_MATS
from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.spreadsheet import format_frame
from simulation.present.words import wording
from simulation.present.words.job_words import cautions_of
from simulation.questions.forecast.coming_back import came_back_table
from simulation.questions.forecast.days.by_day_table import by_day_table
from simulation.questions.forecast.drawn.figures import s_curve_picture
from simulation.questions.forecast.file_names import RUNS_SHEET
from simulation.questions.forecast.milestone_tables import bands_table, means_table, other_milestones_table, ready_table
from simulation.questions.forecast.overview import first_day_terms, published_terms
from simulation.questions.forecast.record import forecast_record
from simulation.questions.forecast.sentences import answer_lines, find_warnings, headline, say_what_was_done
from simulation.questions.forecast.tasks import growth_table, lengths_table, tasks_table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.questions.forecast.study import Forecast
    from simulation.replicate.run_table import RunTable

#: Milestones that the short form has room for. Planning value.
MOST_MILESTONES = 4

_BROUGHT = (
    "Mats are waited for until a forklift sets them down at the laying edge: they may stand in the yard while forklifts carry, "
    "unload, are under repair or off shift."
)
_USE = (
    f"{wording.WORKABLE} Sweep: the final sweep, inspection and marking. Resting: while another crew has its turn at the laying "
    "edge. Waiting: all else."
)


def forecast_answer(forecast: Forecast, further: Sequence[Figure] = ()) -> Answer:
    """Return the answer to when the field is ready.

    Parameters
    ----------
    forecast : Forecast
    further : sequence of Figure
        Beside the S-curve; see `forecast_pictures`.
    """
    study = forecast.study
    return Answer(
        question="forecast",
        title=forecast.scenario.title,
        about=say_what_was_done(forecast),
        headline=headline(forecast),
        lines=tuple(answer_lines(forecast)),
        warnings=tuple(find_warnings(forecast)),
        pages=(Page("forecast", f"When is it {forecast.ready_word}, and how sure is that?", tuple(_parts(forecast, further))),),
        record=forecast_record(forecast),
        study={} if study is None else study_record(study.manifest, whole=True),
        cautions=cautions_of(forecast.scenario),
        sheets={RUNS_SHEET: format_frame(_reached(forecast.table))},
        stopped="" if study is None else study.stopped,
    )


def _parts(forecast: Forecast, further: Sequence[Figure]) -> list[Part]:
    curve, several = s_curve_picture(forecast), len(forecast.milestones) > 1
    parts = [Part.of(ready_table(forecast), short=True)]
    if several and len(forecast.milestones) <= MOST_MILESTONES:  # more of them stand in the table of all bands alone
        parts.append(Part.of(other_milestones_table(forecast), short=True))
    if forecast.came_back is not None:
        parts.append(Part.of(came_back_table(forecast.scenario, forecast.came_back), short=True))
    if forecast.tasks:
        parts.append(Part.of(tasks_table(forecast.areas, forecast.tasks, forecast.run_count)))
    if forecast.lengths:
        parts.append(Part.of(lengths_table(forecast.scenario, forecast.lengths)))
        areas = dict.fromkeys(length.area for length in forecast.lengths)
        parts += [Part.of(growth_table(forecast.scenario, forecast.table, area)) for area in areas]
    parts.append(Part.of(curve))
    parts.append(Part.of(means_table(forecast)))
    if several:
        parts.append(Part.of(bands_table(forecast)))
    if forecast.by_day:
        parts.append(Part.of(by_day_table(forecast)))
    if forecast.causes:
        parts += [Part.of(_causes_table(forecast)), Part.of(_use_table(forecast))]
    parts.append(Part("Rates, people and supply", (first_day_terms(forecast),)))
    parts.append(Part("Published rates to compare with", (published_terms(forecast),)))
    return parts + [Part.of(figure, on_paper=False) for figure in further]


def _causes_table(forecast: Forecast) -> Table:
    none = forecast.unfinished == forecast.run_count
    causes = forecast.causes
    columns = [row.hours for row in causes], [row.share for row in causes], [row.late_hours for row in causes]
    name = (
        "all, the last day simulated"
        if none
        else f"all, the mean time {'to the end' if forecast.scenario.takes_up else 'of readiness'}"
    )
    names = [*(row.cause for row in causes), name]
    shown = zip(names, *([*column, math.fsum(column)] for column in columns), strict=True)
    rows = [(cause, f"{hours:.1f}", wording.percent(share), f"{late:.1f}") for cause, hours, share, late in shown]
    return Table(
        "What held the work up until the last day simulated"
        if none
        else f"What takes the time to {forecast.readiness.name}: hours of the chain of causes",
        ("cause", "hours", "share", "late runs, hours"),
        tuple(rows),
        notes=(_late_note(forecast), wording.ROUNDED),
        strong=frozenset({len(rows) - 1}),
        ends=frozenset({len(rows) - 2}),
    )


def _late_note(forecast: Forecast) -> str:
    chain = "Working backwards from the finish, every hour has one cause."
    if forecast.unfinished == forecast.run_count:
        return f"{chain} Here it counts back from the last day simulated."
    note = f"{chain} Off shift: whoever the work waits for is off shift."
    note += f" Late runs: the fifth that were {forecast.ready_word} last."
    if forecast.unfinished:
        note += f" Over the {wording.counted(forecast.run_count - forecast.unfinished, 'finished run')} only."
    return note


def _use_table(forecast: Forecast) -> Table:
    up_to = "the last day simulated" if forecast.unfinished == forecast.run_count else forecast.readiness.name
    rows = []
    for row in forecast.use:
        spent = (row.working, row.repair, row.closing, row.resting, row.waiting)
        rows.append((row.actor, f"{row.on_shift:.0f}", *(wording.percent(row.share(hours)) for hours in spent)))
    waited = [f"{hours:,.1f} for {what}" for what, hours in forecast.waited if hours >= 0.05]
    whose = "they or their handlers" if forecast.scenario.takes_up else "their laying edges"
    notes = (_USE, *([f"While crews were on shift, {whose} waited, in hours: {', '.join(waited)}."] if waited else []))
    if any(hours >= 0.05 for what, hours in forecast.waited if what in FOR_MATS):
        notes = (*notes, _BROUGHT)
    columns = ("who", "workable hours", "working", "in repair", "sweep", "resting", "waiting")
    return Table(f"Who is busy up to {up_to}, as shares of the workable hours", columns, tuple(rows), notes=notes)


def _reached(runs: RunTable) -> RunTable:
    """Return runs without the columns of days on which no run was at work any more."""
    days = [name for name in runs.columns if name.startswith("day.")]
    return runs.without([name for name in days if not (runs[name] > 0).any()])
