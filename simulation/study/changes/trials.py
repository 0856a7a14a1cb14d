"""Try one change after the other on the same draws, each in as many runs as it takes to know what it does to P80.

All changes are looked at together, after numbers of runs fixed beforehand, and judged by the dates around P80 in hours on shift,
which do not jump from night to night as P80 does. One that is decided gets no more runs, unless a sentence may name it
(`foremost`). What is looked at are always runs 0 up to the look's number, so that an answer is the same for any workers and after
any interruption.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from simulation.stats.group_sequential import FIRST, Effect, is_sized, judge_effect, look_confidences, planned_looks
from simulation.stats.paired_difference import UNKNOWN, Difference, difference_of_quantiles
from simulation.study.changes.foremost import Foremost, Standing
from simulation.study.changes.looks import look_by_look
from simulation.study.changes.milestone_changes import change_milestones
from simulation.study.current_plan import CurrentPlanResult
from simulation.study.outcomes import (
    Against,
    Outcome,
    against,
    change_around_p80,
    find_margin,
    summarise_outcome,
)
from simulation.study.runner import announce, check_run_count, own_runs
from simulation.study.told_by_change import tell_change, told_by_change

if TYPE_CHECKING:
    from simulation.replicate import Workshop
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Change, Scenario
    from simulation.study.run_context import RunContext


class Trial(Protocol):
    """One thing that is tried: a scenario with some changes in it."""

    @property
    def name(self) -> str:
        """What it is called in a table."""

    @property
    def changes(self) -> tuple[Change, ...]:
        """What is otherwise than in the current plan."""

    @property
    def scenario(self) -> Scenario:
        """The current plan with the changes in it."""


TrialT = TypeVar("TrialT", bound=Trial)


@dataclass(frozen=True)
class TrialRow(Generic[TrialT]):
    """What one change does, against the current plan.

    Attributes
    ----------
    trial : Trial
    outcome : Outcome
        Told by its change where the current plan has more runs.
    against : Against
        Below zero is earlier, or less likely; its intervals hold over all looks.
    margin : float
        Hours on shift that do not matter.
    last : bool
        Whether it had all the runs that it may have.
    identical : bool
        Whether every run is ready at the very hour at which it is ready under the current plan.
    standing : Standing
        Beside the foremost, in as many runs as it was tried in.
    others : tuple of (str, Difference)
        Hours by which P80 of each milestone that does not make ready comes later.
    """

    trial: TrialT
    outcome: Outcome
    against: Against
    margin: float
    last: bool
    identical: bool
    standing: Standing = Standing.APART
    others: tuple[tuple[str, Difference], ...] = ()

    @property
    def known(self) -> Effect:
        """What is known of its change of the dates around P80 by itself."""
        return judge_effect(self.against.around_p80, self.margin, self.runs, self.last, FIRST)

    @property
    def effect(self) -> Effect:
        """What is known of its change of the dates around P80, by itself or beside the foremost."""
        if self.known is Effect.OPEN and self.standing is not Standing.APART:  # nothing more was asked of it
            return Effect.MEASURABLE if self.against.around_p80.measurable else Effect.BEHIND
        return self.known

    @property
    def runs(self) -> int:
        """Runs that it was tried in."""
        return len(self.outcome.hours)

    @property
    def earlier_p80(self) -> Difference:
        """Hours by which P80 comes earlier."""
        return -self.against.p80

    @property
    def earlier_mean(self) -> Difference:
        """Hours by which the mean comes earlier."""
        return -self.against.mean

    @property
    def earlier_around_p80(self) -> Difference:
        """Hours on shift by which the dates around P80 come earlier."""
        return -self.against.around_p80

    @property
    def earns(self) -> bool:
        """Whether it brings the dates around P80 forward, measurable."""
        return self.earlier_around_p80.above_zero

    @property
    def earns_mean(self) -> bool:
        """Whether it brings the mean forward, measurable."""
        return self.earlier_mean.above_zero

    @property
    def costs(self) -> bool:
        """Whether it puts the dates around P80 off, measurable."""
        return self.against.around_p80.above_zero


@dataclass(frozen=True)
class TrialsResult(CurrentPlanResult, Generic[TrialT]):
    """Changes that were tried, and the current plan that they were held against: the reference.

    Attributes
    ----------
    margin : float
        Hours on shift that do not matter: half a shift.
    rows : tuple of TrialRow
    not_reached : int
        How many were not tried because the study was stopped early.
    """

    margin: float
    rows: tuple[TrialRow[TrialT], ...]
    not_reached: int

    @property
    def each(self) -> tuple[int, int]:
        """The fewest and the most runs of a change that was tried, which are paired with as many of the current plan."""
        counts = [row.runs for row in self.rows] or [self.runs]
        return min(counts), max(counts)

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(hours) for hours in self.outcome.hours)


def try_changes(
    scenario: Scenario,
    trials: Sequence[TrialT],
    context: RunContext,
    plan: Outcome | None = None,
    may_be_named: Callable[[TrialRow[TrialT]], float | None] = lambda row: None,
    together: Callable[[TrialT], object] = id,
    competes: Callable[[TrialT], bool] = lambda trial: False,
    needs_size: Callable[[TrialT], bool] = lambda trial: False,
    workshop: Workshop | None = None,
    changes_alone: bool = False,
) -> tuple[TrialsResult[TrialT], RunTable]:
    """Return what changes do that are tried on the same draws, in the order given, and the runs of the current plan.

    Parameters
    ----------
    scenario : Scenario
        The current plan.
    trials : sequence of Trial
    context : RunContext
        Its number of runs is that of the current plan, and the most of each change.
    plan : Outcome, optional
        What the current plan is said to come to, where that is read elsewhere.
    may_be_named : callable, optional
        Given a row, returns how far ahead a change is among those of which a sentence names the foremost; None where it is none
        of them.
    together : callable, optional
        Given a trial, returns what it shares with those that go on as long as one of them does. Default: nothing.
    competes : callable, optional
        Given a trial, returns whether all that is asked of it is whether it is the foremost: it ends where it is measurably
        later than that one, or alike. Default: more is asked of each.
    needs_size : callable, optional
        Given a trial, returns whether a sentence tells how far it moves P80, as advice: where it does, it goes on until P80 is
        known to a half as well. Default: none does.
    workshop : Workshop, optional
        Where runs are done and kept; who opened it closes it. Default: that of the context.
    changes_alone : bool
        Whether no date of a change is said beside that of the current plan, so that changes are as the paired runs have them.

    Raises
    ------
    ScenarioError
        If a scenario cannot finish, or the deadline cannot be read.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If the number of runs is out of range.
    """
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    limit, looks = context.read_deadline(scenario), planned_looks(context.runs)
    with context.workshop() if workshop is None else nullcontext(workshop) as where:
        alternatives = Alternatives([scenario, *(trial.scenario for trial in trials)], where, context.seed, context.progress)
        announce(alternatives, context.runs, context.tell, again=workshop is not None, first=looks[0])
        confidences, margin = look_confidences(looks), find_margin(scenario)  # after what is told first: they take a while
        places = range(1, len(trials) + 1)
        begun = alternatives.reach_in_turn([(0, context.runs), *((place, looks[0]) for place in places)])
        runs = own_runs(alternatives, context.runs, begun)
        reference = summarise_outcome("as it is", scenario, runs, limit)
        rows: dict[int, TrialRow[TrialT]] = {}
        foremost = Foremost(may_be_named, competes, margin)

        def read(look: int, index: int) -> None:
            trial, last, confidence = trials[index - 1], look == len(looks) - 1, confidences[look]
            outcome = summarise_outcome(trial.name, trial.scenario, alternatives.table(index, looks[look]), limit)
            # This alone decides whether it goes on; what else it changes is worked out once, when it has its runs.
            change = Against(UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, change_around_p80(reference, outcome, confidence))
            known = told_by_change(outcome, reference, plan or reference)
            rows[index] = TrialRow(trial, known, change, margin, last, outcome.hours == reference.hours[: looks[look]])

        def is_open(row: TrialRow[TrialT], confidence: float) -> bool:
            if foremost.goes_on(row) or not (needs_size(row.trial) and row.effect is Effect.MEASURABLE):
                return foremost.goes_on(row)
            p80 = difference_of_quantiles(reference.hours[: row.runs], row.outcome.hours, 0.8, confidence)
            return not (p80.measurable and is_sized(p80))

        def find_open(look: int, places: Sequence[int]) -> Iterator[int]:
            rows.update(foremost.place({index: rows[index] for index in places}, confidences[look]))
            still = {together(rows[index].trial) for index in places if is_open(rows[index], confidences[look])}
            return (index for index in places if together(rows[index].trial) in still)

        look_by_look(alternatives, looks, places, read, find_open, begun)
        rows.update(foremost.place_at_the_end(rows, dict(zip(looks, confidences, strict=True))))
        unready = [milestone.name for milestone in scenario.milestones if not milestone.ready]
        for index, row in rows.items():
            change = against(reference, row.outcome, confidences[looks.index(row.runs)])
            told = change if changes_alone else tell_change(change, row.outcome, plan or reference)
            others = change_milestones(unready, runs, alternatives.table(index, row.runs), confidences[looks.index(row.runs)])
            rows[index] = replace(row, against=told, others=others)
        result = TrialsResult(
            outcome=plan or reference,
            seed=alternatives.seed,
            asked=context.runs,
            looks=looks,
            margin=margin,
            rows=tuple(rows[index] for index in sorted(rows)),
            not_reached=len(trials) - len(rows),
            manifest=alternatives.runs[0].manifest(),
            stopped=alternatives.stopped,
        )
        return result, runs
