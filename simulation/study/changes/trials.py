"""Try one change after the other on the same draws, each in as many runs as it takes to know what it does to P80.

All changes are looked at together, after numbers of runs fixed beforehand. One that is decided gets no more runs, unless it is
among the best, which a sentence may name: it goes on until it is the only one, and to the last look. One that competes with the
best and is measurably behind it gets no more either, whatever else is known of it. What is looked at are always runs 0 up to the
look's number, so that an answer is the same for any workers and after any interruption.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import nullcontext
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar

from simulation.stats.group_sequential import Effect, judge_effect, look_confidences, planned_looks
from simulation.stats.paired_difference import UNKNOWN, Difference, difference_of_quantiles
from simulation.study.changes.looks import look_by_look
from simulation.study.changes.milestone_changes import change_milestones
from simulation.study.current_plan import CurrentPlanResult
from simulation.study.outcomes import Against, Outcome, against, find_margin, summarise_outcome, tell_change, told_by_change
from simulation.study.runner import announce, check_run_count, own_runs

if TYPE_CHECKING:
    from simulation.replicate import Workshop
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Change, Scenario
    from simulation.study.run_context import RunContext


#: Runs from which on a change may be behind the best, where it may have more: what it does itself is said from no fewer. Planning
#: value.
FEWEST_BEHIND = 100


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
        Hours of P80 that do not matter.
    last : bool
        Whether it had all the runs that it may have.
    identical : bool
        Whether every run is ready at the very hour at which it is ready under the current plan.
    behind : bool
        Whether it got no more runs because it is measurably behind the best of those that it competes with.
    others : tuple of (str, Difference)
        Hours by which P80 of each milestone that does not make ready comes later.
    """

    trial: TrialT
    outcome: Outcome
    against: Against
    margin: float
    last: bool
    identical: bool
    behind: bool = False
    others: tuple[tuple[str, Difference], ...] = ()

    @property
    def effect(self) -> Effect:
        """What is known of its change of P80."""
        known = judge_effect(self.against.p80, self.margin, self.runs, self.last)
        if known is Effect.OPEN and self.behind:
            return Effect.MEASURABLE if self.against.p80.measurable else Effect.BEHIND
        return known

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
    def earns(self) -> bool:
        """Whether it brings P80 forward, measurable."""
        return _lies_above_zero(self.earlier_p80)

    @property
    def earns_mean(self) -> bool:
        """Whether it brings the mean forward, measurable."""
        return _lies_above_zero(self.earlier_mean)

    @property
    def costs(self) -> bool:
        """Whether it puts P80 off, measurable."""
        return _lies_above_zero(self.against.p80)


def _lies_above_zero(change: Difference) -> bool:
    return change.low is not None and change.low > 0


@dataclass(frozen=True)
class TrialsResult(CurrentPlanResult, Generic[TrialT]):
    """Changes that were tried, and the current plan that they were held against: the reference.

    Attributes
    ----------
    margin : float
        Hours of P80 that do not matter: half a shift.
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
        later than that one. Default: more is asked of each.
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
        announce(alternatives, context.runs, context.tell, again=workshop is not None)
        confidences, margin = look_confidences(looks), find_margin(scenario)  # after what is told first: they take a while
        places = range(1, len(trials) + 1)
        begun = alternatives.reach_in_turn([(0, context.runs), *((place, looks[0]) for place in places)])
        runs = own_runs(alternatives, context.runs, begun)
        reference = summarise_outcome("as it is", scenario, runs, limit)
        rows: dict[int, TrialRow[TrialT]] = {}

        def read(look: int, index: int) -> None:
            trial, last = trials[index - 1], look == len(looks) - 1
            outcome = summarise_outcome(trial.name, trial.scenario, alternatives.table(index, looks[look]), limit)
            before = reference.hours[: looks[look]]
            # P80 alone decides whether it goes on; what else it changes is worked out once, when it has its runs.
            change = Against(UNKNOWN, UNKNOWN, difference_of_quantiles(before, outcome.hours, 0.8, confidences[look]), UNKNOWN)
            known = told_by_change(outcome, reference, plan or reference)
            told = change if changes_alone else tell_change(change, known, plan or reference)
            rows[index] = TrialRow(trial, known, told, margin, last, outcome.hours == before)

        def find_open(look: int, places: Sequence[int]) -> Iterator[int]:
            named = set()
            for index, away in _behind_foremost({index: rows[index] for index in places}, may_be_named, confidences[look]):
                if may_be_named(rows[index]) is not None and not away.measurable:
                    named.add(index)
                elif competes(rows[index].trial) and _lies_above_zero(away) and looks[look] >= FEWEST_BEHIND:
                    rows[index] = replace(rows[index], behind=True)
            still = {together(rows[index].trial) for index in places if rows[index].effect is Effect.OPEN or index in named}
            return (index for index in places if together(rows[index].trial) in still)

        look_by_look(alternatives, looks, places, read, find_open, begun)
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


def _behind_foremost(
    rows: Mapping[int, TrialRow[TrialT]], ahead: Callable[[TrialRow[TrialT]], float | None], confidence: float
) -> Iterator[tuple[int, Difference]]:
    """Yield by how much the P80 of each row that is open, or may be named, lies after that of the row that is furthest ahead."""
    named = {index: far for index, row in rows.items() if (far := ahead(row)) is not None}
    if named:
        first = rows[max(named, key=lambda index: named[index])].outcome.hours
        for index, row in rows.items():
            if index in named or row.effect is Effect.OPEN:
                yield index, difference_of_quantiles(first, row.outcome.hours, 0.8, confidence)
