"""Writes the risk page of a brief: the chance day by day, how the field grows, and where the hours go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Figure, Page, Part, Table, Text
from simulation.questions.forecast.by_day_table import by_day_table
from simulation.questions.forecast.drawn.figures import FURTHER

if TYPE_CHECKING:
    from simulation.questions.forecast.study import Forecast


def risk_page(forecast: Forecast, pictures: Mapping[str, Figure]) -> Page:
    """Return the risk page; a picture that is not there is left out."""
    parts = [Part("Ready by which day?", _by_day(forecast))]
    for name in FURTHER:
        if name in pictures:
            figure = replace(pictures[name], on_paper=False)
            parts.append(Part(figure.title, (figure,), on_paper=False))
    return Page("risk", "The risk", tuple(parts))


def _by_day(forecast: Forecast) -> tuple[Table | Text, ...]:
    if not forecast.by_day:
        return (Text(f"No run was ready within the {wording.days(forecast.scenario.horizon)} days simulated."),)
    return (by_day_table(forecast),)
