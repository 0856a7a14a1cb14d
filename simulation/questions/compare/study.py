"""Which plan is ready first, and how sure is that? Several plans, run by run under the same luck, against one of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.compare.equals import find_as_early, find_first_ones
from simulation.questions.compare.on_time import find_as_often, find_most_often
from simulation.questions.compare.row import CompareRow, compare_row
from simulation.questions.compare.verdicts import Verdict, find_open_plans, lateness
from simulation.stats.group_sequential import look_confidences, planned_looks
from simulation.study.calendar import Calendar, make_calendar
from simulation.study.changes.looks import look_by_look
from simulation.study.outcomes import Outcome, find_margin, summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count

if TYPE_CHECKING:
    from simulation.replicate.manifest import Manifest
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

#: Plans that a terminal and a picture show. Planning value: what a reader takes in at a glance.
MOST_SHOWN = 10


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
        The one whose dates around P80 are earliest of those measurably earlier than the reference's; where there are none, the
        reference.
    as_early : tuple of int
        Those whose dates around P80 are the earliest's to within the margin: the whole interval of the difference lies in it.
        With too few runs to measure a difference there are none.
    first_ones : tuple of int
        The earliest and its equals: measurably earlier than the reference, and as early or not measurably later than it.
    margin : float
        Hours: half of what one person is on shift in a day, see `MARGIN`.
    calendar : Calendar
        Of the reference.
    seed : int
    asked, run_count : int
        The most runs of each plan, asked for, and those that the plans with the most of them have, which are paired; fewer when
        the study was stopped early.
    fewest : int
        Runs of the plan with the fewest: one that is decided gets no more.
    looks : tuple of int
        Runs after which plans are looked at.
    stopped : str
        Why; empty where it was not.
    manifest : Manifest or None
        Of the study of the first plan; None where the runs come from elsewhere.
    """

    plans: tuple[CompareRow, ...]
    reference: int
    earliest: int
    as_early: tuple[int, ...]
    first_ones: tuple[int, ...]
    margin: float
    calendar: Calendar
    seed: int
    asked: int
    run_count: int
    fewest: int
    looks: tuple[int, ...]
    stopped: str
    manifest: Manifest | None = None

    @property
    def ready_word(self) -> str:
        """What a run is that has reached the milestone that answers count to."""
        from simulation.present.words.job_words import ready_word

        return ready_word(self.plans[self.reference].outcome.scenario)

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
        """The plan with the best chance of the deadline, where it is measurable; else the reference. None without a deadline."""
        return find_most_often(self.plans, self.reference)

    @property
    def as_often_on_time(self) -> tuple[int, ...]:
        """Other plans that are as good by the deadline as the one most often on time."""
        return find_as_often(self.plans, self.reference)


def compare(
    plans: Sequence[tuple[str, Scenario]],
    context: RunContext = RunContext(),
    reference: int = 0,
    current: Outcome | None = None,
    screened: bool = True,
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
    current : Outcome, optional
        What the reference is told to come to, where that is read elsewhere.
    screened : bool
        Whether a plan gets no more runs once it is decided. Default: so it is.

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
    looks, reached = planned_looks(context.runs) if screened else (context.runs,), dict[int, int]()
    read_last: dict[int, Outcome] = {}
    with context.workshop() as workshop:
        runs = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(runs, context.runs, context.tell, first=looks[0])

        def summarise(index: int, table: RunTable) -> Outcome:
            return summarise_outcome(plans[index][0], scenarios[index], table, limits[index])

        def read(look: int, index: int) -> None:
            reached[index] = looks[look]
            read_last[index] = summarise(index, runs.table(index, looks[look]))

        def find_open(look: int, indices: Sequence[int]) -> Iterator[int]:
            return find_open_plans(
                {index: read_last[index] for index in indices}, reference, looks[look], look_confidences(looks)[look]
            )

        # The reference comes first in each round, so that a stop leaves it with the runs that others are paired with.
        look_by_look(runs, looks, sorted(range(len(plans)), key=lambda index: index != reference), read, find_open)
        if runs.stopped:  # runs that all plans have
            tables = runs.common(min(reached.values()) if len(reached) == len(plans) else looks[0])
            if tables[0].empty:
                raise NothingFinished(f"{runs.stopped} before every plan had a run")
            read_last = {index: summarise(index, table) for index, table in enumerate(tables)}
        manifest = runs.runs[0].manifest()
    outcomes = [read_last[index] for index in range(len(plans))]
    return compared_with(outcomes, reference, runs.seed, context.runs, runs.stopped, current, manifest, looks)


def compared_with(
    outcomes: Sequence[Outcome],
    reference: int,
    seed: int,
    asked: int,
    stopped: str = "",
    current: Outcome | None = None,
    manifest: Manifest | None = None,
    looks: tuple[int, ...] = (),
) -> CompareResult:
    """Return how plans stand against one of them; run k of each had the luck of run k of every other.

    Parameters
    ----------
    outcomes : sequence of Outcome
    reference : int
        Place among them of the one that the others are held against.
    seed, asked, stopped
        As in `CompareResult`.
    current : Outcome, optional
        What the reference comes to, where it is read from other runs than those that are paired.
    manifest : Manifest, optional
        Of the study of the first plan.
    looks : tuple of int, optional
        Runs after which plans were looked at. Default: once.
    """
    counts = [len(outcome.hours) for outcome in outcomes]
    looks = looks if looks and not stopped else (min(counts),)
    confidences = dict(zip(looks, look_confidences(looks), strict=True))
    paired = [min(count, looks[-1]) for count in counts]
    margin = find_margin(outcomes[reference].scenario)
    compared = tuple(
        compare_row(outcomes[reference], outcome, current, margin, confidences[runs], runs < looks[-1])
        for outcome, runs in zip(outcomes, paired, strict=True)
    )
    ahead = [index for index, row in enumerate(compared) if row.verdict in (Verdict.EARLIER, Verdict.WITHIN)]
    # Of those that went on to the most runs: any other was measurably later than one of them.
    late = [lateness(row.against.around_p80, row.outcome) for row in compared]
    earliest = min(ahead, key=lambda index: (-paired[index], late[index]), default=reference)
    as_early = find_as_early(outcomes, earliest, margin, confidences)
    return CompareResult(
        plans=compared,
        reference=reference,
        earliest=earliest,
        as_early=as_early,
        first_ones=find_first_ones(outcomes, earliest, ahead, as_early, confidences),
        margin=margin,
        calendar=make_calendar(outcomes[reference].scenario),
        seed=seed,
        asked=asked,
        run_count=looks[-1],
        fewest=min(paired),
        looks=looks,
        stopped=stopped,
        manifest=manifest,
    )
