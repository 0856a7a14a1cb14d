"""What do pictures of a forecast say below their titles? Which scenario it is, and what is drawn."""

from __future__ import annotations

from simulation.present.pictures.figure import PLAIN, cut
from simulation.questions.forecast.study import Forecast

#: Inches of a scenario's title: the rest of two lines is for what is drawn.
_TITLE = 2.6


def shown_of(forecast: Forecast, drawn: str) -> str:
    """Return the line below a title: the scenario's own title, shortened, and what is drawn."""
    return f"{cut(forecast.scenario.title, PLAIN, _TITLE)}: {drawn}"
