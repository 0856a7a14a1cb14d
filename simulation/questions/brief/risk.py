"""What stands on the risk page of a brief? The S-curve, the chance day by day, how the field grows, and where the hours go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Figure, Page, Part, Table, Text
from simulation.questions.forecast.by_day_table import by_day_table
from simulation.questions.forecast.pictures import FURTHER, S_CURVE

if TYPE_CHECKING:
    from rich.table import Table as RichTable

    from simulation.questions.forecast.study import Forecast


def risk_page(forecast: Forecast, pictures: Mapping[str, Figure]) -> Page:
    """Return the risk page; a picture that is not there is left out."""
    curve = [pictures[S_CURVE]] if S_CURVE in pictures else []
    parts = [Part("Ready by which day?", (*curve, *_by_day(forecast)))]
    for name in FURTHER:
        if name in pictures:
            figure = replace(pictures[name], on_paper=False)
            parts.append(Part(figure.title, (figure,), on_paper=False))
    return Page("risk", "The risk", tuple(parts))


def _by_day(forecast: Forecast) -> tuple[Table | Text, ...]:
    if not forecast.by_day:
        return (Text(f"No run was ready within the {wording.days(forecast.scenario.horizon)} days simulated."),)
    return (by_day_table(forecast),)


def of_rich(table: RichTable, title: str, notes: tuple[str, ...] = (), words: tuple[str, ...] = ()) -> Table:
    """Return a table of the terminal as one of a brief."""
    names = tuple(str(column.header) for column in table.columns)
    rows = tuple(zip(*([str(cell) for cell in column.cells] for column in table.columns), strict=True))
    return Table(title, names, rows, frozenset(names.index(word) for word in words if word in names), notes)
