"""Writes the first page of a brief: when, how likely, what holds it up, what would help most, what to order."""

from __future__ import annotations

import math
from collections.abc import Mapping

from simulation.field import TakeOff
from simulation.present.answer import Block, Figure, Page, Part, Points, Table, Text
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS, change_format, meanings, whole
from simulation.present.words.job_words import ready_word
from simulation.present.words.pallet_words import lopsided_in_words, planned_in_words, to_order_in_words
from simulation.present.words.trial_words import AROUND, AROUND_MEANS, AROUND_SHORT, count_runs, judged_change
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.questions.bottlenecks.sentences import gain_lines, held_back, held_lines
from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow
from simulation.questions.brief.study import MEASURES, BriefResult
from simulation.questions.forecast import overview
from simulation.questions.forecast.cause_sentences import say_causes, say_late
from simulation.questions.forecast.coming_back import say_what_came_back
from simulation.questions.forecast.file_names import S_CURVE
from simulation.questions.forecast.milestone_tables import other_milestones_table, ready_table
from simulation.questions.forecast.outrun_sentences import say_outrun
from simulation.questions.forecast.sentences import headline, say_deadline
from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.yard_room import say_yard_room
from simulation.questions.update.answer import update_answer
from simulation.questions.update.sentences import update_lines

#: Measures that the first page has room for. Planning value.
MOST_MEASURES = 6


def first_page(result: BriefResult, quantities: TakeOff, pictures: Mapping[str, Figure]) -> Page:
    """Return the first page: the forecast's own sentences and tables, with what would help and what to order."""
    forecast = result.forecast
    return Page(
        "answer",
        "The answer",
        (
            *_standing(result),
            Part(f"When is it {forecast.ready_word}?", _ready(forecast, pictures)),
            Part("How likely by the deadline?", _likely(forecast)),
            Part("What holds it up?", _holds_up(forecast, result.measures)),
            Part("What would help most?", _helps(result.measures, MEASURES in result.missing)),
            Part("What comes back?" if forecast.scenario.takes_up else "What to order?", _order(forecast, quantities)),
        ),
    )


def _standing(result: BriefResult) -> tuple[Part, ...]:
    """Return where the work stands, with the picture of it; nothing where it has not begun."""
    standing = result.standing
    if standing is None:
        return ()
    figure = update_answer(standing).figures[0]
    first, *others = update_lines(standing)
    return (Part("Where do we stand?", (Text(first, strong=True), Points(tuple(others)), figure)),)


def _ready(forecast: Forecast, pictures: Mapping[str, Figure]) -> tuple[Block, ...]:
    curve = (pictures[S_CURVE],) if S_CURVE in pictures else ()
    others = (other_milestones_table(forecast),) if len(forecast.milestones) > 1 else ()
    return (Text(headline(forecast), strong=True), ready_table(forecast), *curve, *others)


def _likely(forecast: Forecast) -> tuple[Block, ...]:
    if forecast.deadline is None:
        return (Text("No deadline was given. The table by day under “The risk” gives the chance for the end of each day."),)
    chance = Text(say_deadline(forecast), strong=True)
    eighty, at = forecast.readiness.quantile(0.8).value, forecast.deadline.deadline.hours
    if math.isinf(eighty):
        return (chance,)
    apart = wording.days(abs(eighty - at))
    side = "after" if eighty > at else "before"
    lies = "is the deadline itself to a tenth of a day" if apart == "0.0" else f"lies {apart} days {side} the deadline"
    return chance, Text(f"P80, the time that four in five runs keep, {lies}.")


def _holds_up(forecast: Forecast, measures: BottlenecksResult | None) -> tuple[Block, ...]:
    if not forecast.causes:
        return (Text("No run finished by the last day simulated, so no cause can be given."),)
    if measures is not None:  # of the runs of the forecast, too
        held = held_lines(measures)
    else:
        held = held_back(attribute_hours(forecast.table, forecast.readiness.name), forecast.ready_word)
    return tuple(map(Text, (*say_outrun(forecast), *held, say_causes(forecast), *say_late(forecast))))


def _helps(result: BottlenecksResult | None, stopped: bool) -> tuple[Block, ...]:
    if result is None and stopped:
        return (Text("Not reached before the brief was stopped. The same command goes on from there."),)
    if result is None:
        return (Text("Not asked: measures were left out of this brief."),)
    lines = gain_lines(result)  # who holds it up is told above, of the runs of the forecast
    blocks: list[Block] = [Points(tuple(lines))] if lines else []
    # What is shown to move P80 stands before what moves the mean alone.
    best = [*(row for row in result.rows if row.earns), *(row for row in result.rows if row.earns_mean and not row.earns)]
    if best:
        title = f"What helps most, of {wording.counted(len(result.rows), 'change')} tried"
        blocks.append(measures_table(result, best[:MOST_MEASURES], title))
    elif not lines:
        blocks.append(Text("Nothing was tried."))
    return tuple(blocks)


def measures_table(result: BottlenecksResult, tried: list[BottlenecksRow], title: str) -> Table:
    """Return what changes would buy at P80, and by the deadline if there is one."""
    digits = change_format(result.outcome)
    deadline = result.outcome.deadline
    before = result.outcome.chance
    rows = []
    for row in tried:
        cells = judged_change(row.against, digits)
        chance = () if row.outcome.chance is None else (whole(row.outcome.chance.probability),)
        rows.append((row.trial.name, *cells, *chance))
    by = (
        ()
        if deadline is None or before is None
        else (f"{ready_word(result.outcome.scenario)} by {deadline.text} (as it is {whole(before.probability)})",)
    )
    notes = [
        f"{count_runs(result)}, each with the same random draws. Below zero is earlier; {AROUND_SHORT}",
        "In brackets: no measurable effect.",
        AROUND_MEANS,
        *meanings([(HOURS, row.against.around_p80) for row in tried if not row.identical]),
    ]
    if any(row.trial.name.startswith("day and night") for row in tried):
        notes.append("Day and night: other people work the night, at the night_rate of each shift.")
    return Table(title, ("change", f"change of P80, {digits.name}", AROUND, *by), tuple(rows), notes=tuple(notes))


def _order(forecast: Forecast, quantities: TakeOff) -> tuple[Block, ...]:
    if forecast.came_back is not None:
        leaves = [f"Pallets a day: {overview.gate(forecast)}."] if forecast.scenario.leaves else []
        said = Text(say_what_came_back(forecast.scenario, forecast.came_back), strong=True)
        return (said, Points((say_yard_room(forecast.came_back.yard), *leaves, f"On site: {overview.people(forecast)}.")))
    measures, mass = quantities.measures, quantities.ordered.mass
    return (
        Text(to_order_in_words(quantities), strong=True),
        *(Text(line, strong=True) for line in lopsided_in_words(quantities)),
        Points(
            (
                f"They weigh {measures.mass.rounded(mass)} gross ({measures.tons.rounded(mass)}); the mats cover "
                f"{quantities.total('full'):,.0f} full and {quantities.total('half'):,.0f} half mats, "
                f"{measures.area.rounded(quantities.total('square_feet'))}.",
                planned_in_words(quantities),
                f"Damage beyond the spares, so that mats are ordered again: {overview.shortage(forecast)}.",
                f"On site: {overview.people(forecast)}.",
            )
        ),
    )
