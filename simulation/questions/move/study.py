"""Take one field up and lay another from its mats, run by run: as written, with other splits of people, with more stock."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.planning import as_taken_up, compile_plan
from simulation.field import take_off
from simulation.field.take_up_sections import areas_in_order
from simulation.questions.forecast.yard_room import YardRoom
from simulation.questions.move.kept_run import MoveRun, read_ways
from simulation.questions.move.move_run import Moving
from simulation.questions.move.second_site import needs_of, plan_second, stock_of
from simulation.questions.move.ways import Way, list_ways
from simulation.replicate.identity import Identity, scenario_hash, source_hash
from simulation.replicate.other_work import OtherRuns
from simulation.scenario import Mistake, ScenarioError
from simulation.stats.paired_difference import Difference, difference_of_quantiles, measured
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, check_run_count

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.scenario import Scenario

#: Confidence of all intervals of a table together.
_TOGETHER = 0.95
#: What of the program only a move's runs come from, beside what all runs do.
_ROOM = "questions/move"

Array = NDArray[float64]


@dataclass(frozen=True)
class MoveRow:
    """One way of moving the field, run by run: hours since the start at the second site at which its milestones are reached."""

    way: Way
    ready: int
    reached: tuple[tuple[float, ...], ...]

    @property
    def shift(self) -> float:
        """Hours from the start at the second site to that at the first."""
        return self.way.shift

    @cached_property
    def without(self) -> Array:
        """Hours from the start at the first site, where the field closes, until the second is open; infinite where it is not."""
        return self.until(self.ready)

    def until(self, milestone: int) -> Array:
        """Return the hours from the start at the first site to a milestone of the second."""
        return np.array([run[milestone] - self.shift for run in self.reached])


@dataclass(frozen=True)
class AskedRow(MoveRow):
    """The way as written, with all that came of each run."""

    runs: tuple[MoveRun, ...]

    @property
    def starts_later(self) -> float:
        """Hours from the start at the first site to that at the second, before which nothing is done there."""
        return -self.shift

    @cached_property
    def waits_for_start(self) -> bool:
        """Whether all loads have come before the second site starts, in half of the runs or more."""
        come = [max((hour for hour, _ in run.way.arrivals), default=math.inf) <= self.starts_later for run in self.runs]
        return float(np.mean(come)) >= 0.5

    @cached_property
    def off(self) -> Array:
        """Hours from the start at the first site until the last pallet is off it."""
        return np.array([max((load.hour for load in run.taken.off), default=math.inf) for run in self.runs])

    @cached_property
    def yard(self) -> YardRoom:
        """How many pallets stand in the yard of the first site at once."""
        return YardRoom.of([run.taken.most for run in self.runs], self.way.first.leaves)

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
    runs, wanted : int
        Fewer runs than wanted where it was stopped.
    asked : AskedRow
        As the files say.
    splits, stocks : tuple of MoveRow
        With people moved from the one site to the other, and with more pallets in stock at the second.
    needs, laid : (int, int)
        Full and half mats that the second takes, and that lie at the first.
    stock : int
        Pallets of the second's own.
    manifest : Manifest
        Of the study of its runs.
    stopped : str
        Why there are fewer runs; empty where there are not.
    """

    first: Scenario
    second: Scenario
    seeds: tuple[int, int]
    runs: int
    wanted: int
    asked: AskedRow
    splits: tuple[MoveRow, ...]
    stocks: tuple[MoveRow, ...]
    needs: tuple[int, int]
    laid: tuple[int, int]
    stock: int
    manifest: Manifest
    stopped: str

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
        How many runs there are of each way, and how they are done and kept. Its seed is that of the first site, and the second
        has the next. Default: those of the files, or the next where both are the same.

    Raises
    ------
    ScenarioError
        If the mats are not alike, the second needs more than will ever come, or either cannot be done.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError, ValueError
        As for `RunContext.workshop` and `check_run_count`.
    """
    refuse_second(first, second)
    first = as_taken_up(first)
    own = first.seed if context.seed is None else context.seed
    seeds = own, second.seed if context.seed is None and second.seed != own else own + 1
    splits, stocks = list_ways(first, second)
    ways = (Way("as written", "", first, second), *splits, *stocks)
    firsts = {id(way.first): way.first for way in ways}
    work = Moving(
        takings=tuple(replace(compile_plan(scenario), seed=seeds[0]) for scenario in firsts.values()),
        layings=tuple(replace(plan_second(way.second), seed=seeds[1]) for way in ways),
        ways=ways,
        taken_by=tuple(list(firsts).index(id(way.first)) for way in ways),
        needs=needs_of(second),
    )
    check_run_count(context.runs)
    with context.workshop() as workshop:
        kept = OtherRuns(work, _identity(ways, seeds), first, f"moved to {second.title}", workshop, context.progress)
        if context.tell is not None and kept.news:
            context.tell(kept.news)
        kept.reach(context.runs)
        runs = [read_ways(record) for record in kept.records(context.runs)]
        manifest = kept.manifest()
    if not runs:
        raise NothingFinished(f"{kept.stopped}, before the first run was done")
    ready = work.layings[0].ready
    asked = tuple(run for run, _ in runs)
    rows = [MoveRow(way, ready, tuple(reached[number] for _, reached in runs)) for number, way in enumerate((*splits, *stocks))]
    return MoveResult(
        first=first,
        second=second,
        seeds=seeds,
        runs=len(runs),
        wanted=context.runs,
        asked=AskedRow(ways[0], ready, tuple(run.laid.milestones for run in asked), asked),
        splits=tuple(rows[: len(splits)]),
        stocks=tuple(rows[len(splits) :]),
        needs=work.needs,
        laid=_lies(first),
        stock=stock_of(second),
        manifest=manifest,
        stopped=kept.stopped,
    )


def _identity(ways: Sequence[Way], seeds: tuple[int, int]) -> Identity:
    """Return what a move is known by: both sites in every way, the seeds, and the program with what of it is a move's alone."""
    parts = [scenario_hash(site) for way in ways for site in (way.first, way.second)]
    parts += [str(seeds[1]), source_hash((_ROOM,))]
    return replace(Identity.of(ways[0].first, seeds[0], "random"), scenario=hashlib.sha256(" ".join(parts).encode()).hexdigest())


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
