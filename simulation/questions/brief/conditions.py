"""What does a brief say of sky and ground? What weather and light take in the months of the job, and whose weather that is."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Block, Figure, Page, Part, Terms, Text
from simulation.present.figure import listed
from simulation.questions.conditions.answer import causes_table, months_table, people_tables
from simulation.questions.conditions.picture import describe_season, draw_season
from simulation.questions.conditions.sentences import loss_sentence, period

if TYPE_CHECKING:
    from simulation.questions.conditions.study import ConditionsResult

#: Variables that stop rules may ask for, as `conditions.weather_origin` names them.
_VARIABLES = ("wind", "gusts", "temperature", "humidity", "thunder")


def conditions_page(result: ConditionsResult) -> Page:
    """Return the page; paper has room for the answer and the table of the first kind of work only."""
    first, *others = result.works
    tables = [causes_table(lost) for lost in result.works]
    answer: tuple[Block, ...] = (
        Text(loss_sentence(first), strong=True),
        Text(f"{period(result)}."),
        tables[0],
    )
    rest = [Text(loss_sentence(lost)) for lost in others]
    title = "One drawn season"
    picture = Figure(
        "conditions", title, partial(draw_season, result, first), partial(describe_season, result, first), on_paper=False
    )
    return Page(
        "conditions",
        "Conditions",
        (
            Part("What do weather and light take?", answer),
            Part(
                "Other kinds of work, and month by month",
                (*rest, *tables[1:], months_table(result, first), *people_tables(result)),
                on_paper=False,
            ),
            Part(title, (picture,), on_paper=False),
            Part("Where the weather comes from", (Terms(tuple(result.origin.items())), *_not_stated(result))),
        ),
    )


def _not_stated(result: ConditionsResult) -> list[Text]:
    """Return what plays no part, because no rule of the scenario asks for it."""
    if result.scenario.weather.model == "none":
        return []
    missing = [name for name in _VARIABLES if name not in result.origin]
    return [Text(f"Not considered, since no rule of the scenario asks for it: {listed(missing)}.")] if missing else []
