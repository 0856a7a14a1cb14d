"""What nobody knows today: which of it matters most for the day of readiness?

Read from the runs of the forecast itself: in each of them every level has a value of its own, so the runs show already which
levels go with late ones. Only the tornado needs runs of its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.level_inputs import list_inputs, partly_shared
from simulation.questions.sensitivity.shipment_luck import Input, ShipmentLuck, list_shipment_luck, values_of
from simulation.questions.sensitivity.tornado import FEWEST_BARS, MOST_BARS, Bar, FixedLevel, fix_levels, make_bars
from simulation.stats.chances import Chance, estimate_chance
from simulation.stats.first_order import (
    LEAST,
    RankCorrelation,
    Share,
    first_order,
    least_measurable,
    rank_correlation,
    runs_to_detect,
    told_apart,
)
from simulation.stats.level_regression import estimate_swings
from simulation.stats.paired_difference import UNKNOWN, Difference
from simulation.study.changes.trials import try_changes
from simulation.study.current_plan import CurrentPlanResult
from simulation.study.deadline import Deadline, on_time
from simulation.study.outcomes import summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count, own_runs

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

#: A share of the spread that is worth to be told: below it, a level is of no concern to a planner. Planning value.
SMALL = 0.01

#: An effect goes both ways where the square of the rank correlation, what goes one way, is less than this part of its share of
#: the spread. Planning value.
_MISSED = 0.25


@dataclass(frozen=True)
class SensitivityRow:
    """What one input does to readiness.

    Attributes
    ----------
    input : Input
    share : Share or None
        Of the spread of readiness that it explains alone; None with fewer than `LEAST` runs, or without a spread.
    rank : RankCorrelation or None
        Above 0, more of it means later; None without a spread.
    moves : Difference
        Hours by which the mean moves from its P10 to its P90, by a regression on all inputs; unknown with too few runs.
    thirds : tuple of Chance or None
        Of being ready by the deadline, in the third of the runs where it is lowest, and in that where it is highest; None
        without a deadline.
    """

    input: Input
    share: Share | None
    rank: RankCorrelation | None
    moves: Difference
    thirds: tuple[Chance, Chance] | None

    @property
    def measurable(self) -> bool:
        """Whether either measure shows an effect that chance alone would not."""
        return any(measure is not None and measure.measurable for measure in (self.share, self.rank))

    @property
    def both_ways(self) -> bool:
        """Whether it has an effect of which the rank correlation, which sees one direction only, misses the most."""
        if self.share is None or not self.share.measurable:
            return False
        return self.rank is None or not self.rank.measurable or self.rank.value**2 < _MISSED * self.share.value


@dataclass(frozen=True)
class SensitivityResult(CurrentPlanResult):
    """What the levels of a scenario do to its readiness. Hours count from the start.

    Attributes
    ----------
    unfinished : int
        Runs not ready by the last day simulated: ranked last; for shares they count as ready by the last day simulated.
    rows : tuple of SensitivityRow
        In one order wherever they are shown: with a tornado in its order, those without a bar last; else those measurable
        first, and the largest share. A level with one value only has no row, nor has one that no work needs.
    constant : int
        How many levels those are.
    partly_shared : tuple of str
        Keys of the inputs that move in part with others: each has part of the others' effect.
    explained : float or None
        Sum of the shares: what the inputs explain each on its own.
    smallest_measurable : float or None
        The smallest share that so many runs can detect.
    runs_for_small : int
        Runs that detect a share of `SMALL`.
    beside : tuple of Input
        Inputs whose effect on the spread these runs cannot tell from that of the first measurable one, the largest first.
    bars : tuple of Bar or None
        The tornado: the longest bar first, those measurable before others; None where it was not asked for.
    """

    unfinished: int
    rows: tuple[SensitivityRow, ...]
    constant: int
    partly_shared: tuple[str, ...]
    explained: float | None
    smallest_measurable: float | None
    runs_for_small: int
    beside: tuple[Input, ...]
    bars: tuple[Bar, ...] | None

    @property
    def measurable_rows(self) -> tuple[SensitivityRow, ...]:
        """Inputs with a measurable effect, the largest share first whatever the order of all."""
        return tuple(sorted((row for row in self.rows if row.measurable), key=importance, reverse=True))


def sensitivity(scenario: Scenario, context: RunContext = RunContext(), tornado: bool = False) -> SensitivityResult:
    """Return what the levels of a scenario do to its readiness, from the runs of its forecast.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are, and how they are done and kept.
    tornado : bool
        Whether the inputs that may matter by these runs are fixed at their P10 and their P90 as well, each in as many runs as it
        takes to know what that does, and no more than there are of the scenario.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or the deadline cannot be read.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If `run_count` is out of range.
    """
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    limit = context.read_deadline(scenario)
    with context.workshop() as workshop:
        alternatives = Alternatives([scenario], workshop, context.seed, context.progress)
        announce(alternatives, context.runs, context.tell, later=2 * MOST_BARS * context.runs if tornado else 0)
        runs = own_runs(alternatives, context.runs)
        result = read_sensitivity(scenario, runs, alternatives.seed, context.runs, limit)
        result = replace(result, manifest=alternatives.runs[0].manifest(), stopped=alternatives.stopped)
        if not tornado or alternatives.stopped:
            return result if not tornado else replace(result, bars=())
        inputs = _choose_inputs(result)
        tried, _ = try_changes(
            scenario,
            fix_levels(scenario, inputs),
            context,
            together=_fixed_input,
            needs_size=lambda level: True,  # a bar is of P80 itself
            workshop=workshop,
            changes_alone=True,
        )
        bars = make_bars(tried)
        rows = _in_order_of(bars, result.rows)
        return replace(result, bars=bars, rows=rows, looks=tried.looks, stopped=tried.stopped)


def _fixed_input(level: FixedLevel) -> object:
    return level.input.keys


def _choose_inputs(result: SensitivityResult) -> list[Input]:
    """Return the inputs that matter by the runs that are there, those that move readiness furthest first; a few in any case."""
    matter = [row for row in result.rows if row.measurable or row.moves.measurable]
    rows = [row for row in result.rows if not isinstance(row.input, ShipmentLuck) or row.input.can_be_fixed]
    first = sorted(rows, key=lambda row: (row in matter, abs(row.moves.value or 0.0)), reverse=True)
    unknown = any(row.moves.value is None for row in result.rows)  # too few runs to say which matter
    return [row.input for row in first[: MOST_BARS if unknown else min(MOST_BARS, max(FEWEST_BARS, len(matter)))]]


def _in_order_of(bars: Sequence[Bar], rows: Sequence[SensitivityRow]) -> tuple[SensitivityRow, ...]:
    order = {bar.input.keys: index for index, bar in enumerate(bars)}
    return tuple(sorted(rows, key=lambda row: order.get(row.input.keys, len(order))))


def read_sensitivity(
    scenario: Scenario, runs: RunTable, seed: int, asked: int, deadline: Deadline | None = None
) -> SensitivityResult:
    """Return what runs that are already simulated say about the levels of a scenario.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    import numpy as np

    from simulation.construction import compile_plan

    if runs.empty:
        raise NothingFinished("stopped before the first run was done")
    plan = compile_plan(scenario)
    levels = list_inputs(scenario, plan)
    inputs: tuple[Input, ...] = (*levels, *list_shipment_luck(scenario, plan))
    outcome = summarise_outcome("current plan", scenario, runs, deadline)
    unfinished = sum(math.isinf(hour) for hour in outcome.hours)
    shares: Sequence[Share | None] = [None] * len(inputs)
    hours = np.minimum(outcome.hours, scenario.horizon)
    drawn = values_of(inputs, runs, plan, seed)
    values = np.array(drawn).T
    enough = bool(inputs) and len(hours) >= LEAST and hours.max() > hours.min()
    if enough:
        shares = first_order(values, hours)
    met = None if deadline is None else [on_time(hour, deadline) for hour in outcome.hours]
    moves = [UNKNOWN] * len(inputs)
    if inputs:
        moves = estimate_swings(values, hours)
    rows = []
    for each, column, share, moved in zip(inputs, drawn, shares, moves, strict=True):
        known = column.tolist()
        # Of a shipment nobody would look for a third: it comes on its first date or does not.
        thirds = None if met is None or isinstance(each, ShipmentLuck) else _thirds(known, met)
        rows.append(SensitivityRow(each, share, rank_correlation(known, outcome.hours, len(inputs)), moved, thirds))
    order = sorted(range(len(rows)), key=lambda number: importance(rows[number]), reverse=True)
    beside: tuple[Input, ...] = ()
    if len(rows) > 1 and rows[order[0]].measurable:
        told = told_apart(values[:, order], hours if enough else np.array(outcome.hours), enough)
        beside = tuple(rows[number].input for number, apart in zip(order[1:], told, strict=True) if not apart)
    rows = [rows[number] for number in order]
    names = {key for level in levels for key in level.keys}
    return SensitivityResult(
        outcome=outcome,
        seed=seed,
        asked=asked,
        unfinished=unfinished,
        rows=tuple(rows),
        constant=len(plan.levels) - len(names),
        partly_shared=partly_shared(levels),
        explained=math.fsum(share.value for share in shares if share is not None) if enough else None,
        smallest_measurable=least_measurable(len(hours), len(inputs)) if enough else None,
        runs_for_small=runs_to_detect(SMALL, max(1, len(inputs))),
        beside=beside,
        bars=None,
        looks=(),
        manifest=None,
        stopped="",
    )


def importance(row: SensitivityRow) -> tuple[bool, float, float]:
    """Return what inputs are put in order by: measurable, the share, the rank correlation in either direction."""
    return (row.measurable, row.share.value if row.share else 0.0, abs(row.rank.value) if row.rank else 0.0)


def _thirds(values: Sequence[float], met: Sequence[bool]) -> tuple[Chance, Chance] | None:
    """Return the chance of what was met in the third of the runs with the lowest values, and in that with the highest."""
    third = len(values) // 3
    if not third:
        return None
    order = sorted(range(len(values)), key=lambda number: values[number])
    lowest, highest = (sum(met[number] for number in part) for part in (order[:third], order[-third:]))
    return estimate_chance(lowest, third), estimate_chance(highest, third)
