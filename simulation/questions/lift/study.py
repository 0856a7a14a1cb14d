"""Take a field up in many runs: as the scenario says, with more and fewer crews, and in the other direction."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.planning import compile_plan
from simulation.field.take_up_sections import areas_in_order
from simulation.questions.forecast.yard_room import YardRoom
from simulation.scenario import Change, vary
from simulation.scenario.reading.teams import crews_instead
from simulation.scenario.tables.scenario import AWAY, IN_YARD, UP
from simulation.stats.quantiles import QuantileEstimate, estimate
from simulation.study.in_step import do_in_step
from simulation.study.job import as_taken_up_by_stages
from simulation.study.people import count_people, person_hours
from simulation.study.run_context import RunContext

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

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
    table : pandas.DataFrame
        Its runs.
    """

    crews: int
    direction: str
    scenario: Scenario
    table: RunTable

    @property
    def people(self) -> int:
        """On site."""
        return count_people(self.scenario).total

    @property
    def rows_up(self) -> Array:
        """When the last row is up."""
        return self._milestone(UP)

    @property
    def in_yard(self) -> Array:
        """When the last pallet is in the yard."""
        return self._milestone(IN_YARD)

    @property
    def gone(self) -> Array:
        """When the last pallet leaves the yard; only where something brings pallets away."""
        return self._milestone(AWAY)

    def _milestone(self, name: str) -> Array:
        return self.table[f"milestone.{name}"]

    def mean(self, column: str) -> float:
        """Return the mean of a column over the runs."""
        return float(self.table[column].mean())

    def waits(self, what: str) -> float:
        """Return the mean hours on shift that its crews, or their handlers, waited for something, each."""
        return self.mean(f"waited.{what}") / self.crews


@dataclass(frozen=True)
class LiftResult:
    """The answer of `lift`.

    Attributes
    ----------
    scenario : Scenario
        As it is asked, its job to take up.
    seed, runs, wanted : int
        Fewer runs than wanted where it was stopped.
    asked : LiftRow
    by_crews : tuple of LiftRow
        The same with other numbers of crews, in rising order, the asked one among them.
    other : LiftRow
        The same in the other direction.
    leaves : bool
        Whether trucks or flights bring pallets away.
    square_feet : float
    manifest : Manifest
        Of the study of the asked one.
    stopped : str
        Why there are fewer runs; empty where there are not.
    """

    scenario: Scenario
    seed: int
    runs: int
    wanted: int
    asked: LiftRow
    by_crews: tuple[LiftRow, ...]
    other: LiftRow
    leaves: bool
    square_feet: float
    manifest: Manifest
    stopped: str

    @property
    def enough(self) -> LiftRow:
        """The fewest crews that are no slower than any that were tried."""
        quickest = min(middle(row.in_yard) for row in self.by_crews)
        return next(row for row in self.by_crews if middle(row.in_yard) <= quickest * (1.0 + ALIKE))

    @property
    def enough_until_gone(self) -> LiftRow | None:
        """The fewest crews with which the last load leaves no later than with any that were tried; None where nothing leaves."""
        if not self.leaves:
            return None
        quickest = min(middle(row.gone) for row in self.by_crews)
        return next(row for row in self.by_crews if middle(row.gone) <= quickest * (1.0 + ALIKE))

    @cached_property
    def person_hours(self) -> Array:
        """Hours of everybody on site until all pallets are in the yard: each on shift, whatever the weather."""
        return np.array([person_hours(self.asked.scenario, hours) for hours in self.asked.in_yard.tolist()])

    def mean_mats(self, state: str, full: bool) -> float:
        """Return how many mats of a state come back on average."""
        return self.asked.mean(f"up.{state}.{'full' if full else 'half'} mats")

    def mean_pallets(self, state: str) -> float:
        """Return how many pallets of a state come back on average."""
        return self.asked.mean(f"up.{state}.pallets")

    @cached_property
    def yard(self) -> YardRoom:
        """How many pallets stand in the yard at once."""
        return YardRoom.of_runs(self.asked.table, self.leaves)

    @property
    def mean_loads(self) -> float:
        """How many loads leave the yard on average."""
        return self.asked.mean("up.loads")


def lift(scenario: Scenario, context: RunContext = RunContext()) -> LiftResult:
    """Return how long it takes to take a scenario's field up: with its crews, with more and fewer, in the other direction.

    Parameters
    ----------
    scenario : Scenario
        Whose whole field lies; the start is that of the take-up, whatever its job is.
    context : RunContext
        How many runs there are of each way, and how they are done and kept.

    Raises
    ------
    ScenarioError
        If there are more points than key strips, or crews are too small.
    NothingFinished, StoreError, ClusterError, ValueError
        As for `do_in_step`.
    """
    scenario = as_taken_up_by_stages(scenario)
    plan = compile_plan(scenario)
    assert plan.take_up is not None
    asked, direction = len(scenario.crew), scenario.take_up.direction
    other = "along" if direction == "against" else "against"
    most = min(max(_LEAST, asked + _MORE), max(plan.take_up.strips, asked))
    # The plan itself comes first: its study is the one that a record names.
    ways = [(asked, direction), *((crews, direction) for crews in range(1, most + 1) if crews != asked), (asked, other)]
    scenarios = [_changed(scenario, crews, way) for crews, way in ways]
    done = do_in_step(scenarios, context)
    rows = [LiftRow(*way, varied, table) for way, varied, table in zip(ways, scenarios, done.tables, strict=True)]
    areas = [area for area in scenario.area if area.name in areas_in_order(scenario)]
    return LiftResult(
        scenario=scenario,
        seed=done.seed,
        runs=done.runs,
        wanted=done.asked,
        asked=rows[0],
        by_crews=tuple(sorted(rows[:-1], key=lambda row: row.crews)),
        other=rows[-1],
        leaves=scenario.leaves,
        square_feet=sum(area.length * area.width for area in areas),
        manifest=done.manifest,
        stopped=done.stopped,
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
