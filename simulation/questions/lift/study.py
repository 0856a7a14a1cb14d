"""Take a field up in many runs: as the scenario says, from more and fewer key strips, and in the other direction."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.conditions import on_shift
from simulation.construction.take_up.take_up_plan import TakeUpPlan, plan_take_up
from simulation.construction.take_up.taken import Taken
from simulation.construction.take_up.taking_up import take_up_once
from simulation.field.take_up_sections import areas_in_order
from simulation.stats.quantiles import QuantileEstimate, estimate

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Runs of each way of taking the field up, unless a number is asked for. Planning value.
RUNS = 60
#: Points that are tried at least, and how many more than asked for.
_LEAST, _MORE = 4, 2
#: A time within this share of the quickest counts as no slower. Planning value.
ALIKE = 0.02

Array = NDArray[float64]


@dataclass(frozen=True)
class LiftRow:
    """One way of taking the field up, run by run; hours since the start, infinite after the last day simulated.

    Attributes
    ----------
    points : int
    direction : str
    people : int
        On site.
    taken : tuple of Taken
    """

    points: int
    direction: str
    people: int
    taken: tuple[Taken, ...]

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
        """Return the mean hours that its gangs, or their handlers, waited for something, each."""
        return float(np.mean([run.waits[what] for run in self.taken])) / self.points


@dataclass(frozen=True)
class LiftResult:
    """The answer of `lift`.

    Attributes
    ----------
    scenario : Scenario
        As it is asked: points and direction included.
    seed, runs : int
    asked : LiftRow
    by_points : tuple of LiftRow
        The same with other numbers of points, in rising order, the asked one among them.
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
    by_points: tuple[LiftRow, ...]
    other: LiftRow
    leaves: bool
    square_feet: float

    @property
    def enough(self) -> LiftRow:
        """The fewest points that are no slower than any that were tried."""
        quickest = min(middle(row.in_yard) for row in self.by_points)
        return next(row for row in self.by_points if middle(row.in_yard) <= quickest * (1.0 + ALIKE))

    @cached_property
    def person_hours(self) -> Array:
        """Hours of everybody on site until all pallets are in the yard: each on shift, whatever the weather."""
        spans = on_shift(self.scenario.shifts.of("laying"), self.scenario.starts, self.scenario.horizon)
        return self.asked.people * np.array(
            [sum(max(0.0, min(end, hours) - start) for start, end in spans) for hours in self.asked.in_yard.tolist()]
        )

    def mean_mats(self, state: str, full: bool) -> float:
        """Return how many mats of a state come back on average."""
        return float(np.mean([run.mats.get((state, full), 0) for run in self.asked.taken]))


def lift(
    scenario: Scenario, runs: int = RUNS, seed: int | None = None, progress: Callable[[int, int], None] | None = None
) -> LiftResult:
    """Return how long it takes to take a scenario's field up, and what comes back.

    Parameters
    ----------
    scenario : Scenario
        Whose whole field lies; the start is that of the take-up.
    runs : int, optional
        Of each way.
    seed : int, optional
        Default: the scenario's.
    progress : callable, optional
        Told runs done and runs asked.

    Raises
    ------
    ScenarioError
        If there are more points than key strips, or the scenario cannot be laid.
    """
    seed = scenario.seed if seed is None else seed
    take_up = scenario.take_up
    plan = plan_take_up(scenario)
    asked = plan.points
    counts = range(1, min(max(_LEAST, asked + _MORE), plan.strips) + 1)
    other = "along" if take_up.direction == "against" else "against"
    ways = [(points, take_up.direction) for points in counts] + [(asked, other)]
    rows = []
    for number, (points, direction) in enumerate(ways):
        plan = plan_take_up(_changed(scenario, points, direction))
        plan = replace(plan, laying=replace(plan.laying, seed=seed))
        taken = []
        for run in range(runs):
            taken.append(take_up_once(plan, run))
            if progress is not None:
                progress(number * runs + run + 1, len(ways) * runs)
        rows.append(LiftRow(points, direction, people_at(scenario, plan, points), tuple(taken)))
    areas = [area for area in scenario.area if area.name in areas_in_order(scenario)]
    return LiftResult(
        scenario=scenario,
        seed=seed,
        runs=runs,
        asked=next(row for row in rows if row.points == asked),
        by_points=tuple(rows[:-1]),
        other=rows[-1],
        leaves=bool(scenario.supply.trucks or scenario.supply.flights),
        square_feet=sum(area.length * area.width for area in areas),
    )


def _changed(scenario: Scenario, points: int, direction: str) -> Scenario:
    take_up = scenario.take_up.model_copy(update={"points": points, "direction": direction})
    return scenario.model_copy(update={"take_up": take_up})


def people_at(scenario: Scenario, plan: TakeUpPlan, points: int) -> int:
    """Return the people on site: gangs, handlers, operators, and the grading gangs where ramps are dug out."""
    take_up, ramps = scenario.take_up, any(section.section.ramp for section in plan.sections)
    grading = scenario.grading.gangs * scenario.grading.people if ramps else 0
    return points * (take_up.people + take_up.handlers) + scenario.forklifts.count * scenario.forklifts.operators + grading


def middle(hours: Array) -> float:
    """Return the P50."""
    return quantile(hours, 0.5).value


def quantile(values: Array, share: float) -> QuantileEstimate:
    """Return a quantile over the runs with its interval."""
    return estimate(values.tolist(), share)
