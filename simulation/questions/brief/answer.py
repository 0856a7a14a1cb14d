"""Puts a brief together, from the first page to the last: an answer made of answers, the same for screen and paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from simulation.field import TakeOff, take_off
from simulation.present.answer import Answer, Figure, Page, Part
from simulation.present.pictures.figure import listed
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.questions.bottlenecks.record import bottlenecks_record
from simulation.questions.brief.decision_sheet import sheet_record
from simulation.questions.brief.first_page import first_page
from simulation.questions.brief.inputs import inputs_block
from simulation.questions.brief.method import cautions_page, method_page, repeat_page
from simulation.questions.brief.pages import conditions_page, plans_page, risk_page, takeoff_page
from simulation.questions.brief.study import BriefResult
from simulation.questions.compare.record import compare_record
from simulation.questions.conditions.record import conditions_record
from simulation.questions.conditions.study import ConditionsResult
from simulation.questions.forecast.record import forecast_record
from simulation.questions.forecast.sentences import find_warnings, headline
from simulation.questions.takeoff.record import takeoff_record
from simulation.questions.update.record import update_record
from simulation.study.calendar import day


def brief_answer(
    result: BriefResult, pictures: Sequence[Figure] = (), folder: Path | None = None, losses: ConditionsResult | None = None
) -> Answer:
    """Return the brief as an answer.

    Parameters
    ----------
    result : BriefResult
    pictures : sequence of Figure
        Of the forecast and its field; see `s_curve_picture`, `forecast_pictures` and `plan_of`. One that is missing is left out.
    folder : Path, optional
        Where the runs are kept, for the command that repeats them.
    losses : ConditionsResult, optional
        What weather and light take, see `expected_losses`; without it the page on conditions is left out.
    """
    forecast = result.forecast
    scenario = forecast.scenario
    quantities, drawn = take_off(scenario), {figure.name: figure for figure in pictures}
    starts = scenario.starts
    about = (
        f"Forecast of a matted airfield: {wording.counted(forecast.run_count, 'simulated run')}, seed {forecast.seed}, "
        f"start {day(starts)} {starts:%H:%M}. A planning aid; see the cautions."
    )
    pages: list[Page | None] = [
        first_page(result, quantities, drawn),
        risk_page(forecast, drawn),
        plans_page(result),
        None if losses is None else conditions_page(losses),
        takeoff_page(scenario, quantities, drawn.get("plan")),
        method_page(forecast),
        cautions_page(scenario),
        repeat_page(result, folder),
        Page("assumptions", "Assumptions", (Part("Every input, its spread and where it comes from", (inputs_block(scenario),)),)),
    ]
    return Answer(
        question="brief",
        title=scenario.title,
        about=about,
        headline=headline(forecast),
        warnings=list_warnings(result),
        pages=tuple(page for page in pages if page is not None),
        record=_record(result, quantities, losses),
        study={} if forecast.study is None else study_record(forecast.study.manifest),
        stopped=result.stopped,
    )


def list_warnings(result: BriefResult) -> tuple[str, ...]:
    """Return what a reader must know before any number: what the forecast says first, and what a stop left out of the brief."""
    lines = find_warnings(result.forecast)
    if result.missing:
        lines.append(f"Stopped before the end; not reached: {listed(result.missing)}.")
    elif result.stopped and result.forecast.run_count == result.forecast.asked:
        lines.append("Stopped before the end: of the last plans fewer runs are done than asked.")
    return tuple(lines)


def _record(result: BriefResult, quantities: TakeOff, losses: ConditionsResult | None) -> dict[str, Any]:
    """Return under each question's name what its own record says; null what was not asked for, or not reached before a stop."""
    return {
        "forecast": forecast_record(result.forecast),
        **({} if result.standing is None else {"update": update_record(result.standing)}),
        "bottlenecks": None if result.measures is None else bottlenecks_record(result.measures),
        "compare": None if result.comparison is None else compare_record(result.comparison),
        "decision_sheet": None if result.grid is None else sheet_record(result.grid),
        "takeoff": takeoff_record(quantities, result.forecast.scenario),
        "conditions": None if losses is None else conditions_record(losses),
        "not_reached": list(result.missing),
    }
