"""What does a brief say of sky and ground? What weather and light take in the months of the job, and whose weather that is."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Block, Figure, Page, Part, Terms, Text
from simulation.present.figure import listed
from simulation.questions.brief.risk import of_rich
from simulation.questions.conditions import tables as season_tables
from simulation.questions.conditions.picture import draw_season

if TYPE_CHECKING:
    from simulation.questions.conditions.study import ExpectedLosses
    from simulation.questions.conditions.work_lost import WorkLost

#: Variables that stop rules may ask for, as `analysis.weather_origin` names them.
_VARIABLES = ("wind", "gusts", "temperature", "humidity", "thunder")


def conditions_page(found: ExpectedLosses) -> Page:
    """Return the page; paper has room for the answer and the table of the first kind of work only."""
    first, *others = found.works
    tables = [
        of_rich(season_tables.causes_table(one), f"{_upper(one.work.name)}: hours and days that are lost") for one in found.works
    ]
    answer: tuple[Block, ...] = (
        Text(_upper(season_tables.losses_answer(first)), strong=True),
        Text(season_tables.period(found)),
        replace(tables[0], notes=(*tables[0].notes, season_tables.HALF)),
    )
    rest = [Text(_upper(season_tables.losses_answer(one))) for one in others]
    months = of_rich(season_tables.months_table(found, first), f"{_upper(first.work.name)}: lost to weather by month")
    months = replace(months, notes=(*months.notes, season_tables.months_note(found)))
    people = [of_rich(table, title, (note,)) for title, table, note in season_tables.people_tables(found)]
    picture = Figure(
        "conditions", "One drawn season", partial(draw_season, found, first), partial(_describe, found, first), on_paper=False
    )
    return Page(
        "conditions",
        "Conditions",
        (
            Part("What do weather and light take?", answer),
            Part("Other kinds of work, and month by month", (*rest, *tables[1:], months, *people), on_paper=False),
            Part("One drawn season", (picture,), on_paper=False),
            Part("Where the weather comes from", (Terms(tuple(found.origin.items())), *_not_stated(found))),
        ),
    )


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _describe(found: ExpectedLosses, shown: WorkLost) -> str:
    """Return what the calendar shows, for readers who do not see it."""
    season = found.typical[shown.work.name]
    return (
        f"Calendar of one drawn season, number {season} of {found.seasons:,}: what takes each hour of each day from "
        f"{shown.work.name}; beside it the mean loss of each month over all seasons. {_upper(season_tables.losses_answer(shown))}"
    )


def _not_stated(found: ExpectedLosses) -> list[Text]:
    """Return what plays no part, because no rule of the scenario asks for it."""
    if found.scenario.weather.model == "none":
        return []
    missing = [name for name in _VARIABLES if name not in found.origin]
    return [Text(f"Not considered, since no rule of the scenario asks for it: {listed(missing)}.")] if missing else []
