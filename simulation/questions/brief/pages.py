"""The inner pages of a brief: the risk by day, other plans, weather and light, the take-off: all as their questions say it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from simulation.field import TakeOff
from simulation.present.answer import Block, Figure, Page, Part, Points, Sheet, Terms, Text
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.brief.decision_sheet import grid_table, sheet_record
from simulation.questions.brief.first_page import measures_table
from simulation.questions.brief.study import BriefResult
from simulation.questions.compare.answer import plans_table
from simulation.questions.compare.picture import describe_comparison, draw_comparison
from simulation.questions.compare.sentences import write_conclusion, write_headline, write_lines, write_warnings
from simulation.questions.compare.study import CompareResult
from simulation.questions.conditions.answer import causes_table, months_table, people_tables
from simulation.questions.conditions.picture import describe_season, draw_season
from simulation.questions.conditions.sentences import find_worst_hit, loss_sentence, period
from simulation.questions.conditions.study import ConditionsResult
from simulation.questions.forecast.days.by_day_table import by_day_table
from simulation.questions.forecast.file_names import FURTHER
from simulation.questions.forecast.study import Forecast
from simulation.questions.plan.answer import frontier_part
from simulation.questions.plan.sentences import plan_lines
from simulation.questions.plan.worded.headline import plan_headline
from simulation.questions.takeoff.answer import takeoff_answer
from simulation.questions.takeoff.order_tables import describe_yard
from simulation.scenario import Scenario

_SHEET = (
    "Choose a plan: crews, start and forklifts. Every combination was simulated beforehand, under the same luck as the scenario "
    "as written; nothing is computed between them. It works without a network."
)
#: Variables that stop rules may ask for, as `conditions.weather_origin` names them.
_VARIABLES = ("wind", "gusts", "temperature", "humidity", "thunder")
#: Parts of the take-off's answer that paper has room for, by what their titles begin with.
_ON_PAPER = ("To be looked after", "Quantities")


def risk_page(forecast: Forecast, pictures: Mapping[str, Figure]) -> Page:
    """Return the chance day by day, how the field grows, and where the hours go; a picture that is not there is left out."""
    none = Text(f"No run was {forecast.ready_word} within the {wording.days(forecast.scenario.horizon)} days simulated.")
    by_day = Part(f"{forecast.ready_word.capitalize()} by which day?", (by_day_table(forecast) if forecast.by_day else none,))
    figures = [replace(pictures[name], on_paper=False) for name in FURTHER if name in pictures]
    return Page("risk", "The risk", (by_day, *(Part.of(figure, on_paper=False) for figure in figures)))


def plans_page(result: BriefResult) -> Page | None:
    """Return the comparison page; None where nothing else was tried."""
    parts: list[Part] = []
    if result.comparison is not None:
        parts.append(Part("Other plans under the same luck", _compared(result.comparison)))
    if result.grid is not None:
        parts.append(
            Part("Decision sheet", (Text(_SHEET), Sheet(sheet_record(result.grid)), grid_table(result.grid)), on_paper=False)
        )
    if result.best is not None:
        said = Text(plan_headline(result.best), strong=True), Points(tuple(plan_lines(result.best)))
        parts.append(Part("The best plan within the limits", (*said, *frontier_part(result.best).blocks)))
    if result.measures is not None and result.measures.rows:
        table = measures_table(result.measures, list(result.measures.rows), "Every change that was tried")
        left_out = [f"{change.name} ({change.why})" for change in result.measures.left_out]
        not_tried = [Text(f"Not tried: {'; '.join(left_out)}.")] if left_out else []
        parts.append(Part("What each change would buy", (table, *not_tried), on_paper=False))
    return Page("plans", "Other plans", tuple(parts)) if parts else None


def _compared(result: CompareResult) -> tuple[Block, ...]:
    draw, describe = partial(draw_comparison, result), partial(describe_comparison, result)
    return (
        Points((write_headline(result), *write_lines(result), *write_warnings(result))),
        plans_table(result),
        Figure("plans", write_conclusion(result), draw, describe, on_paper=False),
    )


def conditions_page(result: ConditionsResult) -> Page:
    """Return the page; paper has room for the answer and the table of the first kind of work only."""
    first, *others = result.works
    tables = [causes_table(lost) for lost in result.works]
    answer: tuple[Block, ...] = (
        Text(loss_sentence(first, find_worst_hit(result, first)), strong=True),
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


def takeoff_page(scenario: Scenario, quantities: TakeOff, plan: Figure | None = None) -> Page:
    """Return the page; paper has the plan only where a page would otherwise end empty."""
    every = takeoff_answer(scenario, quantities).parts
    if scenario.takes_up:
        drawn = [] if plan is None else [Part("The field to scale", (replace(plan, on_paper=False, if_room=True),))]
        return Page("takeoff", "What comes back", (*every, *drawn))
    parts = [part for title in _ON_PAPER for part in every if part.title.startswith(title)]
    first = len(parts)
    parts += [replace(part, on_paper=False) for part in every if part not in parts]
    parts.insert(first, Part("Everything that is ordered", (_order(quantities),)))
    if plan is not None:
        parts.insert(first + 1, Part("The field to scale", (replace(plan, on_paper=False, if_room=True),)))
    return Page("takeoff", "Take-off", tuple(parts))


def _order(quantities: TakeOff) -> Terms:
    """Return what stands on the pallets of each kind."""
    order = quantities.ordered
    rows = [
        (
            f"{group.what} ({wording.counted(group.pallets, 'pallet')})",
            "; ".join(f"{line.item}: {wording.number(line.order)}" for line in order.lines if line.on == group.what),
        )
        for group in order.pallets
    ]
    whole = f"{wording.counted(order.total_pallets, 'pallet')}, {quantities.measures.mass.rounded(order.mass)} gross"
    return Terms((*rows, ("to order, with spares", f"{whole}, {describe_yard(quantities)}")))
