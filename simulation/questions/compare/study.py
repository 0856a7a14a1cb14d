"""Which plan is ready first, and how sure is that? Several plans, run by run under the same luck, against one of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from simulation.study.calendar import Calendar, make_calendar
from simulation.study.outcomes import MARGIN, Against, Outcome, against, summarise_outcome, told_by_change
from simulation.study.people import person_hours
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count

if TYPE_CHECKING:
    from simulation.replicate.manifest import Manifest
    from simulation.scenario import Scenario

#: Runs of each plan that are done before the next ones of any. Planning value: a plan's share of a round is a second or two.
ROUND = 100
#: With fewer runs no difference counts as measured: resampling so few covers too seldom. Measured on invented plans: the 95 %
#: interval for P80 covers in 67 % of cases with 3 runs, 83 % with 5, 94 % with 10 and 96 % with 20.
FEWEST = 20

#: Plans that a terminal and a picture show. Planning value: what a reader takes in at a glance.
MOST_SHOWN = 10


class Verdict(StrEnum):
    """What the paired interval of the difference in P80 says of a plan."""

    REFERENCE = "the reference"
    EARLIER = "earlier"
    LATER = "later"
    NOT_MEASURABLE = "no measurable difference"
    BEYOND = "after the last day simulated"
    WITHIN = "by the last day simulated"


@dataclass(frozen=True)
class CompareRow:
    """One plan of a comparison.

    Attributes
    ----------
    outcome : Outcome
    against : Against
        What it changes against the reference.
    verdict : Verdict
    mats : float
        Laid in all.
    person_hours : float
        Of everybody on site until the median of readiness, rain included; infinite after the last day simulated.
    """

    outcome: Outcome
    against: Against
    verdict: Verdict
    mats: float
    person_hours: float

    @property
    def mats_per_person_hour(self) -> float | None:
        """Mats over the person-hours on site until the median; None after the last day simulated."""
        return self.mats / self.person_hours if 0 < self.person_hours < math.inf else None

    @property
    def runs(self) -> int:
        """Those that its quantiles and its chance are of; more than are paired where more of it are kept."""
        return len(self.outcome.hours)

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(hours) for hours in self.outcome.hours)


@dataclass(frozen=True)
class CompareResult:
    """Several plans under the same luck.

    Attributes
    ----------
    plans : tuple of CompareRow
        In the order asked for, which numbers them; see `by_p80`.
    reference : int
        Which of them the others are held against.
    earliest : int
        The one of lowest P80 among those measurably earlier than the reference; where there are none, the reference.
    as_early : tuple of int
        Those whose P80 is that of the earliest to within the margin: the whole interval of the difference lies in it.
        With too few runs to measure a difference there are none.
    margin : float
        Hours: half of what one person is on shift in a day, see `MARGIN`.
    calendar : Calendar
        Of the reference.
    seed : int
    asked, run_count : int
        Runs of each plan, asked for, and those that all have, which are paired; fewer when the study was stopped early.
    paired : tuple of float
        Readiness of the reference in those.
    stopped : str
        Why; empty where it was not.
    manifest : Manifest or None
        Of the study of the first plan; None where the runs come from elsewhere.
    """

    plans: tuple[CompareRow, ...]
    reference: int
    earliest: int
    as_early: tuple[int, ...]
    margin: float
    calendar: Calendar
    seed: int
    asked: int
    run_count: int
    paired: tuple[float, ...]
    stopped: str
    manifest: Manifest | None = None

    @property
    def by_p80(self) -> tuple[int, ...]:
        """Places of all plans, the earliest P80 first; of equal ones in the order asked for."""
        return tuple(sorted(range(len(self.plans)), key=lambda index: (self.plans[index].outcome.p80.value, index)))

    @property
    def that_matter(self) -> tuple[int, ...]:
        """Places of at most `MOST_SHOWN` plans, best P80 first: those that sentences name, and the earliest."""
        named = (self.reference, self.earliest, self.with_fewer_people, self.most_often_on_time)
        first = [index for index in dict.fromkeys((*named, *self.by_p80)) if index is not None][:MOST_SHOWN]
        return tuple(index for index in self.by_p80 if index in first)

    @property
    def with_fewer_people(self) -> int | None:
        """The plan with the fewest people of those as early as the earliest with more; None where there is none."""
        people = [row.outcome.people for row in self.plans]
        fewer = [index for index in self.as_early if people[index] < people[self.earliest]]
        return min(fewer, key=lambda index: (people[index], self.plans[index].outcome.p80.value), default=None)

    @property
    def most_often_on_time(self) -> int | None:
        """The plan with the best chance of the deadline: of several the reference, else the fewest people."""
        chances = {index: row.outcome.chance.probability for index, row in enumerate(self.plans) if row.outcome.chance}
        people = [row.outcome.people for row in self.plans]
        return max(chances, key=lambda index: (chances[index], index == self.reference, -people[index]), default=None)


def compare(
    plans: Sequence[tuple[str, Scenario]], context: RunContext = RunContext(), reference: int = 0, told: Outcome | None = None
) -> CompareResult:
    """Return how several plans stand against one of them, under the same luck.

    Parameters
    ----------
    plans : sequence of (str, Scenario)
        Names and scenarios; see `variations`.
    context : RunContext
        How many runs there are, and how they are done and kept.
    reference : int
        Place among `plans` of the one that the others are held against.
    told : Outcome, optional
        What the reference is told to come to, where that is read elsewhere.

    Raises
    ------
    ScenarioError
        If a plan cannot finish, or the deadline cannot be read.
    NothingFinished
        If it was stopped before every plan had a run.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If `run_count` or `reference` is out of range.

    Examples
    --------
    >>> from simulation import compare, load_scenario, variations
    >>> from simulation.scenario import read_variation
    >>> plans = variations(load_scenario(), [read_variation("forklifts.count=2,3,4")])
    >>> [row.verdict for row in compare(plans).plans]  # doctest: +SKIP
    """
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    if not 0 <= reference < len(plans):
        raise ValueError(f"reference(={reference}) must be below the {len(plans)} plans")
    scenarios = [scenario for _, scenario in plans]
    limits = [context.read_deadline(scenario) for scenario in scenarios]
    with context.workshop() as workshop:
        runs = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(runs, context.runs, context.tell)
        # Round by round, so that a stop leaves runs that all plans have.
        for count in (*range(ROUND, context.runs, ROUND), context.runs):
            if not runs.reach(count):
                break
        tables = runs.common(context.runs)
        if not runs.stopped:
            tables = [runs.all_kept(index, context.runs) for index in range(len(scenarios))]
        if tables[0].empty:
            raise NothingFinished(f"{runs.stopped} before every plan had a run")
        manifest = runs.runs[0].manifest()
    outcomes = [
        summarise_outcome(name, scenario, table, limit)
        for (name, scenario), table, limit in zip(plans, tables, limits, strict=True)
    ]
    return compared_with(outcomes, reference, runs.seed, context.runs, runs.stopped, told, manifest)


def compared_with(
    outcomes: Sequence[Outcome],
    reference: int,
    seed: int,
    asked: int,
    stopped: str = "",
    told: Outcome | None = None,
    manifest: Manifest | None = None,
) -> CompareResult:
    """Return how plans stand against one of them; run k of each had the luck of run k of every other.

    Parameters
    ----------
    outcomes : sequence of Outcome
    reference : int
        Place among them of the one that the others are held against.
    seed, asked, stopped
        As in `CompareResult`.
    told : Outcome, optional
        What the reference comes to, where it is read from other runs than those that are paired.
    manifest : Manifest, optional
        Of the study of the first plan.
    """
    compared = tuple(_compare_row(outcomes[reference], outcome, told) for outcome in outcomes)
    ahead = [index for index, row in enumerate(compared) if row.verdict in (Verdict.EARLIER, Verdict.WITHIN)]
    earliest = min(ahead, key=lambda index: outcomes[index].p80.value, default=reference)
    calendar = make_calendar(outcomes[reference].scenario)
    margin = MARGIN * calendar.hours_a_day
    run_count = min(len(outcome.hours) for outcome in outcomes)
    return CompareResult(
        plans=compared,
        reference=reference,
        earliest=earliest,
        as_early=_find_as_early(outcomes, earliest, margin),
        margin=margin,
        calendar=calendar,
        seed=seed,
        asked=asked,
        run_count=run_count,
        paired=outcomes[reference].hours[:run_count],
        stopped=stopped,
        manifest=manifest,
    )


def _compare_row(reference: Outcome, other: Outcome, told: Outcome | None) -> CompareRow:
    from simulation.field import take_off

    quantities, change, verdict = take_off(other.scenario), against(reference, other), Verdict.REFERENCE
    if other is not reference:
        verdict = _judge(reference, other, change)
    outcome = other
    if told is not None:
        outcome = replace(told, name=other.name) if other is reference else told_by_change(other, reference, told)
    mats = quantities.total("full") + quantities.total("half")
    return CompareRow(outcome, change, verdict, mats, person_hours(outcome.scenario, outcome.p50.value))


def _judge(reference: Outcome, other: Outcome, change: Against) -> Verdict:
    if change.p80.value is None:
        return Verdict.BEYOND if math.isinf(other.p80.value) else Verdict.WITHIN
    if min(len(other.hours), len(reference.hours)) < FEWEST or not change.p80.measurable:
        return Verdict.NOT_MEASURABLE
    return Verdict.EARLIER if change.p80.value < 0 else Verdict.LATER


def _find_as_early(outcomes: Sequence[Outcome], earliest: int, margin: float) -> tuple[int, ...]:
    """Return the plans whose P80 is that of the earliest one to within a margin, by the whole interval of the difference."""
    first = outcomes[earliest]
    if min(len(outcome.hours) for outcome in outcomes) < FEWEST:
        return ()
    changes = [(index, against(first, outcome).p80) for index, outcome in enumerate(outcomes) if index != earliest]
    return tuple(
        index
        for index, change in changes
        if change.low is not None and change.high is not None and -margin <= change.low and change.high <= margin
    )
