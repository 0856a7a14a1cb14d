"""Cut the mats out, or open the strip at a key strip? Both ways under the same luck, for what is asked and other sizes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.field.damage import MatOnGround, Opening, find_openings
from simulation.questions.repair.asked_damage import AskedDamage
from simulation.questions.repair.crew_then import MendingCrew, crew_then
from simulation.questions.repair.location import Location, read_location, refuse
from simulation.scenario import Mistake, ScenarioError
from simulation.stats.chances import Chance, chance_among
from simulation.stats.quantiles import QuantileEstimate, estimate
from simulation.study.asked_hours import NoHour, read_hour
from simulation.study.calendar import make_calendar
from simulation.study.damage.damage_stay import SeasonResult, spend_seasons
from simulation.study.damage.repair_draws import RepairDraws, draw_repairs, first_crew, repair_clocks

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Runs unless a number is asked for. Planning value.
RUNS = 400
#: Mats up to which the way that is quicker is sought, at the most.
_LAST = 120

Array = NDArray[float64]


@dataclass(frozen=True)
class Case:
    """One size of damage, and how long the strip is closed for it either way, run by run.

    Attributes
    ----------
    size : float
        Mats, or feet of the crater's diameter.
    mats : tuple of MatOnGround
        That are replaced.
    ground : float
        Square feet that are mended beneath.
    ways : tuple of Opening
        From either side, as far as there is a key strip.
    cut_out : array
        Hours.
    opened : tuple of array
        Hours of each way.
    """

    size: float
    mats: tuple[MatOnGround, ...]
    ground: float
    ways: tuple[Opening, ...]
    cut_out: Array
    opened: tuple[Array, ...]

    @cached_property
    def best(self) -> int | None:
        """Which opening is quicker by its P50; None where there is none."""
        return min(range(len(self.ways)), key=lambda way: middle(self.opened[way]), default=None)

    @property
    def opening_wins(self) -> bool:
        """Whether opening closes the strip for less time than cutting out, by P50."""
        return self.best is not None and middle(self.opened[self.best]) < middle(self.cut_out)

    @property
    def rows(self) -> int:
        """Rows with a damaged mat."""
        return len({mat.row for mat in self.mats})


@dataclass(frozen=True)
class RepairResult:
    """The answer of `repair`.

    Attributes
    ----------
    scenario : Scenario
    seed, runs : int
    location : Location
    by_crater : bool
        Whether sizes are diameters of a crater rather than mats.
    asked : Case
    cases : tuple of Case
        The size asked for among others, in rising order.
    switch : float or None
        The size from which on opening is quicker; None where it is not up to the largest case.
    begin : float or None
        Hours after the start at which the strip closes, where work goes by the shifts; None where it goes on until it is done.
    crew : MendingCrew or None
        Who mends, where it is asked when the strip closes; else the area's first crew does, whatever the hour.
    season : SeasonResult or None
    """

    scenario: Scenario
    seed: int
    runs: int
    location: Location
    by_crater: bool
    asked: Case
    cases: tuple[Case, ...]
    switch: float | None
    begin: float | None
    crew: MendingCrew | None
    season: SeasonResult | None

    @cached_property
    def opened_sizes(self) -> tuple[tuple[float, float], ...]:
        """The spans of sizes for which opening is quicker: near a key strip a few mats may be opened sooner than more."""
        spans: list[tuple[float, float]] = []
        before = False
        for case in self.cases:
            if case.opening_wins:
                spans = [*spans[:-1], (spans[-1][0], case.size)] if before else [*spans, (case.size, case.size)]
            before = case.opening_wins
        return tuple(spans)

    @cached_property
    def opening_quicker(self) -> Chance | None:
        """In which share of the runs the better opening is quicker than cutting out; None where nothing can be opened."""
        best = self.asked.best
        return None if best is None else chance_among((self.asked.opened[best] < self.asked.cut_out).tolist())


def repair(
    scenario: Scenario,
    at: str,
    mats: int | None = None,
    crater: str | None = None,
    across: str | None = None,
    begin: str | None = None,
    runs: int = RUNS,
    seed: int | None = None,
    progress: Callable[..., None] | None = None,
) -> RepairResult:
    """Return how long the strip is closed for a repair, by cutting mats out and by opening it at a key strip.

    Parameters
    ----------
    scenario : Scenario
    at : str
        Where, such as ``"runway 1,240 ft"``.
    mats : int, optional
        How many are damaged: those nearest to that point. Default: those that the crater reaches under, or 1.
    crater : str, optional
        Diameter of a crater, whose ground is mended first.
    across : str, optional
        From the left edge. Default: the middle.
    begin : str, optional
        When the strip closes, as a duration from the start or a local time; work then goes by the shifts, light and weather of
        the area's crew that is at work then or next, and of its other crews in turn. Default: whatever the hour.
    runs : int, optional
    seed : int, optional
        Default: the scenario's.
    progress : callable, optional

    Raises
    ------
    ScenarioError
        If the place, the mats, the crater or the time cannot be.
    """
    seed = scenario.seed if seed is None else seed
    location = read_location(scenario, at, across)
    asked = AskedDamage(scenario, location, mats, crater)
    since = None if begin is None else _begin(scenario, begin)
    name = location.area.name
    crew = None if since is None else crew_then(scenario, name, since)
    number = first_crew(scenario, name) if crew is None else crew.number
    draws = draw_repairs(scenario, name, seed, runs, progress, number)
    clocks = None if crew is None else repair_clocks(scenario, name, seed, runs, (number, *crew.others))
    drawn_for = name if number == first_crew(scenario, name) else None

    def closed(hours: Array) -> Array:
        if clocks is None or since is None:
            return hours
        return np.array([clock.finish(since, work) - since for clock, work in zip(clocks, hours.tolist(), strict=True)])

    cases = [_case(asked, size, draws, closed) for size in asked.sizes()]
    switch = _switch(cases)
    if mats is not None or crater is None:
        while switch is None and cases[-1].size < min(_LAST, asked.most):
            cases += [_case(asked, size, draws, closed) for size in asked.next_sizes(cases[-1].size)]
            switch = _switch(cases)
    return RepairResult(
        scenario=scenario,
        seed=seed,
        runs=runs,
        location=location,
        by_crater=asked.diameter is not None,
        asked=next(case for case in cases if case.size == asked.size),
        cases=tuple(cases),
        switch=switch,
        begin=since,
        crew=crew,
        season=None if scenario.damage is None else spend_seasons(scenario, seed, runs, draws, drawn_for, progress),
    )


def _case(asked: AskedDamage, size: float, draws: RepairDraws, closed: Callable[[Array], Array]) -> Case:
    mats, ground = asked.mats_of(size), asked.ground_of(size)
    ways = find_openings(asked.edges, asked.location.rows, [mat.row for mat in mats])
    opened = tuple(closed(draws.open_from(way, ground)) for way in ways)
    return Case(size, mats, ground, ways, closed(draws.cut_out(len(mats), ground)), opened)


def _switch(cases: Sequence[Case]) -> float | None:
    """Return the size from which on opening is quicker, for all that were looked at."""
    slower = [index for index, case in enumerate(cases) if not case.opening_wins]
    after = slower[-1] + 1 if slower else 0
    return cases[after].size if after < len(cases) else None


def middle(hours: Array) -> float:
    """Return the P50."""
    return quantile(hours, 0.5).value


def quantile(hours: Array, share: float) -> QuantileEstimate:
    """Return a quantile over the runs with its interval."""
    return estimate(hours.tolist(), share)


def _begin(scenario: Scenario, text: str) -> float:
    calendar = make_calendar(scenario)
    how = 'write a duration from the start, such as "20 d 6 h", or a local time, such as 2031-04-22T06:00'
    try:
        hours = read_hour(text, calendar)
    except NoHour as error:
        raise ScenarioError("repair", [Mistake("--begin", str(error), how)]) from None
    if hours >= scenario.horizon:
        refuse("begin", f'"{text}" lies after the last day simulated', "raise horizon, or write an earlier time")
    return hours
