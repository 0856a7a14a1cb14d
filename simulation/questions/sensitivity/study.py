"""What nobody knows today: which of it matters most for the day of readiness?

Read from the runs of the forecast itself: in each of them every level has a value of its own, so the runs show already which
levels go with late ones. Only the tornado needs runs of its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.level_inputs import LevelInput, inputs_of, partly_shared
from simulation.questions.sensitivity.tornado import Bar, fixed_scenarios, make_bars
from simulation.stats.chances import Chance, estimate_chance
from simulation.stats.first_order import (
    LEAST,
    RankCorrelation,
    Share,
    first_order,
    least_told,
    rank_correlation,
    runs_to_tell,
)
from simulation.study.deadline import Deadline, on_time
from simulation.study.outcomes import Outcome, summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count, own_runs

if TYPE_CHECKING:
    import pandas as pd

    from simulation.replicate import Manifest
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
    input : LevelInput
    share : Share or None
        Of the spread of readiness that it explains alone; None with fewer than `LEAST` runs, or without a spread.
    rank : RankCorrelation or None
        Above 0, more of it means later; None without a spread.
    thirds : tuple of Chance or None
        Of being ready by the deadline, in the third of the runs where it is lowest, and in that where it is highest; None
        without a deadline.
    """

    input: LevelInput
    share: Share | None
    rank: RankCorrelation | None
    thirds: tuple[Chance, Chance] | None

    @property
    def told_from_none(self) -> bool:
        """Whether either measure tells it from an input that does nothing."""
        return any(one is not None and one.told_from_none for one in (self.share, self.rank))

    @property
    def both_ways(self) -> bool:
        """Whether it has an effect of which the rank correlation, which sees one direction only, misses the most."""
        if self.share is None or not self.share.told_from_none:
            return False
        return self.rank is None or not self.rank.told_from_none or self.rank.value**2 < _MISSED * self.share.value


@dataclass(frozen=True)
class SensitivityResult:
    """What the levels of a scenario do to its readiness. Hours count from the start.

    Attributes
    ----------
    outcome : Outcome
        The scenario as it is, and its readiness in each run.
    seed : int
    asked : int
        Runs asked for; fewer are done where the study was stopped early.
    unfinished : int
        Runs not ready by the last day simulated: ranked last; for shares they count as ready by the last day simulated.
    inputs : tuple of Sensitive
        In one order wherever they are told: with a tornado in its order, those without a bar last; else those measurable
        first, and the largest share. Levels with one value only are none, nor are those that no work needs.
    constant : int
        How many levels those are.
    partly_shared : tuple of str
        Keys of the inputs that move in part with others: each has part of the others' effect.
    explained : float or None
        Sum of the shares: what the inputs explain each on its own.
    least_told : float or None
        The smallest share that so many runs tell from none.
    runs_for_small : int
        Runs that tell a share of `SMALL` from none.
    bars : tuple of Bar or None
        The tornado: the longest bar first, those measurable before others; None where it was not asked for.
    manifest : Manifest or None
        Of the study of the scenario as it is.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    outcome: Outcome
    seed: int
    asked: int
    unfinished: int
    inputs: tuple[SensitivityRow, ...]
    constant: int
    partly_shared: tuple[str, ...]
    explained: float | None
    least_told: float | None
    runs_for_small: int
    bars: tuple[Bar, ...] | None
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs that it was read from."""
        return len(self.outcome.hours)

    @property
    def told(self) -> tuple[SensitivityRow, ...]:
        """Inputs that the runs tell from one that does nothing, the largest share first whatever the order of all."""
        return tuple(sorted((one for one in self.inputs if one.told_from_none), key=importance, reverse=True))


def sensitivity(scenario: Scenario, context: RunContext = RunContext(), tornado: bool = False) -> SensitivityResult:
    """Return what the levels of a scenario do to its readiness, from the runs of its forecast.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are, and how they are done and kept.
    tornado : bool
        Whether each input is fixed at its P10 and its P90 as well, with so many runs of each.

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
    from simulation.construction import compile_plan
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    limit = context.read_deadline(scenario)
    inputs = inputs_of(scenario, compile_plan(scenario))
    scenarios = [scenario, *(fixed_scenarios(scenario, inputs) if tornado else ())]
    with context.workshop() as workshop:
        alternatives = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(alternatives, context.runs, context.tell)
        runs = own_runs(alternatives, context.runs)
        found = read_sensitivity(scenario, runs, alternatives.seed, context.runs, limit)
        if tornado:
            # Those that matter most come first: a stop leaves their bars whole.
            for one in found.inputs:
                place = 2 * inputs.index(one.input) + 1
                if alternatives.stopped or not alternatives.reach(context.runs, [place, place + 1]):
                    break
            bars = make_bars(alternatives, scenarios, inputs, context.runs, limit)
            found = replace(found, bars=bars, inputs=_in_order_of(bars, found.inputs))
        return replace(found, manifest=alternatives.runs[0].manifest(), stopped=alternatives.stopped)


def _in_order_of(bars: Sequence[Bar], inputs: Sequence[SensitivityRow]) -> tuple[SensitivityRow, ...]:
    places = {bar.input.keys: place for place, bar in enumerate(bars)}
    return tuple(sorted(inputs, key=lambda one: places.get(one.input.keys, len(places))))


def read_sensitivity(
    scenario: Scenario, runs: pd.DataFrame, seed: int, asked: int, deadline: Deadline | None = None
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
    inputs = inputs_of(scenario, plan)
    outcome = summarise_outcome("as it is", scenario, runs, deadline)
    unfinished = sum(math.isinf(one) for one in outcome.hours)
    shares: Sequence[Share | None] = [None] * len(inputs)
    hours = np.minimum(outcome.hours, scenario.horizon)
    told = bool(inputs) and len(hours) >= LEAST and hours.max() > hours.min()
    if told:
        shares = first_order(runs[[one.column for one in inputs]].to_numpy(dtype=float), hours)
    met = None if deadline is None else [on_time(one, deadline) for one in outcome.hours]
    each = []
    for one, share in zip(inputs, shares, strict=True):
        values = runs[one.column].tolist()
        thirds = None if met is None else _thirds(values, met)
        each.append(SensitivityRow(one, share, rank_correlation(values, outcome.hours, len(inputs)), thirds))
    names = {key for one in inputs for key in one.keys}
    return SensitivityResult(
        outcome=outcome,
        seed=seed,
        asked=asked,
        unfinished=unfinished,
        inputs=tuple(sorted(each, key=importance, reverse=True)),
        constant=len(plan.levels) - len(names),
        partly_shared=partly_shared(inputs),
        explained=math.fsum(one.value for one in shares if one is not None) if told else None,
        least_told=least_told(len(hours), len(inputs)) if told else None,
        runs_for_small=runs_to_tell(SMALL, max(1, len(inputs))),
        bars=None,
        manifest=None,
        stopped="",
    )


def importance(one: SensitivityRow) -> tuple[bool, float, float]:
    """Return what inputs are put in order by: measurable, the share, the rank correlation in either direction."""
    return (one.told_from_none, one.share.value if one.share else 0.0, abs(one.rank.value) if one.rank else 0.0)


def _thirds(values: Sequence[float], met: Sequence[bool]) -> tuple[Chance, Chance] | None:
    """Return the chance of what was met in the third of the runs with the lowest values, and in that with the highest."""
    third = len(values) // 3
    if not third:
        return None
    order = sorted(range(len(values)), key=lambda number: values[number])
    lowest, highest = (sum(met[number] for number in part) for part in (order[:third], order[-third:]))
    return estimate_chance(lowest, third), estimate_chance(highest, third)
