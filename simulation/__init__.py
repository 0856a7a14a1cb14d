"""keystrip: how many days until an airfield of interlocking aluminium mats is ready, and how sure is that?

What a program needs, from the outside in::

    scenario = load_scenario("my_field.toml")   # every mistake in it at once, or a scenario
    take_off(scenario)                          # what must be ordered
    run_once(scenario, run_number=7)            # one run, to be looked at
    how = RunContext(runs=400, deadline="9 d")  # how many runs, and how they are done and kept
    forecast(scenario, how)                     # many runs, and what they say
    compare(variations(scenario, …), how)       # plans side by side under the same luck
    staffing(scenario, how)                     # the smallest team that is ready by then
    bottlenecks(scenario, how)                  # what holds it up, and what would help
    best_plan(scenario, how, Limits(people=60))  # which plan is ready first, within what is there
    slip(scenario, how, what=["supply"], by="1 day..5 day")  # what it costs to come late
    expected_losses(scenario)                   # what weather, light and shifts take from it
    sensitivity(scenario, how, tornado=True)    # which unknown matters most
    update(begin_by(scenario, SiteLog("log.csv", …)), how)   # when, as the work stands
    repair(scenario, "runway 1,240 ft", mats=3)              # cut mats out, or open at a key strip
    spacing(scenario)                           # how far apart key strips should lie
    lift(scenario)                              # when the whole field is taken up again, and what comes back
    move(scenario, second)                      # how long there is none, if it is laid again elsewhere
    brief(scenario, how)                        # all of it that a commander reads
"""

from __future__ import annotations

# What `typing` names so, without loading it: until the command line hears Ctrl-C, nothing is loaded that takes long.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import Any

    from simulation.construction.trace.once import Run, run_once
    from simulation.field.takeoff import TakeOff, take_off
    from simulation.questions.bottlenecks.study import BottlenecksResult, bottlenecks
    from simulation.questions.brief.study import brief
    from simulation.questions.compare.study import CompareResult, compare
    from simulation.questions.conditions.study import ConditionsResult, expected_losses
    from simulation.questions.forecast.study import Forecast, forecast
    from simulation.questions.lift.study import LiftResult, lift
    from simulation.questions.move.study import MoveResult, move
    from simulation.questions.opening.study import OpeningResult, opening
    from simulation.questions.plan.result import PlanResult
    from simulation.questions.plan.study import best_plan
    from simulation.questions.repair.study import RepairResult, repair
    from simulation.questions.sensitivity.study import SensitivityResult, sensitivity
    from simulation.questions.slip.study import SlipResult, slip
    from simulation.questions.spacing.study import SpacingResult, spacing
    from simulation.questions.staffing.study import StaffingResult, staffing
    from simulation.questions.update.study import UpdateResult, update
    from simulation.scenario import Scenario, ScenarioError, SiteLog, begin_by, load_scenario
    from simulation.study.changes.variations import variations
    from simulation.study.run_context import RunContext

__version__ = "0.1.0"
__all__ = [
    "BottlenecksResult",
    "CompareResult",
    "ConditionsResult",
    "Forecast",
    "LiftResult",
    "MoveResult",
    "OpeningResult",
    "PlanResult",
    "RepairResult",
    "Run",
    "RunContext",
    "Scenario",
    "ScenarioError",
    "SensitivityResult",
    "SiteLog",
    "SlipResult",
    "SpacingResult",
    "StaffingResult",
    "TakeOff",
    "UpdateResult",
    "begin_by",
    "best_plan",
    "bottlenecks",
    "brief",
    "compare",
    "expected_losses",
    "forecast",
    "lift",
    "load_scenario",
    "move",
    "opening",
    "repair",
    "run_once",
    "sensitivity",
    "slip",
    "spacing",
    "staffing",
    "take_off",
    "update",
    "variations",
]

# Imported when first asked for, so that `keystrip --help` does not wait for libraries that it does not use.
_HOMES = {
    "BottlenecksResult": "questions.bottlenecks.study",
    "Run": "construction.trace.once",
    "CompareResult": "questions.compare.study",
    "ConditionsResult": "questions.conditions.study",
    "RunContext": "study.run_context",
    "LiftResult": "questions.lift.study",
    "MoveResult": "questions.move.study",
    "OpeningResult": "questions.opening.study",
    "RepairResult": "questions.repair.study",
    "Forecast": "questions.forecast.study",
    "Scenario": "scenario",
    "ScenarioError": "scenario",
    "SensitivityResult": "questions.sensitivity.study",
    "SiteLog": "scenario",
    "PlanResult": "questions.plan.result",
    "SlipResult": "questions.slip.study",
    "SpacingResult": "questions.spacing.study",
    "StaffingResult": "questions.staffing.study",
    "TakeOff": "field.takeoff",
    "UpdateResult": "questions.update.study",
    "begin_by": "scenario",
    "bottlenecks": "questions.bottlenecks.study",
    "brief": "questions.brief.study",
    "run_once": "construction.trace.once",
    "compare": "questions.compare.study",
    "expected_losses": "questions.conditions.study",
    "forecast": "questions.forecast.study",
    "lift": "questions.lift.study",
    "move": "questions.move.study",
    "load_scenario": "scenario",
    "opening": "questions.opening.study",
    "repair": "questions.repair.study",
    "sensitivity": "questions.sensitivity.study",
    "best_plan": "questions.plan.study",
    "slip": "questions.slip.study",
    "spacing": "questions.spacing.study",
    "staffing": "questions.staffing.study",
    "take_off": "field.takeoff",
    "update": "questions.update.study",
    "variations": "study.changes.variations",
}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(f"simulation.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
