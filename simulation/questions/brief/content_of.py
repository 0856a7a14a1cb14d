"""Puts a brief together, from the first page to the last: an answer made of answers, the same for screen and paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Answer, Page, Part
from simulation.present.record import study_record
from simulation.questions.brief.answer import answer_page, headline
from simulation.questions.brief.conditions import conditions_page
from simulation.questions.brief.inputs import inputs_block
from simulation.questions.brief.method import cautions_page, few, method_page, repeat_page
from simulation.questions.brief.plans import plans_page
from simulation.questions.brief.record import brief_record
from simulation.questions.brief.risk import risk_page
from simulation.questions.brief.takeoff import takeoff_page
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.present.answer import Figure
    from simulation.questions.brief.study import Findings
    from simulation.questions.conditions.study import ConditionsResult


def compose_brief(
    found: Findings, pictures: Sequence[Figure] = (), folder: Path | None = None, losses: ConditionsResult | None = None
) -> Answer:
    """Return the brief of what was found.

    Parameters
    ----------
    found : Findings
    pictures : sequence of Figure
        Of the forecast and its field; see `s_curve_picture`, `forecast_pictures` and `plan_of`. One that is missing is left out.
    folder : Path, optional
        Where the runs are kept, for the command that repeats them.
    losses : ConditionsResult, optional
        What weather and light take, see `expected_losses`; without it the page on conditions is left out.
    """
    from simulation.field import take_off

    forecast = found.forecast
    scenario = forecast.scenario
    quantities, drawn = take_off(scenario), {one.name: one for one in pictures}
    starts = scenario.starts
    about = (
        f"Forecast of a matted airfield: {wording.counted(forecast.run_count, 'simulated run')}, seed {forecast.seed}, "
        f"start {day(starts)} {starts:%H:%M}. A planning aid; see the cautions."
    )
    pages: list[Page | None] = [
        answer_page(found, quantities, drawn),
        risk_page(forecast, drawn),
        plans_page(found),
        None if losses is None else conditions_page(losses),
        takeoff_page(scenario, quantities, drawn.get("plan")),
        method_page(forecast),
        cautions_page(),
        repeat_page(found, folder),
        Page("assumptions", "Assumptions", (Part("Every input, its spread and where it comes from", (inputs_block(scenario),)),)),
    ]
    return Answer(
        question="brief",
        title=scenario.title,
        about=about,
        headline=headline(forecast),
        warnings=few(found),
        pages=tuple(page for page in pages if page is not None),
        record=brief_record(found, quantities, losses),
        study={} if forecast.study is None else study_record(forecast.study.manifest),
        stopped=found.stopped,
    )
