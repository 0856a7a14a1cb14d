"""From a scenario to the plan of its runs: from the start, or from where its site log says that the field stands."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import shifts_of_log
from simulation.construction.site_log.reading import LogTold, read_site_log

if TYPE_CHECKING:
    from simulation.construction.learning.lessons import Lessons
    from simulation.scenario import Scenario


def compile_plan(scenario: Scenario) -> Plan:
    """Return the plan of a scenario, which begins where its site log says that the field stands.

    Raises
    ------
    ScenarioError
        If the scenario is legal but cannot finish: fewer pallets come than the field needs, or nobody works in daylight.
    LogError
        If its site log cannot be used.
    """
    plan = plan_from_start(scenario)
    log = scenario.source.log
    if log is None:
        return plan
    from simulation.construction.learning.lessons import learn  # here: it loads special functions, and few scenarios have a log

    told = read_site_log(scenario, plan, log)
    if told.state is None:
        return plan
    return replace(plan, state=told.state, learned=learn(plan, told.evidence) if log.teaches else None)


def tell_lessons(scenario: Scenario, runs: int, seed: int | None = None) -> Lessons:
    """Return what the site log of a scenario taught, as the first of its runs have it."""
    from simulation.construction.learning.lessons import what_was_learned

    plan, told = compile_plan(scenario), tell_log(scenario)
    return what_was_learned(plan if seed is None else replace(plan, seed=seed), told.evidence, runs)


def list_shifts(scenario: Scenario) -> list[list[tuple[float, float]]]:
    """Return the shifts of each crew for which a log has lines, in hours since the start."""
    laying = scenario.shifts.of("laying")
    return [shifts_of_log(crew.shift or laying, scenario.starts, scenario.horizon) for crew in scenario.crew]


def tell_log(scenario: Scenario) -> LogTold:
    """Return what the site log of a scenario comes to: state, evidence, what was taken for granted.

    Raises
    ------
    ScenarioError, LogError
        As `compile_plan`.
    """
    log = scenario.source.log
    assert log is not None
    return read_site_log(scenario, plan_from_start(scenario), log)
