"""Key strips at several spacings: days to lay, hours closed for repairs over the stay, days to take up, under the same luck."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray
from pydantic_core import PydanticCustomError

from simulation.construction.plan.steps import END
from simulation.construction.planning import as_laid, as_taken_up, compile_plan
from simulation.construction.running import simulate
from simulation.construction.trace.taken_up import take_up_once
from simulation.field import make_rows
from simulation.scenario import Change, Mistake, ScenarioError, vary
from simulation.scenario.tables.repair import Damage
from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.quantities.units import read_quantity
from simulation.stats.paired_difference import Difference, difference_of_means
from simulation.stats.quantiles import CONFIDENCE
from simulation.study.damage_stay import spend_seasons
from simulation.study.repair_draws import draw_repairs

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Spacings that are tried unless others are asked for. Planning value.
EVERY = "50 ft,100 ft,150 ft,200 ft,400 ft"
#: Feet between key strips by the handbook: NAVEDTRA 14251 ch. 11.
HANDBOOK = 100.0
#: Spacings at once, and runs of each unless a number is asked for. Planning values.
MOST, RUNS = 12, 60

Array = NDArray[float64]


@dataclass(frozen=True)
class SpacingRow:
    """One spacing, run by run; all in hours, infinite after the last day simulated.

    Attributes
    ----------
    every : float
        Feet between key strips.
    strips : int
        Of the area.
    lay : array
        Until readiness.
    closed : array
        For repairs over the stay.
    take_up : array
        Until the last pallet of the field is in the yard.
    """

    every: float
    strips: int
    lay: Array
    closed: Array
    take_up: Array

    @cached_property
    def without(self) -> Array:
        """Hours without a field in use: laying, repairs, taking up."""
        return self.lay + self.closed + self.take_up


@dataclass(frozen=True)
class SpacingResult:
    """The answer of `spacing`.

    Attributes
    ----------
    scenario : Scenario
    area : str
        Whose key strips are moved.
    seed, runs : int
    damage : Damage
    damage_written : bool
        Whether the scenario says how often mats are damaged.
    rows : tuple of SpacingRow
        In rising order of the spacing; the handbook's among them.
    """

    scenario: Scenario
    area: str
    seed: int
    runs: int
    damage: Damage
    damage_written: bool
    rows: tuple[SpacingRow, ...]

    @cached_property
    def best(self) -> SpacingRow:
        """The spacing with the fewest hours without a field on average."""
        return min(self.rows, key=lambda row: float(row.without.mean()))

    @cached_property
    def handbook(self) -> SpacingRow:
        """The spacing of the handbook."""
        return next(row for row in self.rows if row.every == HANDBOOK)

    @cached_property
    def as_good(self) -> tuple[SpacingRow, ...]:
        """Spacings that these runs cannot tell from the best one."""
        return tuple(row for row in self.rows if row is self.best or not self.against(self.best, row).measurable)

    def against(self, reference: SpacingRow, row: SpacingRow) -> Difference:
        """Return by how many hours more, on average, one spacing leaves without a field than another; paired run by run.

        The best is picked among all by the same runs, so the intervals of all pairs hold together at `CONFIDENCE` (Bonferroni).
        """
        pairs = math.comb(len(self.rows), 2)
        confidence = 1.0 - (1.0 - CONFIDENCE) / max(pairs, 1)
        return difference_of_means(reference.without.tolist(), row.without.tolist(), confidence)


def read_spacings(text: str) -> tuple[float, ...]:
    """Return spacings as a planner writes them, the handbook's among them, in rising order.

    Raises
    ------
    ScenarioError
        If one is no length, or there are too many.
    """
    spacings = {HANDBOOK}
    for part in text.split(","):
        try:
            spacings.add(read_quantity("length", part.strip()))
        except PydanticCustomError:
            raise _mistake(f"{shown(part.strip())} is no length", f'write spacings such as "{EVERY}"') from None
    if len(spacings) > MOST:
        raise _mistake(f"{len(spacings)} spacings are too many", f"at most {MOST} are tried, the handbook's among them")
    return tuple(sorted(spacings))


def spacing(
    scenario: Scenario,
    every: str = EVERY,
    runs: int = RUNS,
    seed: int | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> SpacingResult:
    """Return what key strips at several spacings cost in one area: the one in use, by [damage], or else the first.

    Parameters
    ----------
    scenario : Scenario
    every : str, optional
        Spacings with commas between them; the handbook's is always tried.
    runs : int, optional
        Of each spacing: of laying, of the stay, of taking up.
    seed : int, optional
        Default: the scenario's.
    progress : callable, optional
        Told runs done and runs asked.

    Raises
    ------
    ScenarioError
        If a spacing cannot be, or the scenario cannot be laid.
    """
    scenario, seed = as_laid(scenario), scenario.seed if seed is None else seed
    damage = scenario.damage or _usual_damage(scenario)
    area = next((area for area in scenario.area if area.name == damage.area), scenario.area[0])
    spacings = read_spacings(every)
    plans = [_at(scenario, area.name, spacing, damage) for spacing in spacings]
    rows = []
    for number, (spacing, plan) in enumerate(zip(spacings, plans, strict=True)):

        def tell(done: int, _: int, before: int = number * runs) -> None:
            if progress is not None:
                progress(before + done, runs * len(plans))

        rows.append(_row(plan, area.name, spacing, seed, runs, tell))
    return SpacingResult(scenario, area.name, seed, runs, damage, scenario.damage is not None, tuple(rows))


def _at(scenario: Scenario, area: str, every: float, damage: Damage) -> Scenario:
    """Return the scenario with the key strips of an area so far apart."""
    changed = vary(scenario, [Change(f"area.{area}.key_strips_every", f"{every:.10g} ft")])
    return changed.model_copy(update={"damage": damage})


def _usual_damage(scenario: Scenario) -> Damage:
    length = scenario.area[0].length
    usual = Damage()
    return usual.model_copy(update={"touchdown": min(usual.touchdown, 0.5 * length)})


def _row(scenario: Scenario, area: str, every: float, seed: int, runs: int, tell: Callable[[int, int], None]) -> SpacingRow:
    plan = replace(compile_plan(scenario), seed=seed)
    up = replace(compile_plan(as_taken_up(scenario)), seed=seed)
    lay, take_up = [], []
    for run in range(runs):
        finished = simulate(plan, run)
        last = finished.site.reached[plan.ready]
        lay.append(math.inf if last is None else float(last[END]))
        finished.site.dismiss()
        take_up.append(take_up_once(up, run).in_yard)
        tell(run + 1, runs)
    season = spend_seasons(scenario, seed, runs, draw_repairs(scenario, area, seed, runs), area)
    laid = next(each for each in scenario.area if each.name == area)
    strips = len(make_rows(laid, scenario.mat).key_strips)
    return SpacingRow(every, strips, np.array(lay), season.closed, np.array(take_up))


def mean_days(hours: Sequence[float] | Array) -> float:
    """Return the mean of some hours in days."""
    return float(np.mean(hours)) / 24.0


def _mistake(wrong: str, right: str) -> ScenarioError:
    return ScenarioError("spacing", [Mistake("--every", wrong, right)])
