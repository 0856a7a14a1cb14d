"""One run, hour by hour: what a team that rehearses it looks at.

Pictures of the site follow each other at a fixed step, counted from the start; a night in which nobody is on shift has one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from simulation.conditions.clock.calendar import DARK, OFF_SHIFT
from simulation.conditions.clock.shift_pattern import rests
from simulation.conditions.clock.work_clocks import between_flights
from simulation.construction import Finished, Run
from simulation.construction.plan.steps import END, KIND, START, WET_SPELL
from simulation.questions.replay.activities import Doing, Doings, held_up_by, stopped_by
from simulation.questions.replay.mats_vanish import DoingsUp, take_off_stands_up
from simulation.questions.replay.on_the_ground import Ground, lay_out_ground
from simulation.questions.replay.stand import Stand
from simulation.questions.replay.state_at import take_off_stands
from simulation.scenario import Scenario
from simulation.study.calendar import Calendar, make_calendar

#: Hours from one frame to the next, to choose from.
STEPS = (0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 12.0, 24.0)
#: The least step is chosen that needs no more frames than this: about a minute to watch. Planning value.
ENOUGH = 180
#: More frames than this would take minutes to draw and megabytes to keep. Planning value.
MOST_FRAMES = 1500
#: Hours: a night is a stretch off shift that is at least so long; a meal is not. Planning value.
NIGHT = 2.0

#: What holds work up beside the sky and the ground: people's hours and the sun; rain is told by itself.
_NOT_OF_THE_SKY = {OFF_SHIFT, DARK, "fatigue", "rain"}


class TooMany(ValueError):
    """So many frames would be needed; `right` is the least step that would do, in hours."""

    def __init__(self, frames: int, right: float) -> None:
        super().__init__(f"{frames:,} frames")
        self.frames, self.right = frames, right


@dataclass(frozen=True)
class Frame:
    """The site at one hour.

    Attributes
    ----------
    stand : Stand
    doings : tuple of Doing
    rain : bool
    held_up : tuple of str
        What else of the sky and the ground stops or slows some work.
    stopped : str
        What stops the crews; empty where the clock of one of them runs.
    night_until : float or None
        Where nobody is on shift for some time: when somebody is again.
    closing, reached : tuple of str
        Milestones whose final sweep, inspection and marking is under way, and those reached.
    rest : bool
        Whether the day is one of rest of every crew.
    closing_again : float or None
        Where final sweep, inspection and marking is under way and stopped: when it goes on.
    """

    stand: Stand
    doings: tuple[Doing, ...]
    rain: bool
    held_up: tuple[str, ...]
    stopped: str
    night_until: float | None
    closing: tuple[str, ...]
    reached: tuple[str, ...]
    rest: bool
    closing_again: float | None

    @property
    def hour(self) -> float:
        """Hours since the start."""
        return self.stand.hour


@dataclass(frozen=True)
class Replay:
    """One run of a scenario in frames.

    Attributes
    ----------
    scenario : Scenario
    run_number : int
    chosen : str
        Why this run, in words; empty where it was named.
    calendar : Calendar
    ground : Ground
    frames : tuple of Frame
    every : float
        Hours from one to the next.
    end : float
        Hour of the last milestone, or of the last day simulated.
    milestones : tuple of (str, float)
        Hours at which they are reached; infinite where they are not.
    wet : tuple of (float, float)
        Spells of rain up to the end.
    nights : tuple of (float, float)
        Stretches in which nobody is on shift, up to the end.
    """

    scenario: Scenario
    run_number: int
    chosen: str
    calendar: Calendar
    ground: Ground = field(repr=False)
    frames: tuple[Frame, ...] = field(repr=False)
    every: float
    end: float
    milestones: tuple[tuple[str, float], ...]
    wet: tuple[tuple[float, float], ...]
    nights: tuple[tuple[float, float], ...]


def end_of(run: Run) -> float:
    """Return when a run is over: its last milestone is reached, or the last day simulated is."""
    horizon: float = run.finished.site.plan.horizon
    return min(horizon, max(run.milestones.values(), default=horizon))


def make_replay(
    scenario: Scenario, run: Run, every: float | None = None, at: Sequence[float] | None = None, chosen: str = ""
) -> Replay:
    """Return a run in frames.

    Parameters
    ----------
    scenario : Scenario
    run : Run
        One of its runs.
    every : float, optional
        Hours from one frame to the next. Default: one of `STEPS`, by the length of the run.
    at : sequence of float, optional
        The rising hours of the frames instead, none of them after the end of the run.
    chosen : str
        Why this run, in words.

    Raises
    ------
    TooMany
        If so short a step makes too many frames.
    """
    end = end_of(run)
    nights = _nights(run, end)
    step = _step(end, nights) if every is None else every
    hours = list(at) if at is not None else _hours(end, step, nights)
    site, ground = run.finished.site, lay_out_ground(scenario, run.finished.site.plan)
    up = run.finished.up is not None
    doings = DoingsUp(run.finished, ground) if up else Doings(run.finished, ground)
    wet = _wet(run, end)
    reached = tuple(sorted(run.milestones.items(), key=lambda milestone: milestone[1]))
    frames = []
    stands = take_off_stands_up(run.finished, hours) if up else take_off_stands(run.finished, hours)
    for stand in stands:
        hour, does = stand.hour, doings.at(stand.hour)
        held_up = {cause for clock in _clocks_kept(run.finished, hour) for cause in held_up_by(site.clocks[clock], hour)}
        stops = [stopped_by(site.clocks[crew.clock], hour) for crew in site.plan.crews]
        frames.append(
            Frame(
                stand=stand,
                doings=does,
                rain=any(start <= hour < stop for start, stop in wet),
                held_up=tuple(sorted(held_up - _NOT_OF_THE_SKY)),
                stopped="" if "" in stops else stops[0],
                night_until=next((stop for start, stop in nights if start <= hour < stop), None),
                closing=doings.closing(hour),
                reached=tuple(name for name, when in reached if when <= hour),
                rest=_rest(scenario, hour),
                closing_again=doings.closing_again(hour),
            )
        )
    return Replay(
        scenario, run.run_number, chosen, make_calendar(scenario), ground, tuple(frames), step, end, reached, wet, nights
    )


def _clocks_kept(run: Finished, hour: float) -> list[str]:
    """Return the names of the clocks that somebody goes by at an hour: none between flights before an area is flown from."""
    plan = run.site.plan
    opened = None if plan.flying is None else run.site.reached[plan.flying.milestone]
    between = {between_flights(clock) for clock in plan.clocks}
    return [clock for clock in plan.clocks if clock not in between or (opened is not None and opened[END] <= hour)]


def _rest(scenario: Scenario, hour: float) -> bool:
    """Return whether an hour lies on a day on which, because it is one of rest, no shift of any crew begins."""
    since_midnight = scenario.starts - scenario.starts.replace(hour=0, minute=0, second=0, microsecond=0)
    day = math.floor((hour + since_midnight.total_seconds() / 3600) / 24.0 + 1e-9)
    return all(rests(crew.shift or scenario.shifts.of("laying"), scenario.starts, day) for crew in scenario.crew)


def _wet(run: Run, end: float) -> tuple[tuple[float, float], ...]:
    """Return the wet spells of a build up to its end; the trace holds a long one in pieces."""
    wet: list[tuple[float, float]] = []
    for step in run.finished.site.trace:
        if step[KIND] == WET_SPELL and step[START] < end:
            start, stop = step[START], min(step[END], end)
            if wet and wet[-1][1] == start:
                start = wet.pop()[0]
            wet.append((start, stop))
    return tuple(wet)


def _nights(run: Run, end: float) -> tuple[tuple[float, float], ...]:
    """Return the stretches in which no clock runs because of hours and light alone; the last may reach beyond the end."""
    plans = {id(plan): plan for plan in run.finished.site.plan.clocks.values()}
    at_work = sorted((start, stop) for plan in plans.values() for start, stop, rate, _ in plan.calendar if rate > 0.0)
    nights: list[tuple[float, float]] = []
    seen = 0.0
    for start, stop in at_work:
        if seen >= end:
            break
        if start - seen >= NIGHT:
            nights.append((seen, start))
        seen = max(seen, stop)
    return tuple(nights)


def _step(end: float, nights: Sequence[tuple[float, float]]) -> float:
    return next((step for step in STEPS if end / step <= MOST_FRAMES * 10 and len(_grid(end, step, nights)) <= ENOUGH), STEPS[-1])


def _hours(end: float, step: float, nights: Sequence[tuple[float, float]]) -> list[float]:
    """Return the hours of the frames: multiples of the step, of each night the first only, and the end."""
    if end / step > 20 * MOST_FRAMES:  # more than the nights could make up for, and not worth counting
        raise TooMany(math.ceil(end / step), end / (MOST_FRAMES - 2))
    hours = _grid(end, step, nights)
    if len(hours) > MOST_FRAMES:
        raise TooMany(len(hours), step * len(hours) / (MOST_FRAMES - 2))
    return hours


def _grid(end: float, step: float, nights: Sequence[tuple[float, float]]) -> list[float]:
    hours: list[float] = []
    ahead = list(nights)
    shown: tuple[float, float] | None = None
    for number in range(math.ceil(end / step - 1e-9)):
        hour = number * step
        while ahead and ahead[0][1] <= hour:
            ahead.pop(0)
        night = ahead[0] if ahead and ahead[0][0] <= hour else None
        if night is None or night != shown:
            hours.append(hour)
        shown = night
    return [*hours, end]
