"""What sky, sun and calendar allow, as work clocks. Nothing in here knows a crew."""

from simulation.conditions.calendar import Segment, lay_out, on_shift
from simulation.conditions.clock import ClockPlan, WorkClock
from simulation.conditions.kinds import clock_plans, wind_clocks
from simulation.conditions.rain import Chain, Sky, chain_of
from simulation.conditions.sun import daylight, sun_up

__all__ = [
    "Chain",
    "ClockPlan",
    "Segment",
    "Sky",
    "WorkClock",
    "chain_of",
    "clock_plans",
    "daylight",
    "lay_out",
    "on_shift",
    "sun_up",
    "wind_clocks",
]
