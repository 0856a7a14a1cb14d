"""The table of questions: every command, under the heading where the help lists it."""

from __future__ import annotations

from collections.abc import Callable

from simulation.questions.bottlenecks import command as bottlenecks_command
from simulation.questions.brief import command as brief_command
from simulation.questions.check import command as check_command
from simulation.questions.compare import command as compare_command
from simulation.questions.conditions import command as conditions_command
from simulation.questions.forecast import command as forecast_command
from simulation.questions.log import command as log_command
from simulation.questions.new import command as new_command
from simulation.questions.plan import command as plan_command
from simulation.questions.rates import command as rates_command
from simulation.questions.repair import command as repair_command
from simulation.questions.repeat import command as repeat_command
from simulation.questions.replay import command as replay_command
from simulation.questions.sensitivity import command as sensitivity_command
from simulation.questions.slip import command as slip_command
from simulation.questions.staffing import command as staffing_command
from simulation.questions.studies import command as studies_command
from simulation.questions.takeoff import command as takeoff_command
from simulation.questions.trace import command as trace_command
from simulation.questions.update import command as update_command
from simulation.questions.weather import command as weather_command

GROUPS: dict[str, tuple[Callable[..., None], ...]] = {
    "Forecast": (
        new_command.new,
        check_command.check,
        forecast_command.forecast,
        replay_command.replay,
        trace_command.trace,
        brief_command.brief,
    ),
    "Work that has begun": (log_command.log, update_command.update),
    "Decide": (
        plan_command.plan,
        compare_command.compare,
        staffing_command.staffing,
        bottlenecks_command.bottlenecks,
        slip_command.slip,
        sensitivity_command.sensitivity,
    ),
    "Field": (takeoff_command.takeoff, repair_command.repair),
    "Weather": (conditions_command.conditions, weather_command.weather),
    "Own records": (rates_command.rates,),
    "What is kept": (studies_command.studies, repeat_command.repeat),
}

#: Every command by its name.
COMMANDS = {command.__name__: command for group in GROUPS.values() for command in group}
