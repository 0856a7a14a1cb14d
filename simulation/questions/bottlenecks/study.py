"""What holds the job up, and what would one more of each thing gain? Every change is tried on the same draws, run by run."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.bottlenecks.attribution import Leading, attribute_hours
from simulation.questions.bottlenecks.ideas import Kind
from simulation.questions.bottlenecks.what_ifs import LeftOut, WhatIf, list_what_ifs
from simulation.stats.paired_difference import Difference
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome, told_by_change
from simulation.study.run_context import RunContext
from simulation.study.runner import announce, check_run_count, own_runs

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class BottlenecksRow:
    """What one change would gain, against the current plan.

    Attributes
    ----------
    what_if : WhatIf
    outcome : Outcome
    against : Against
        Below zero is earlier, or less likely.
    identical : bool
        Whether every run is ready at the very hour at which it is ready under the current plan.
    """

    what_if: WhatIf
    outcome: Outcome
    against: Against
    identical: bool

    @property
    def earlier_p50(self) -> Difference:
        """Hours by which P50 comes earlier."""
        return _turned(self.against.p50)

    @property
    def earlier_p80(self) -> Difference:
        """Hours by which P80 comes earlier."""
        return _turned(self.against.p80)

    @property
    def earns(self) -> bool:
        """Whether it brings P80 forward, measurable."""
        low = self.earlier_p80.low
        return low is not None and low > 0

    @property
    def earns_mean(self) -> bool:
        """Whether it brings the mean forward, measurable."""
        low = self.earlier_mean.low
        return low is not None and low > 0

    @property
    def costs(self) -> bool:
        """Whether it puts P80 off, measurable."""
        high = self.earlier_p80.high
        return high is not None and high < 0

    @property
    def earlier_mean(self) -> Difference:
        """Hours by which the mean comes earlier."""
        return _turned(self.against.mean)


def _turned(change: Difference) -> Difference:
    value, low, high = (None if number is None else 0.0 - number for number in (change.value, change.high, change.low))
    return Difference(value, low, high, change.withheld)


@dataclass(frozen=True)
class BottlenecksResult:
    """What holds a scenario up, and what would help. Hours count from the start.

    Attributes
    ----------
    outcome : Outcome
        The current plan: the reference.
    seed : int
    asked : int
        Runs of each; fewer of the reference are done where the study was stopped early, more where more of them are kept.
    leading : Leading
    tried : tuple of BottlenecksRow
        The one that brings P80 forward most comes first.
    left_out : tuple of LeftOut
    not_reached : int
        How many were not tried because the study was stopped early.
    manifest : Manifest or None
        Of the study of the current plan.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    outcome: Outcome
    seed: int
    asked: int
    leading: Leading
    tried: tuple[BottlenecksRow, ...]
    left_out: tuple[LeftOut, ...]
    not_reached: int
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs of the current plan."""
        return len(self.outcome.hours)

    @property
    def each(self) -> int:
        """Runs of each change that was tried, which are paired with as many of the current plan."""
        return len(self.tried[0].outcome.hours) if self.tried else self.runs

    @property
    def counted(self) -> str:
        """How many runs there are of the current plan and of each change that was tried, for a sentence."""
        if self.runs == self.each:
            return f"{self.runs:,} run{'' if self.runs == 1 else 's'} of each"
        return f"{self.runs:,} runs of the current plan, {self.each:,} of each change, paired"

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(hours) for hours in self.outcome.hours)

    def best(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings P80 forward most, measurable, among some kinds; None where nothing does."""
        return next((row for row in self.tried if row.what_if.kind in kinds and row.earns), None)

    def best_mean(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings the mean forward most, measurable, among some kinds; None where nothing does."""
        rows = [row for row in self.tried if row.what_if.kind in kinds and row.earns_mean]
        return max(rows, key=_mean_gain, default=None)


def bottlenecks(scenario: Scenario, context: RunContext = RunContext(), told: Outcome | None = None) -> BottlenecksResult:
    """Return what holds a scenario up, and what one more of each thing, or one trouble less, would gain.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs of the scenario, and of each thing that is tried, and how they are done and kept.
    told : Outcome, optional
        What the current plan is said to come to, where that is read elsewhere.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or the deadline cannot be read.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If the number of runs is out of range.

    Examples
    --------
    >>> from simulation import RunContext, bottlenecks, load_scenario
    >>> result = bottlenecks(load_scenario(), RunContext(deadline="9 day"))  # doctest: +SKIP
    >>> [(row.what_if.name, row.earlier_p80.value) for row in result.tried]  # doctest: +SKIP
    """
    from simulation.construction import compile_plan
    from simulation.replicate import Alternatives

    run_count = context.runs
    check_run_count(run_count)
    limit = context.read_deadline(scenario)
    compile_plan(scenario)  # a plan that cannot finish is refused before anything is tried on it
    what_ifs, left_out = list_what_ifs(scenario)
    scenarios = [scenario, *(what_if.scenario for what_if in what_ifs)]
    with context.workshop() as workshop:
        alternatives = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(alternatives, run_count, context.tell)
        runs = own_runs(alternatives, run_count)
        if not alternatives.stopped:
            runs = alternatives.all_kept(0, run_count)
        reference = summarise_outcome("as it is", scenario, runs, limit)
        tried: list[BottlenecksRow] = []
        for number, what_if in enumerate(what_ifs, start=1):
            if alternatives.stopped or not alternatives.reach(run_count, [number]):
                break
            outcome = summarise_outcome(what_if.name, what_if.scenario, alternatives.table(number, run_count), limit)
            identical = outcome.hours == reference.hours[: len(outcome.hours)]
            changed = outcome if told is None else told_by_change(outcome, reference, told)
            tried.append(BottlenecksRow(what_if, changed, against(reference, outcome), identical))
        ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
        return BottlenecksResult(
            outcome=told or reference,
            seed=alternatives.seed,
            asked=run_count,
            leading=attribute_hours(runs, ready),
            tried=tuple(sorted(tried, key=lambda row: (-_gain(row, reference), -_mean_gain(row), row.what_if.name))),
            left_out=left_out,
            not_reached=len(what_ifs) - len(tried),
            manifest=alternatives.runs[0].manifest(),
            stopped=alternatives.stopped,
        )


def _gain(row: BottlenecksRow, reference: Outcome) -> float:
    """Return the hours by which P80 comes earlier; what comes by the last day simulated, or leaves it, counts as for ever."""
    if row.earlier_p80.value is not None:
        return row.earlier_p80.value
    before, after = reference.p80.value, row.outcome.p80.value
    return 0.0 if before == after else before - after


def _mean_gain(row: BottlenecksRow) -> float:
    return row.earlier_mean.value or 0.0
