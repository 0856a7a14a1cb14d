"""Key strips in several layouts: days to lay, hours closed for repairs over the stay, days to take up, under the same luck."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.planning import as_laid
from simulation.field import make_rows
from simulation.questions.spacing.layouts import EVERY, HANDBOOK, ZONED, Layout, laid_otherwise, list_layouts
from simulation.scenario.tables.repair import Damage
from simulation.scenario.tables.scenario import IN_YARD
from simulation.stats.paired_difference import Difference, difference_of_means
from simulation.stats.quantiles import CONFIDENCE
from simulation.study.damage.damage_stay import spend_seasons
from simulation.study.damage.repair_draws import draw_repairs
from simulation.study.in_step import do_in_step
from simulation.study.job import as_taken_up_by_stages
from simulation.study.run_context import RunContext

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.scenario import Scenario

Array = NDArray[float64]


@dataclass(frozen=True)
class SpacingRow:
    """One layout, run by run; all in hours, infinite after the last day simulated.

    Attributes
    ----------
    layout : Layout
    strips : int
        Of the area, its starter key strip among them.
    lay : array
        Until readiness.
    closed : array
        For repairs over the stay.
    take_up : array
        Until the last pallet of the field is in the yard.
    """

    layout: Layout
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
    seed, runs, asked : int
        Fewer runs than asked for where it was stopped.
    damage : Damage
    damage_written : bool
        Whether the scenario says how often mats are damaged.
    rows : tuple of SpacingRow
        Those of one distance in rising order, the handbook's among them, then those by zone, then the plan's own if it is none.
    laid_otherwise : tuple of (str, float)
        Distances as they were asked for that are no whole rows, and the feet at which they are laid.
    manifest : Manifest or None
        Of the study of the first.
    stopped : str
        Why there are fewer runs; empty where there are not.
    """

    scenario: Scenario
    area: str
    seed: int
    runs: int
    asked: int
    damage: Damage
    damage_written: bool
    rows: tuple[SpacingRow, ...]
    laid_otherwise: tuple[tuple[str, float], ...] = ()
    manifest: Manifest | None = None
    stopped: str = ""

    @cached_property
    def best(self) -> SpacingRow:
        """The layout with the fewest hours without a field on average."""
        return _best_of(self.rows)

    @cached_property
    def uniform(self) -> tuple[SpacingRow, ...]:
        """Layouts of one distance, in rising order of it."""
        return tuple(row for row in self.rows if row.layout.uniform)

    @cached_property
    def by_zone(self) -> SpacingRow | None:
        """The best of those with a closer distance, or a wider one, where aircraft touch down; None where none is tried."""
        zoned = tuple(row for row in self.rows if row.layout.close is not None)
        return _best_of(zoned) if zoned else None

    @cached_property
    def handbook(self) -> SpacingRow:
        """The layout of the handbook."""
        return next(row for row in self.uniform if row.layout.every == HANDBOOK)

    @cached_property
    def as_good(self) -> tuple[SpacingRow, ...]:
        """Layouts that these runs cannot tell from the best one."""
        return tuple(row for row in self.rows if row is self.best or not self.against(self.best, row).measurable)

    def against(self, reference: SpacingRow, row: SpacingRow) -> Difference:
        """Return by how many hours more, on average, one layout leaves without a field than another; paired run by run.

        The best is picked among all by the same runs, so the intervals of all pairs hold together at `CONFIDENCE` (Bonferroni).
        """
        pairs = math.comb(len(self.rows), 2)
        confidence = 1.0 - (1.0 - CONFIDENCE) / max(pairs, 1)
        return difference_of_means(reference.without.tolist(), row.without.tolist(), confidence)


def spacing(scenario: Scenario, context: RunContext = RunContext(), every: str = EVERY, zoned: str = ZONED) -> SpacingResult:
    """Return what key strips in several layouts cost in one area: the one in use, by [damage], or else the first.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are of each layout: of laying, of the stay, of taking up; and how they are done and kept.
    every : str, optional
        Distances with commas between them; the handbook's is always tried.
    zoned : str, optional
        Pairs of them with commas between: where aircraft touch down, and elsewhere. May be empty.

    Raises
    ------
    ScenarioError
        If a distance cannot be, or the scenario cannot be laid.
    NothingFinished, StoreError, ClusterError, ValueError
        As for `do_in_step`.
    """
    scenario = as_laid(scenario)
    damage = scenario.damage or _usual_damage(scenario)
    area = next((area for area in scenario.area if area.name == damage.area), scenario.area[0])
    layouts = list_layouts(scenario, area, damage, every, zoned)
    plans = list(layouts.values())
    done = do_in_step([*plans, *map(as_taken_up_by_stages, plans)], context)
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    numbers = done.tables[0]["run"]
    runs = int(numbers.max()) + 1
    rows = []
    for index, (layout, plan) in enumerate(layouts.items()):
        lay, up = done.tables[index], done.tables[index + len(plans)]
        laid = next(each for each in plan.area if each.name == area.name)
        damaged = plan.model_copy(update={"damage": damage})
        draws, tell = draw_repairs(plan, area.name, done.seed, runs), _of_all(context.progress, index, len(layouts))
        closed = spend_seasons(damaged, done.seed, runs, draws, area.name, tell).closed
        hours = lay[f"milestone.{ready}"], closed[numbers], up[f"milestone.{IN_YARD}"]
        across = make_rows(laid, scenario.mat)
        strips = len(across.key_strips) + (across.starter is not None)  # as a take-off counts them
        rows.append(SpacingRow(layout, strips, *hours))
    return SpacingResult(
        scenario=scenario,
        area=area.name,
        seed=done.seed,
        runs=done.runs,
        asked=done.asked,
        damage=damage,
        damage_written=scenario.damage is not None,
        rows=tuple(rows),
        laid_otherwise=laid_otherwise(every, zoned, scenario.mat.row_depth, scenario.measures),
        manifest=done.manifest,
        stopped=done.stopped,
    )


def _best_of(rows: Sequence[SpacingRow]) -> SpacingRow:
    return min(rows, key=lambda row: float(row.without.mean()))


def _of_all(progress: Callable[..., None] | None, index: int, layouts: int) -> Callable[..., None] | None:
    """Return what tells how far one layout is as a part of all of them."""
    if progress is None:
        return None
    return lambda done, total, what: progress(index * total + done, layouts * total, what)


def _usual_damage(scenario: Scenario) -> Damage:
    length = scenario.area[0].length
    usual = Damage()
    return usual.model_copy(update={"touchdown": min(usual.touchdown, 0.5 * length)})


def mean_days(hours: Sequence[float] | Array) -> float:
    """Return the mean of some hours in days."""
    return float(np.mean(hours)) / 24.0
