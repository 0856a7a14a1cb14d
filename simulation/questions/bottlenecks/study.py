"""What holds a build up, and what would one more of each thing buy? Every answer under the same luck, run by run."""

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
    """What one thing would buy, against the scenario as it is.

    Attributes
    ----------
    what_if : WhatIf
    outcome : Outcome
    against : Against
        Below zero is earlier, or less likely.
    alike : bool
        Whether every run is ready at the very hour at which it is ready as it is.
    """

    what_if: WhatIf
    outcome: Outcome
    against: Against
    alike: bool

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


def _turned(one: Difference) -> Difference:
    value, low, high = (None if part is None else 0.0 - part for part in (one.value, one.high, one.low))
    return Difference(value, low, high, one.withheld)


@dataclass(frozen=True)
class BottlenecksResult:
    """What holds a scenario up, and what would help. Hours count from the start.

    Attributes
    ----------
    outcome : Outcome
        The scenario as it is: the reference.
    seed : int
    asked : int
        Runs of each; fewer of the reference are done where the study was stopped early, more where more of them are kept.
    leading : Leading
    tried : tuple of Tried
        The one that brings P80 forward most comes first.
    left_out : tuple of LeftOut
    not_reached : int
        How many were not tried because the study was stopped early.
    manifest : Manifest or None
        Of the study of the scenario as it is.
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
        """Runs of the scenario as it is."""
        return len(self.outcome.hours)

    @property
    def each(self) -> int:
        """Runs of each thing that was tried, which are paired with as many of the scenario as it is."""
        return len(self.tried[0].outcome.hours) if self.tried else self.runs

    @property
    def counted(self) -> str:
        """How many runs there are of the scenario as it is and of each thing that was tried, for a sentence."""
        if self.runs == self.each:
            return f"{self.runs:,} run{'' if self.runs == 1 else 's'} of each"
        return f"{self.runs:,} runs as it is; each change read from {self.each:,}, paired with as many as it is"

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(one) for one in self.outcome.hours)

    def best(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings P80 forward most, measurable, among some kinds; None where nothing does."""
        return next((one for one in self.tried if one.what_if.kind in kinds and one.earns), None)

    def best_mean(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings the mean forward most, measurable, among some kinds; None where nothing does."""
        told = [one for one in self.tried if one.what_if.kind in kinds and one.earns_mean]
        return max(told, key=_mean_gain, default=None)


def bottlenecks(scenario: Scenario, context: RunContext = RunContext(), told: Outcome | None = None) -> BottlenecksResult:
    """Return what holds a scenario up, and what one more of each thing, or one trouble less, would gain.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs of the scenario, and of each thing that is tried, and how they are done and kept.
    told : Outcome, optional
        What the scenario as it is is said to come to, where that is read elsewhere.

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
    compile_plan(scenario)  # what cannot finish as it is, is told before anything is tried on it
    what_ifs, left_out = list_what_ifs(scenario)
    scenarios = [scenario, *(one.scenario for one in what_ifs)]
    with context.workshop() as workshop:
        alternatives = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(alternatives, run_count, context.tell)
        runs = own_runs(alternatives, run_count)
        if not alternatives.stopped:
            runs = alternatives.all_kept(0, run_count)
        reference = summarise_outcome("as it is", scenario, runs, limit)
        tried: list[BottlenecksRow] = []
        for place, what_if in enumerate(what_ifs, start=1):
            if alternatives.stopped or not alternatives.reach(run_count, [place]):
                break
            outcome = summarise_outcome(what_if.name, what_if.scenario, alternatives.table(place, run_count), limit)
            alike = outcome.hours == reference.hours[: len(outcome.hours)]
            changed = outcome if told is None else told_by_change(outcome, reference, told)
            tried.append(BottlenecksRow(what_if, changed, against(reference, outcome), alike))
        ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
        return BottlenecksResult(
            outcome=told or reference,
            seed=alternatives.seed,
            asked=run_count,
            leading=attribute_hours(runs, ready),
            tried=tuple(sorted(tried, key=lambda one: (-_gain(one, reference), -_mean_gain(one), one.what_if.name))),
            left_out=left_out,
            not_reached=len(what_ifs) - len(tried),
            manifest=alternatives.runs[0].manifest(),
            stopped=alternatives.stopped,
        )


def _gain(one: BottlenecksRow, reference: Outcome) -> float:
    """Return the hours by which P80 comes earlier; one that comes by the last day simulated, or leaves it, counts as for ever."""
    if one.earlier_p80.value is not None:
        return one.earlier_p80.value
    before, after = reference.p80.value, one.outcome.p80.value
    return 0.0 if before == after else before - after


def _mean_gain(one: BottlenecksRow) -> float:
    return one.earlier_mean.value or 0.0
