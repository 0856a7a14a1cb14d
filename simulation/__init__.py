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

# What a name is, a type checker reads off the imports below.
# mypy: implicit-reexport
# ruff: noqa: F401
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

# Imported when first asked for, so that `keystrip --help` does not wait for libraries that it does not use.
_HOMES = {
    "construction.trace.once": "Run run_once",
    "field.takeoff": "TakeOff take_off",
    "questions.bottlenecks.study": "BottlenecksResult bottlenecks",
    "questions.brief.study": "brief",
    "questions.compare.study": "CompareResult compare",
    "questions.conditions.study": "ConditionsResult expected_losses",
    "questions.forecast.study": "Forecast forecast",
    "questions.lift.study": "LiftResult lift",
    "questions.move.study": "MoveResult move",
    "questions.opening.study": "OpeningResult opening",
    "questions.plan.result": "PlanResult",
    "questions.plan.study": "best_plan",
    "questions.repair.study": "RepairResult repair",
    "questions.sensitivity.study": "SensitivityResult sensitivity",
    "questions.slip.study": "SlipResult slip",
    "questions.spacing.study": "SpacingResult spacing",
    "questions.staffing.study": "StaffingResult staffing",
    "questions.update.study": "UpdateResult update",
    "scenario": "Scenario ScenarioError SiteLog begin_by load_scenario",
    "study.changes.variations": "variations",
    "study.run_context": "RunContext",
}
_ROOM_OF = {name: room for room, names in _HOMES.items() for name in names.split()}
__all__ = [*_ROOM_OF]


def __getattr__(name: str) -> Any:
    if name in _ROOM_OF:
        from importlib import import_module

        return getattr(import_module(f"simulation.{_ROOM_OF[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
