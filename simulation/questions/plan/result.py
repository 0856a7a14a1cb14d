"""What has a search for the best plan come to? The plan, and what stands beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.plan.space import AS_WRITTEN_NAME, ChosenPlan

if TYPE_CHECKING:
    from simulation.questions.plan.limits import Broken, Limits
    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.search import Search
    from simulation.replicate.manifest import Manifest
    from simulation.stats.group_sequential import Effect
    from simulation.stats.paired_difference import Difference
    from simulation.study.outcomes import Outcome


@dataclass(frozen=True)
class PlanRow:
    """One plan beside the best.

    Attributes
    ----------
    kind : str
        ``as written``, ``other kind``, ``people`` for a point of the frontier, or ``more``.
    thing : str
        Of what it has more; empty where it has not.
    plan : ChosenPlan
    runs : int
        That it is paired in with the best.
    change : Difference
        Of what is made small, against the best: above zero is later, or later than the deadline in more runs.
    effect : Effect
        What is known of it.
    identical : bool
        Whether every run reaches the milestone at the very hour at which it does in the best plan.
    """

    kind: str
    thing: str
    plan: ChosenPlan
    runs: int
    change: Difference
    effect: Effect
    identical: bool

    @property
    def is_better(self) -> bool:
        """Whether it is measurably better than the best plan."""
        return self.change.measurable and self.change.value is not None and self.change.value < 0

    @property
    def is_worse(self) -> bool:
        """Whether it is measurably worse."""
        return self.change.measurable and self.change.value is not None and self.change.value > 0


@dataclass(frozen=True)
class PlanResult:
    """The best plan, which is the reference of the rows, and what stands beside it.

    Attributes
    ----------
    outcome : Outcome
        Of the best plan, by all of its runs: when it reaches the milestone that is asked for.
    objective : Objective
    value : float
        What is made small, of the best plan: hours, or a share of runs that are late.
    margin : float
        What of it makes no difference that matters.
    best : ChosenPlan
    limits : Limits
    search : Search
    size : int
        Combinations that there are.
    breaks : tuple of Broken
        Which limits the plan as written breaks.
    outside, unsound, joined : int
        Combinations looked at that break a limit, that cannot work, and that are another one over again to every run.
    rows : tuple of PlanRow
    looks : tuple of int
        Runs at which rows were looked at.
    seed : int
    manifest : Manifest or None
    stopped : str
        Why something is missing; empty where nothing is.
    budget : int
        Runs of all plans together, at the most.
    with_as_many : bool
        Whether nobody limits people, so that no plan has more than the plan as written.
    others : tuple of (str, Difference)
        Hours by which P80 of each milestone that nothing is made best in comes later than in the plan as written.
    """

    outcome: Outcome
    objective: Objective
    value: float
    margin: float
    best: ChosenPlan
    limits: Limits
    search: Search
    size: int
    breaks: tuple[Broken, ...]
    outside: int
    unsound: int
    joined: int
    rows: tuple[PlanRow, ...]
    looks: tuple[int, ...]
    seed: int
    manifest: Manifest | None
    stopped: str
    budget: int
    with_as_many: bool
    others: tuple[tuple[str, Difference], ...] = ()

    def of(self, kind: str) -> list[PlanRow]:
        """Return the rows of a kind."""
        return [row for row in self.rows if row.kind == kind]

    @property
    def as_written(self) -> PlanRow | None:
        """The plan as written; None where it is the best, breaks a limit, or was not reached."""
        return next(iter(self.of("as written")), None)

    @property
    def is_as_written(self) -> bool:
        """Whether the best plan is the one as written."""
        return self.best.name == AS_WRITTEN_NAME

    @property
    def frontier(self) -> list[tuple[int, float, Difference | None]]:
        """People, what the best plan of so many comes to, and its change against the best plan: the fewest people first."""
        points: list[tuple[int, float, Difference | None]] = [(self.best.people, self.value, None)]
        points += [
            (row.plan.people, self.value + row.change.value, row.change)
            for row in self.of("people")
            if row.change.value is not None
        ]
        return sorted(points, key=lambda point: point[:2])

    @property
    def enough(self) -> int:
        """The fewest people of the frontier that surely lose no more than the margin."""
        near = (people for people, _, change in self.frontier if change is None or _is_at_most(change, self.margin))
        return min(near)

    @property
    def fewer(self) -> list[PlanRow]:
        """Plans of the frontier with fewer people than are enough, the most people first."""
        rows = (row for row in self.of("people") if row.change.value is not None and row.plan.people < self.enough)
        return sorted(rows, key=lambda row: -row.plan.people)

    @property
    def worse_from(self) -> int | None:
        """The most people of these of whom it is shown that so many and every fewer are worse; None where it is of none."""
        worst = None
        for row in reversed(self.fewer):
            if not row.is_worse:
                break
            worst = row.plan.people
        return worst

    @property
    def knee(self) -> int | None:
        """The people who are enough, where all fewer are measurably worse, the next ones by more than the margin; else None."""
        fewer = self.fewer
        known = bool(fewer) and self.worse_from == fewer[0].plan.people and (fewer[0].change.value or 0.0) > self.margin
        return self.enough if known else None


def _is_at_most(change: Difference, margin: float) -> bool:
    return change.high is not None and change.high <= margin
