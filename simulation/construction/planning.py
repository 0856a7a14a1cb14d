"""From a scenario to the plan of its runs: from the start, or from where its site log says that the field stands."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.plan.plan import Plan
from simulation.scenario.reading.reading import vary
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import LogError, Mistake
from simulation.scenario.types.remembered import remembered

if TYPE_CHECKING:
    from simulation.construction.learning.lessons import Lessons
    from simulation.construction.site_log.reading import LogReading
    from simulation.scenario import Scenario


def as_taken_up(scenario: Scenario) -> Scenario:
    """Return a scenario whose job is to take the field of another up: itself where it is that already."""
    return scenario if scenario.takes_up else vary(scenario, [Change("job", '"take up"')])


def as_laid(scenario: Scenario) -> Scenario:
    """Return a scenario whose job is to lay the field of another: itself where it is that already."""
    return vary(scenario, [Change("job", "lay")]) if scenario.takes_up else scenario


@remembered
def compile_plan(scenario: Scenario) -> Plan:
    """Return the plan of a scenario, which begins where its site log says that the field stands.

    Raises
    ------
    ScenarioError
        If the scenario is legal but cannot finish: fewer pallets come than the field needs, or nobody works in daylight.
    LogError
        If its site log cannot be used, or a change makes another field of it than the one that was begun.
    """
    plan = plan_from_start(scenario)
    if scenario.source.log is None:
        return plan
    _refuse_take_up(scenario)
    from simulation.construction.work_begun import continue_plan  # most plans have no log, and need nothing of what learns

    return continue_plan(plan, scenario)


def tell_log(scenario: Scenario) -> LogReading:
    """Return what the site log of a scenario comes to: state, evidence, what was taken for granted.

    Raises
    ------
    ScenarioError, LogError
        As `compile_plan`.
    """
    _refuse_take_up(scenario)
    from simulation.construction.work_begun import read_log

    return read_log(scenario)


def begins_at(scenario: Scenario) -> float:
    """Return the hours since the start at which the runs of a scenario begin: those of its site log, else 0."""
    state = None if scenario.source.log is None else tell_log(scenario).state
    return 0.0 if state is None else state.at


def tell_lessons(scenario: Scenario, runs: int, seed: int | None = None) -> Lessons:
    """Return what the site log of a scenario taught, as the first of its runs have it."""
    from simulation.construction.learning.lessons import what_was_learned

    plan, log = compile_plan(scenario), tell_log(scenario)
    return what_was_learned(plan if seed is None else replace(plan, seed=seed), log.evidence, runs)


def _refuse_take_up(scenario: Scenario) -> None:
    """Refuse a log, whatever stands in it, where the job is to take up: its lines are of laying."""
    if scenario.takes_up and scenario.source.log is not None:
        right = "leave the log out and ask what is left by a file with the areas alone that still lie, and a later starts"
        wrong = Mistake("", "it tells of laying, and the job is to take up", f'{right}; or write job = "lay"')
        raise LogError(scenario.source.log.file, [wrong])
