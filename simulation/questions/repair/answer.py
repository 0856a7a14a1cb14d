"""Make the result of repair an answer: which way is quicker, what it needs, and what a season of damage costs."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import CAUTIONS as ALWAYS
from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.words import wording
from simulation.questions.repair.picture import describe_repair, draw_repair
from simulation.questions.repair.record import repair_record
from simulation.questions.repair.sentences import (
    CAUTIONS,
    asked_words,
    at_words,
    conclude,
    direction,
    hours_kept,
    picture_title,
    repair_lines,
    strip_station,
)
from simulation.questions.repair.study import quantile
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.damage.repair_draws import first_crew

if TYPE_CHECKING:
    from simulation.questions.repair.study import Array, RepairResult

_SHARES = (0.1, 0.5, 0.8, 0.9)
OPENED = (
    "Whole rows are opened; their mats are put down beside the gap and laid again. Ends of an area and the starter key strip are "
    "not opened."
)


def repair_answer(result: RepairResult, stem: str = "repair") -> Answer:
    """Return the answer to how damaged mats are mended soonest; `stem` names its files."""
    headline = conclude(result)
    figure = Figure(stem, picture_title(result), partial(draw_repair, result), partial(describe_repair, result))
    tables = [(_ways(result), True), (_needs(result), True), *([(_season(result), True)] if result.season else [])]
    title = "Two ways to mend it"
    return Answer(
        question="repair",
        title=result.scenario.title,
        about=f"a repair of {asked_words(result)} at {at_words(result)}; {wording.counted(result.runs, 'run')}, "
        f"seed {result.seed}, {hours_kept(result)}",
        headline=headline,
        lines=tuple(repair_lines(result)),
        pages=(Page("repair", title, (*(Part.of(table, short=short) for table, short in tables), Part.of(figure))),),
        record=repair_record(result),
        study={"seed": result.seed},
        stem=stem,
        cautions=(*ALWAYS, *CAUTIONS),
    )


def _ways(result: RepairResult) -> Table:
    asked = result.asked
    rows = [("cut out and replace", "", *_quantiles(asked.cut_out))]
    for number, (way, hours) in enumerate(zip(asked.ways, asked.opened, strict=True)):
        name = f"open {direction(way.along)} assembly, from {strip_station(result, number)}"
        rows.append((name, f"{len(way.rows)}", *_quantiles(hours)))
    chance = result.opening_quicker
    notes = (
        [] if chance is None else [f"The quicker opening takes less time than cutting out in {wording.chance(chance)} of runs."]
    )
    return Table(
        "How long the strip is closed, in hours",
        ("way", "rows", "P10", "P50", "P80", "P90"),
        tuple(rows),
        notes=(*notes, OPENED, SAMPLING_ERROR_ONLY),
    )


def _quantiles(hours: Array) -> tuple[str, ...]:
    values = (quantile(hours, share).value for share in _SHARES)
    return tuple("beyond" if value == float("inf") else f"{value:,.1f}" for value in values)


def _needs(result: RepairResult) -> Table:
    asked, repair, scenario = result.asked, result.scenario.repair, result.scenario
    full = sum(mat.full for mat in asked.mats)
    mats = f"{full} full, {len(asked.mats) - full} half"
    gangs = min(repair.gangs, len(asked.mats))
    name = result.location.area.name
    crew = scenario.crew[first_crew(scenario, name) if result.crew is None else result.crew.number]
    rows = [("cut out and replace", f"{gangs * repair.people}", wording.counted(gangs, "saw"), mats)]
    if asked.best is not None:
        strips = wording.counted(len(asked.ways[asked.best].strips), "key strip")
        rows.append(("open and lay again", f"{crew.people} (crew {crew.name})", f"winch; draws {strips}", mats))
    ground = (f"Ground first: {scenario.measures.area.rounded(asked.ground)} filled, tamped and graded.",) if asked.ground else ()
    return Table(
        "What is needed", ("way", "people", "tools", "replacement mats"), tuple(rows), words=frozenset({1, 2, 3}), notes=ground
    )


def _season(result: RepairResult) -> Table:
    season = result.season
    assert season is not None
    named = (
        ("closed, hours a month", season.a_month(season.closed)),
        ("mats a month", season.a_month(season.mats)),
        ("repairs a month", season.a_month(season.repairs)),
        ("mats of the stay", season.mats),
        ("closed hours of the stay", season.closed),
    )
    rows = tuple((name, f"{values.mean():,.1f}", *(_quantiles(values)[1:])) for name, values in named)
    opened = int(season.opened.sum()), int(season.repairs.sum())
    share = f" {100 * opened[0] / opened[1]:.0f} % of them are opened at a key strip." if opened[1] else ""
    note = f"A month is 30 days. Each repair is done in the way that is quicker on average.{share}"
    return Table(
        f"A season of damage on {season.area}: a stay of {season.hours / 24:,.0f} days",
        ("", "mean", "P50", "P80", "P90"),
        rows,
        notes=(note, "Between inspections damage is not seen, and the strip stays open."),
    )
