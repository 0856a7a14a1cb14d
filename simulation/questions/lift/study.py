"""Take a field up in many runs: as the scenario says, with more and fewer crews, and in the other direction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.planning import as_taken_up, compile_plan
from simulation.construction.trace.taken_up import TakenUp, take_up_once
from simulation.field.take_up_sections import areas_in_order
from simulation.scenario import Change, vary
from simulation.scenario.reading.teams import crews_instead
from simulation.stats.quantiles import QuantileEstimate, estimate
from simulation.study.people import count_people, person_hours

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Runs of each way of taking the field up, unless a number is asked for. Planning value.
RUNS = 60
#: Crews that are tried at least, and how many more than asked for.
_LEAST, _MORE = 4, 2
#: A time within this share of the quickest counts as no slower. Planning value.
ALIKE = 0.02

Array = NDArray[float64]


@dataclass(frozen=True)
class LiftRow:
    """One way of taking the field up, run by run; hours since the start, infinite after the last day simulated.

    Attributes
    ----------
    crews : int
        Each at a key strip of its own.
    direction : str
    scenario : Scenario
        With so many crews.
    taken : tuple of TakenUp
    """

    crews: int
    direction: str
    scenario: Scenario
    taken: tuple[TakenUp, ...]

    @property
    def people(self) -> int:
        """On site."""
        return count_people(self.scenario).total

    @cached_property
    def rows_up(self) -> Array:
        """When the last row is up."""
        return np.array([run.rows_up for run in self.taken])

    @cached_property
    def in_yard(self) -> Array:
        """When the last pallet is in the yard."""
        return np.array([run.in_yard for run in self.taken])

    @cached_property
    def gone(self) -> Array:
        """When the last pallet leaves the yard."""
        return np.array([run.gone for run in self.taken])

    def waits(self, what: str) -> float:
        """Return the mean hours that its crews, or their handlers, waited for something, each."""
        return float(np.mean([run.waits[what] for run in self.taken])) / self.crews


@dataclass(frozen=True)
class LiftResult:
    """The answer of `lift`.

    Attributes
    ----------
    scenario : Scenario
        As it is asked, its job to take up.
    seed, runs : int
    asked : LiftRow
    by_crews : tuple of LiftRow
        The same with other numbers of crews, in rising order, the asked one among them.
    other : LiftRow
        The same in the other direction.
    leaves : bool
        Whether trucks or flights bring pallets away.
    square_feet : float
    """

    scenario: Scenario
    seed: int
    runs: int
    asked: LiftRow
    by_crews: tuple[LiftRow, ...]
    other: LiftRow
    leaves: bool
    square_feet: float

    @property
    def enough(self) -> LiftRow:
        """The fewest crews that are no slower than any that were tried."""
        quickest = min(middle(row.in_yard) for row in self.by_crews)
        return next(row for row in self.by_crews if middle(row.in_yard) <= quickest * (1.0 + ALIKE))

    @cached_property
    def person_hours(self) -> Array:
        """Hours of everybody on site until all pallets are in the yard: each on shift, whatever the weather."""
        return np.array([person_hours(self.asked.scenario, hours) for hours in self.asked.in_yard.tolist()])

    def mean_mats(self, state: str, full: bool) -> float:
        """Return how many mats of a state come back on average."""
        return float(np.mean([run.mats.get((state, full), 0) for run in self.asked.taken]))


def lift(
    scenario: Scenario, runs: int = RUNS, seed: int | None = None, progress: Callable[[int, int], None] | None = None
) -> LiftResult:
    """Return how long it takes to take a scenario's field up: with its crews, with more and fewer, in the other direction.

    Parameters
    ----------
    scenario : Scenario
        Whose whole field lies; the start is that of the take-up, whatever its job is.
    runs : int, optional
        Of each way.
    seed : int, optional
        Default: the scenario's.
    progress : callable, optional
        Told runs done and runs asked.

    Raises
    ------
    ScenarioError
        If there are more points than key strips, or crews are too small.
    """
    seed = scenario.seed if seed is None else seed
    scenario = as_taken_up(scenario)
    plan = compile_plan(scenario)
    assert plan.take_up is not None
    asked, direction = len(scenario.crew), scenario.take_up.direction
    other = "along" if direction == "against" else "against"
    counts = range(1, min(max(_LEAST, asked + _MORE), max(plan.take_up.strips, asked)) + 1)
    ways = [(crews, direction) for crews in counts] + [(asked, other)]
    rows = []
    for number, (crews, way) in enumerate(ways):
        varied = _changed(scenario, crews, way)
        plan = replace(compile_plan(varied), seed=seed)
        taken = []
        for run in range(runs):
            taken.append(take_up_once(plan, run))
            if progress is not None:
                progress(number * runs + run + 1, len(ways) * runs)
        rows.append(LiftRow(crews, way, varied, tuple(taken)))
    areas = [area for area in scenario.area if area.name in areas_in_order(scenario)]
    return LiftResult(
        scenario=scenario,
        seed=seed,
        runs=runs,
        asked=next(row for row in rows if row.crews == asked),
        by_crews=tuple(rows[:-1]),
        other=rows[-1],
        leaves=scenario.leaves,
        square_feet=sum(area.length * area.width for area in areas),
    )


def _changed(scenario: Scenario, crews: int, direction: str) -> Scenario:
    changes = []
    if crews != len(scenario.crew):
        changes.append(crews_instead([scenario.crew[number % len(scenario.crew)].people for number in range(crews)]))
    if direction != scenario.take_up.direction:
        changes.append(Change("take_up.direction", direction))
    return vary(scenario, changes) if changes else scenario


def middle(hours: Array) -> float:
    """Return the P50."""
    return quantile(hours, 0.5).value


def quantile(values: Array, share: float) -> QuantileEstimate:
    """Return a quantile over the runs with its interval."""
    return estimate(values.tolist(), share)
