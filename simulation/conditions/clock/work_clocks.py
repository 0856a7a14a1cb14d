"""Which clock does each kind of work go by?"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from simulation.conditions.clock.calendar import FLYING, Segment, any_of, closed_in, lay_out
from simulation.conditions.clock.clock import ClockPlan, Spells, WorkClock
from simulation.conditions.clock.shift_pattern import on_shift, shifts_kept
from simulation.conditions.clock.sun import Span, daylight
from simulation.conditions.stops.effects import HourEffects, HourlyWeather
from simulation.conditions.stops.limits_from_scenario import limits_of
from simulation.scenario.types.spans import join_spans

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import datetime

    from simulation.chance import Streams
    from simulation.conditions.stops.weather_limits import Limits
    from simulation.scenario.tables.ground import Site
    from simulation.scenario.tables.people import Shift
    from simulation.scenario.tables.scenario import Scenario

#: Kind of work -> the shift it keeps. Repair is done under cover, so rain does not stop it.
SHIFTS = {
    "laying": "laying",
    "forklift": "forklift",
    "repair": "forklift",
    "haul": "haul",
    "port": "haul",
    "grading": "grading",
}
#: What stops a task -> the kind of work, where that is called otherwise.
_STOPPED_AS = {"lifting": "port", "none": "repair"}
#: The clock that runs while any crew's does; there is one where a crew has a shift of its own.
ANY_CREW = "any crew"


class Clocks(dict[str, WorkClock]):
    """The clocks of one run, by kind of work.

    Attributes
    ----------
    own : dict of int to WorkClock
        Clocks of steps that went by another than that of their kind, by the step's identity.
    by_calendar : set of int
        Steps that went by no clock, though steps of their kind do, by the step's identity.
    effects : HourEffects or None
        What the hours of the sky do, shared by all clocks; None where none of them asks.
    """

    def __init__(self, effects: HourEffects | None = None) -> None:
        super().__init__()
        self.own: dict[int, WorkClock] = {}
        self.by_calendar: set[int] = set()
        self.effects = effects


def crew_clock(scenario: Scenario, number: int) -> str:
    """Return the name of the clock that a crew, counted from 0, goes by."""
    return "laying" if scenario.crew[number].shift is None else f"crew {number + 1}"


def task_clock(scenario: Scenario, number: int) -> str:
    """Return the name of the clock that a task, counted from 0, goes by."""
    task = scenario.task[number]
    return "laying" if _gang_shift(scenario, number) is None and task.stops == "laying" else f"task {number + 1}"


def _gang_shift(scenario: Scenario, number: int) -> Shift | None:
    """Return the shift of its own that the gang of a task, or the crew that lends it people, keeps."""
    task = scenario.task[number]
    if task.lender is not None:
        return next((crew.shift for crew in scenario.crew if crew.name == task.lender), None)
    return next((gang.shift for gang in scenario.gang if gang.name == task.gang), None)


def sweep_clock(clocks: Mapping[str, object]) -> str:
    """Return the name of the clock that final sweep, inspection and marking goes by: whoever is on shift goes on with it."""
    return ANY_CREW if ANY_CREW in clocks else "laying"


def ends_of_hours(scenario: Scenario, number: int) -> tuple[float, ...]:
    """Return when a crew's hours end, day after day; nothing where it does not matter who is at work when they do."""
    if not scenario.laying.finish_rows and not any(crew.shift for crew in scenario.crew):
        return ()
    hours = on_shift(scenario.crew[number].shift or scenario.shifts.of("laying"), scenario.starts, scenario.horizon)
    return tuple(end for _, end in hours)


def shifts_of_crews(scenario: Scenario) -> tuple[tuple[Span, ...], ...]:
    """Return each crew's shifts, breaks included; nothing where all keep the same ones, so that nobody can take over."""
    keep = [crew.shift or scenario.shifts.of("laying") for crew in scenario.crew]
    if all(shift == keep[0] for shift in keep):
        return ((),) * len(keep)
    return tuple(shifts_kept(shift, scenario.starts, scenario.horizon) for shift in keep)


def after_hours(clock: str) -> str:
    """Return the name of the clock by which a crew finishes a row past the end of its hours."""
    return f"{clock} after hours"


def relieved(clock: str) -> str:
    """Return the name of the clock of two crews that rest in each other's turns."""
    return f"{clock} relieved"


def between_flights(clock: str) -> str:
    """Return the name of the clock of work at an area that is flown from."""
    return f"{clock} between flights"


def closed_spans(scenario: Scenario) -> list[Span]:
    """Return when people are clear of an area that is flown from, day after day: rising, and apart."""
    flying, starts = scenario.flying, scenario.starts
    midnight = -(starts.hour + starts.minute / 60 + starts.second / 3600)
    days = range(-1, math.ceil(scenario.horizon / 24) + 1)
    used = (*flying.windows, *((at, at + flying.movement) for at in flying.movements))
    return join_spans(
        (midnight + 24 * day + low - flying.clear_before, midnight + 24 * day + high + flying.clear_after)
        for day in days
        for low, high in used
    )


