"""What sky, sun and calendar allow, as work clocks. Nothing in here knows a crew."""

from simulation.conditions.clock.calendar import Segment, lay_out
from simulation.conditions.clock.clock import ClockPlan, WorkClock
from simulation.conditions.clock.shift_pattern import on_shift
from simulation.conditions.clock.sun import daylight, sun_up
from simulation.conditions.clock.work_clocks import (
    Clocks,
    after_hours,
    between_flights,
    clock_plans,
    closed_spans,
    crew_clock,
    dry_clock,
    ends_of_hours,
    make_clocks,
    relieved,
    shifts_of_crews,
    sweep_clock,
    task_clock,
)
from simulation.conditions.sky.hourly import HOURS, HourlySky, Hours, SkyPlan
from simulation.conditions.sky.rain import Chain, Sky, make_chain
from simulation.conditions.sources import sky_plan

__all__ = [
    "HOURS",
    "Chain",
    "ClockPlan",
    "Clocks",
    "HourlySky",
    "Hours",
    "Segment",
    "Sky",
    "SkyPlan",
    "WorkClock",
    "after_hours",
    "between_flights",
    "clock_plans",
    "closed_spans",
    "crew_clock",
    "daylight",
    "dry_clock",
    "ends_of_hours",
    "lay_out",
    "make_chain",
    "make_clocks",
    "on_shift",
    "relieved",
    "shifts_of_crews",
    "sky_plan",
    "sun_up",
    "sweep_clock",
    "task_clock",
]
