"""What does a brief say of sky and ground? What weather and light take in the months of the job, and whose weather that is."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.report import season_tables
from simulation.report.brief_content import Block, Figure, Page, Part, Table, Terms, Text
from simulation.report.brief_risk import of_rich
from simulation.report.pictures import Picture
from simulation.report.season_picture import draw_season

if TYPE_CHECKING:
    from simulation.analysis.expected_losses import ExpectedLosses


def conditions_page(found: ExpectedLosses) -> Page:
    """Return the page; paper has room for the answer and the table of the first kind of work only."""
    first, *others = found.works
    answer: list[Block] = [Text(season_tables.period(found)), Text(season_tables.losses_answer(first), strong=True)]
    tables = [of_rich(season_tables.causes_table(one), f"{one.work.name}: hours and days that are lost") for one in found.works]
    rest: list[Block] = [Text(season_tables.losses_answer(one)) for one in others]
    months = of_rich(season_tables.months_table(found, first), f"{first.work.name}: by month")
    people: list[Block] = [of_rich(table, title, (note,)) for title, table, note in season_tables.people_tables(found)]
    origin = Terms(tuple(found.origin.items()))
    parts = [Part("What do weather and light take?", (*answer, _with_note(tables[0])))]
    parts.append(Part("Other kinds of work, and month by month", (*rest, *tables[1:], months, *people), on_paper=False))
    picture = Picture("conditions", partial(draw_season, found, first), partial(season_tables.losses_answer, first))
    parts.append(Part("One season", (Figure("One drawn season", picture, picture.describe(), False),), on_paper=False))
    parts.append(Part("Where the weather comes from", (origin,)))
    return Page("conditions", "Conditions", tuple(parts))


def _with_note(table: Table) -> Table:
    return Table(table.title, table.columns, table.rows, table.words, (*table.notes, season_tables.HALF))