def clock_plans(scenario: Scenario) -> dict[str, ClockPlan]:
    """Return what the clock of each kind of work is made from; kinds with equal plans have the same object.

    The sun is tabulated here, and calendars are laid out, once for all plans of a question that have them in common.

    Returns
    -------
    dict of str to ClockPlan
        One for each of `SHIFTS`; ``"crew N"`` for each crew with a shift of its own, and `ANY_CREW` where there is one;
        ``"task N"`` for each task whose gang has a shift of its own or that other weather stops than laying;
        `between_flights` of each of these, where an area is closed for flying;
        `after_hours` and `relieved` of each clock that crews go by, where the scenario lets crews finish rows, or rest in turns.
    """
    horizon, starts = scenario.horizon, scenario.starts
    light = _light(scenario.site, starts, math.ceil(horizon / 24)) if scenario.site else None
    plans: dict[str, ClockPlan] = {}

    def add(name: str, calendar: tuple[Segment, ...], limits: Limits) -> None:
        plan = ClockPlan(calendar, limits.rain is not None, limits.drying, None if limits.only_rain else limits)
        plans[name] = next((other for other in plans.values() if other == plan), plan)

    for kind, shift in SHIFTS.items():
        add(kind, _calendar(scenario.shifts.of(shift), light, starts, horizon), limits_of(scenario, kind))
    laying = limits_of(scenario, "laying")
    of_crews = {
        crew_clock(scenario, number): crew.shift or scenario.shifts.of("laying") for number, crew in enumerate(scenario.crew)
    }
    for name, own in of_crews.items():
        if name not in plans:
            add(name, _calendar(own, light, starts, horizon), laying)
        if scenario.laying.finish_rows:
            add(after_hours(name), _calendar(_at_any_hour(own), light, starts, horizon), laying)
        if _rest_in_turns(scenario):
            add(relieved(name), plans[name].calendar, limits_of(scenario, "laying", crews=2))
    for number, task in enumerate(scenario.task):
        if (name := task_clock(scenario, number)) != "laying":
            own = _gang_shift(scenario, number) or scenario.shifts.of("laying")
            add(name, _calendar(own, light, starts, horizon), limits_of(scenario, _STOPPED_AS.get(task.stops, task.stops)))
    if any(crew.shift for crew in scenario.crew):
        add(ANY_CREW, _any_of(tuple(plans[name].calendar for name in of_crews)), laying)
    if scenario.flown and scenario.flying.closes:
        closed = tuple(closed_spans(scenario))
        names = [name for crew in of_crews for name in (crew, relieved(crew), after_hours(crew)) if name in plans]
        names += [sweep_clock(plans), "forklift", "grading", "laying"]
        names += (task_clock(scenario, number) for number in range(len(scenario.task)))
        for name in dict.fromkeys(names):
            plan = replace(plans[name], calendar=_closed(plans[name].calendar, closed))
            plans[between_flights(name)] = next((other for other in plans.values() if other == plan), plan)
    return plans


@lru_cache(maxsize=8)
def _light(site: Site, starts: datetime, days: int) -> tuple[Span, ...]:
    return tuple(daylight(site, starts, days))


@lru_cache(maxsize=64)
def _calendar(shift: Shift, light: tuple[Span, ...] | None, starts: datetime, horizon: float) -> tuple[Segment, ...]:
    return lay_out(shift, light, starts, horizon)


@lru_cache(maxsize=64)
def _any_of(calendars: tuple[tuple[Segment, ...], ...]) -> tuple[Segment, ...]:
    return any_of(calendars)


@lru_cache(maxsize=64)
def _closed(calendar: tuple[Segment, ...], spans: tuple[Span, ...]) -> tuple[Segment, ...]:
    return closed_in(calendar, spans, FLYING)


def _at_any_hour(shift: Shift) -> Shift:
    return type(shift)(hours=("00:00-24:00",), lighting=shift.lighting, night_rate=shift.night_rate)


def _rest_in_turns(scenario: Scenario) -> bool:
    heat = scenario.heat
    return (
        heat is not None and heat.relief and heat.laying != "none" and any(crew.second_crew == "relief" for crew in scenario.crew)
    )


class _NoWeather:
    """The sky of a clock that no weather stops."""

    @property
    def spells(self) -> list[list[float]]:
        """None."""
        return []

    def reach(self, hour: float) -> None:
        """Draw nothing."""


def dry_clock(plans: Sequence[ClockPlan]) -> WorkClock:
    """Return the clock of whoever of several is on shift, as if no weather stopped them: what a shift is known to hold."""
    return WorkClock(_without_weather(tuple(plan.calendar for plan in plans)), _NoWeather())


@lru_cache(maxsize=32)
def _without_weather(calendars: tuple[tuple[Segment, ...], ...]) -> ClockPlan:
    return ClockPlan(calendars[0] if len(calendars) == 1 else any_of(calendars))


def make_clocks(plans: dict[str, ClockPlan], sky: Spells, luck: Streams | None = None, productive: float = 1.0) -> Clocks:
    """Return the clocks of one run by kind of work; kinds that go by the same plan object share one.

    Parameters
    ----------
    plans : dict of str to ClockPlan
    sky : HourlySky
        The run's weather; a `Sky` of spells alone will do where no plan has limits.
    luck : Streams, optional
        The run's streams, which thunder is drawn from.
    productive : float
        Productive share of a crew's hour in the run, heat apart: part of what is missing to 1 counts as rest in the heat.
    """
    made: dict[int, WorkClock] = {}
    around = next((plan.limits.around for plan in plans.values() if plan.limits is not None), None)
    effects = None if around is None else HourEffects(around, cast(HourlyWeather, sky), luck, productive)
    clocks = Clocks(effects)
    for kind, plan in plans.items():
        if id(plan) not in made:
            made[id(plan)] = WorkClock(plan, sky, effects)
        clocks[kind] = made[id(plan)]
    return clocks
