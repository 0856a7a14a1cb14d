"""What stands on the risk page of a brief? The S-curve, the chance day by day, how the field grows, and where the hours go."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.questions.brief.content import Figure, Page, Part, Table, Text
from simulation.questions.forecast.by_day_table import by_day_notes, by_day_table

if TYPE_CHECKING:
    from rich.table import Table as RichTable

    from simulation.questions.forecast.pictures import Picture
    from simulation.questions.forecast.study import Forecast

#: Picture -> title of the part it has on the screen.
_FURTHER = {
    "progress": "How the field grows",
    "stations": "Where the laying edges are",
    "causes": "What the time goes into",
    "use": "Who is at work when",
    "losses": "Days lost to weather and dark",
}


def risk_page(forecast: Forecast, pictures: Mapping[str, Picture]) -> Page:
    """Return the risk page; a picture that is not there is left out."""
    curve = [_figure(pictures, "s_curve", "The share of runs that are ready, against days", True)]
    parts = [Part("Ready by which day?", (*(one for one in curve if one), *_by_day(forecast)))]
    for name, title in _FURTHER.items():
        figure = _figure(pictures, name, title, False)
        if figure is not None:
            parts.append(Part(title, (figure,), on_paper=False))
    return Page("risk", "The risk", tuple(parts))


def _figure(pictures: Mapping[str, Picture], name: str, title: str, on_paper: bool) -> Figure | None:
    picture = pictures.get(name)
    return None if picture is None else Figure(title, picture, picture.describe(), on_paper)


def _by_day(forecast: Forecast) -> tuple[Table | Text, ...]:
    if not forecast.by_day:
        return (Text(f"No run was ready within the {wording.days(forecast.scenario.horizon)} days simulated."),)
    title = f"Chance that {forecast.readiness.name} is reached by the end of each day"
    return (of_rich(by_day_table(forecast), title, tuple(by_day_notes(forecast)), words=("being ready is",)),)


def of_rich(table: RichTable, title: str, notes: tuple[str, ...] = (), words: tuple[str, ...] = ()) -> Table:
    """Return a table of the terminal as one of a brief."""
    names = tuple(str(column.header) for column in table.columns)
    rows = tuple(zip(*([str(cell) for cell in column.cells] for column in table.columns), strict=True))
    return Table(title, names, rows, frozenset(names.index(word) for word in words if word in names), notes)
