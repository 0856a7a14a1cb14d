"""Take one field up and lay another from its mats, run by run: as written, with other splits of people, with more stock."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.construction.planning import as_taken_up, compile_plan
from simulation.construction.trace.taken_up import TakenUp, take_up_once
from simulation.field import take_off
from simulation.field.take_up_sections import areas_in_order
from simulation.questions.move.on_the_way import OnTheWay, arrivals_at, order_missing, send
from simulation.questions.move.second_site import LaidAgain, lay_again, needs_of, plan_second, stock_of
from simulation.questions.move.ways import Way, list_ways
from simulation.replicate.other_work import do_each
from simulation.scenario import Mistake, ScenarioError
from simulation.stats.paired_difference import Difference, difference_of_quantiles, measured
from simulation.study.run_context import RunContext

if TYPE_CHECKING:
    from simulation.construction.plan.plan import Plan
    from simulation.scenario import Scenario

#: Confidence of all intervals of a table together.
_TOGETHER = 0.95

Array = NDArray[float64]


@dataclass(frozen=True)
class MoveRun:
    """One run of a move: the first site taken up, what came of it on the way, and the second laid."""

    taken: TakenUp
    way: OnTheWay
    laid: LaidAgain


@dataclass(frozen=True)
class MoveRow:
    """One way of moving the field, run by run."""

    way: Way
    shift: float
    ready: int
    runs: tuple[MoveRun, ...]

    @cached_property
    def without(self) -> Array:
        """Hours from the start at the first site, where the field closes, until the second is open; infinite where it is not."""
        return self.until(self.ready)

    @property
    def starts_later(self) -> float:
        """Hours from the start at the first site to that at the second, before which nothing is done there."""
        return -self.shift

    @cached_property
    def waits_for_start(self) -> bool:
        """Whether all loads have come before the second site starts, in half of the runs or more."""
        come = [max((hour for hour, _ in run.way.arrivals), default=math.inf) <= self.starts_later for run in self.runs]
        return float(np.mean(come)) >= 0.5

    def until(self, milestone: int) -> Array:
        """Return the hours from the start at the first site to a milestone of the second."""
        return np.array([run.laid.milestones[milestone] - self.shift for run in self.runs])

    @cached_property
    def off(self) -> Array:
        """Hours from the start at the first site until the last pallet is off it."""
        return np.array([max((load.hour for load in run.taken.off), default=math.inf) for run in self.runs])

    @cached_property
    def ordered(self) -> float:
        """Share of the runs in which something was ordered because too little came."""
        return float(np.mean([bool(run.way.ordered) or bool(run.laid.ordered) for run in self.runs]))


@dataclass(frozen=True)
class MoveResult:
    """The answer of `move`.

    Attributes
    ----------
    first, second : Scenario
    seeds : (int, int)
        Of either site.
    runs : int
    asked : MoveRow
        As the files say.
    splits, stocks : tuple of MoveRow
        With people moved from the one site to the other, and with more pallets in stock at the second.
    needs, laid : (int, int)
        Full and half mats that the second takes, and that lie at the first.
    stock : int
        Pallets of the second's own.
    """

    first: Scenario
    second: Scenario
    seeds: tuple[int, int]
    runs: int
    asked: MoveRow
    splits: tuple[MoveRow, ...]
    stocks: tuple[MoveRow, ...]
    needs: tuple[int, int]
    laid: tuple[int, int]
    stock: int

    def against(self, row: MoveRow, share: float = 0.5) -> Difference:
        """Return what a way changes of a quantile of the hours without a field, its interval holding for all ways together."""
        tried = max(len(self.splits) + len(self.stocks), 1)
        confidence = 1.0 - (1.0 - _TOGETHER) / tried
        change = difference_of_quantiles(self.asked.without.tolist(), row.without.tolist(), share, confidence)
        return measured(change, self.runs)


def move(first: Scenario, second: Scenario, context: RunContext = RunContext()) -> MoveResult:
    """Return how long there is no field, if the first is taken up and the second is laid from its mats.

    Parameters
    ----------
    first, second : Scenario
        The start of the first is that of its take-up, whatever its job is; `[leg]` of the second says how mats come there.
    context : RunContext
        How many runs there are of each way, and by how many workers; none is kept. Its seed is that of the first site, and the
        second has the next. Default: those of the files, or the next where both are the same.

    Raises
    ------
    ScenarioError
        If the mats are not alike, the second needs more than will ever come, or either cannot be done.
    """
    refuse_second(first, second)
    first = as_taken_up(first)
    own = first.seed if context.seed is None else context.seed
    seeds = own, second.seed if context.seed is None and second.seed != own else own + 1
    splits, stocks = list_ways(first, second)
    ways = (Way("as written", "", first, second), *splits, *stocks)
    firsts = {id(way.first): way.first for way in ways}
    work = _Moving(
        takings=tuple(replace(compile_plan(scenario), seed=seeds[0]) for scenario in firsts.values()),
        layings=tuple(replace(plan_second(way.second), seed=seeds[1]) for way in ways),
        ways=ways,
        taken_by=tuple(list(firsts).index(id(way.first)) for way in ways),
        needs=needs_of(second),
    )
    runs = do_each(work, context.runs, context.workers, context.progress)
    rows = [
        MoveRow(way, _shift(way), plan.ready, tuple(of_run[number] for of_run in runs))
        for number, (way, plan) in enumerate(zip(ways, work.layings, strict=True))
    ]
    return MoveResult(
        first=first,
        second=second,
        seeds=seeds,
        runs=context.runs,
        asked=rows[0],
        splits=tuple(rows[1 : 1 + len(splits)]),
        stocks=tuple(rows[1 + len(splits) :]),
        needs=work.needs,
        laid=_lies(first),
        stock=stock_of(second),
    )


def _shift(way: Way) -> float:
    """Return the hours from the start at the second site to that at the first."""
    return (way.first.starts - way.second.starts).total_seconds() / 3600.0


@dataclass(frozen=True)
class _Moving:
    """One run of every way of moving: the first site, then what it sends, then the second, since nothing flows back.

    Ways that take the first field up alike, as with more stock at the second, share that run of it.
    """

    takings: tuple[Plan, ...]
    layings: tuple[Plan, ...]
    ways: tuple[Way, ...]
    taken_by: tuple[int, ...]
    needs: tuple[int, int]

    def __call__(self, run: int) -> tuple[MoveRun, ...]:
        taken = [take_up_once(plan, run) for plan in self.takings]
        each = zip(self.ways, self.layings, self.taken_by, strict=True)
        return tuple(self.move(way, plan, taken[number], run) for way, plan, number in each)

    def move(self, way: Way, plan: Plan, up: TakenUp, run: int) -> MoveRun:
        second = way.second
        loads = send(second, way.first, up.off, Streams(plan.seed, run))
        known = max((load.hour for load in up.off), default=math.inf)
        on_the_way = OnTheWay(loads, order_missing(second, self.needs, stock_of(second), loads, known))
        arrivals = arrivals_at(on_the_way, _shift(way), (second.mat.pallet_full, second.mat.pallet_half))
        comes = _shift(way) + second.leg.people_time
        machines = up.gone if math.isfinite(up.gone) else up.in_yard
        laid = lay_again(plan, second, run, arrivals, up.rows_up + comes, machines + comes)
        return MoveRun(up, on_the_way, laid)


def _lies(first: Scenario) -> tuple[int, int]:
    """Return the full and half mats of the areas that are taken up."""
    up = areas_in_order(first)
    areas = [area for area in take_off(first).areas if area.name in up]
    return sum(area.full for area in areas), sum(area.half for area in areas)


def refuse_second(first: Scenario, second: Scenario) -> None:
    """Refuse a second site that cannot be laid from what comes.

    Raises
    ------
    ScenarioError
        If its mats are others, it needs more than will ever come, or it cannot be laid whatever comes.
    """
    _refuse_other_mats(first, second)
    _refuse_too_few(second, needs_of(second), _lies(first), stock_of(second))
    plan_second(second, _loads_at_most(first, second))


def _loads_at_most(first: Scenario, second: Scenario) -> int:
    """Return the loads that can come to the second site: all that lies at the first, and what its trucks bring."""
    holds = first.mat.pallet_full, first.mat.pallet_half
    pallets = sum(math.ceil(mats / on) for mats, on in zip(_lies(first), holds, strict=True) if on)
    supply, own = second.supply, stock_of(second) - second.supply.on_hand
    most = max([*(fleet.pallets for fleet in supply.trucks), *(flight.pallets for flight in supply.flights)], default=own)
    return math.ceil(pallets / second.leg.load) + (math.ceil(own / most) if own else 0)


def _refuse_other_mats(first: Scenario, second: Scenario) -> None:
    length = second.measures.length
    for key in ("row_depth", "full", "half"):
        here, there = getattr(first.mat, key), getattr(second.mat, key)
        if abs(here - there) > 1e-9:
            wrong = f"{length.text(there)} here and {length.text(here)} at the first site: these are other mats"
            raise ScenarioError(second.title, [Mistake(f"mat.{key}", wrong, "move a field of the same mat")])


def _refuse_too_few(second: Scenario, needs: tuple[int, int], laid: tuple[int, int], stock: int) -> None:
    holds = second.mat.pallet_full, second.mat.pallet_half
    short = [need - lies - stock * on for need, lies, on in zip(needs, laid, holds, strict=True)]
    if max(short) <= 0:
        return
    kinds = [f"{missing:,} {kind} mats" for missing, kind in zip(short, ("full", "half"), strict=True) if missing > 0]
    pallets = max(math.ceil(missing / on) for missing, on in zip(short, holds, strict=True) if missing > 0 and on)
    wrong = (
        f"more is needed than will ever come: {' and '.join(kinds)} short, with every mat of the first site and {stock:,} pallets"
    )
    right = f"write at least {second.supply.on_hand + pallets:,}, more with spares, or lay less"
    raise ScenarioError(second.title, [Mistake("supply.on_hand", wrong, right)])
