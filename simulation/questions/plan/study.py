"""Which plan is the best of all that may be chosen within what is there, and what would more of each thing buy?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.plan.beside import keep_frontier, list_more, pick_kinds, scale_crews
from simulation.questions.plan.held_against import hold_against
from simulation.questions.plan.limits import Broken, Limits
from simulation.questions.plan.objective import Objective, read_objective
from simulation.questions.plan.plan_runs import PlanRuns, until_stopped
from simulation.questions.plan.proposing import SCREEN
from simulation.questions.plan.search import Search, find_best, stand_against
from simulation.questions.plan.space import AS_WRITTEN_NAME, ChosenPlan, Option, Space, limit_loads
from simulation.questions.plan.usual_choices import usual_choices
from simulation.stats.group_sequential import Effect, judge_effect, planned_looks
from simulation.study.outcomes import Outcome, summarise_hours
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, check_run_count

if TYPE_CHECKING:
    from simulation.replicate.manifest import Manifest
    from simulation.scenario import Scenario
    from simulation.stats.paired_difference import Difference

#: Runs of one plan at the most, where nobody says: what settles plans a quarter of a shift apart. Planning value.
MOST = 1600
#: Runs of a plan beside the best one, and of the plan as written, and rows beside it, at the most. Planning values.
BESIDE, OWN, BESIDE_ROWS = 200, 400, 17
#: Runs of all plans together, where nobody says. Planning value: ten minutes for a field of three weeks on two cores.
BUDGET = 10_000
#: Points of the frontier at the most. Planning value: what a reader takes in at a glance.
POINTS = 7

#: Nothing limits a plan.
UNLIMITED = Limits()


class NoPlanError(ValueError):
    """No plan of the space keeps within the limits."""


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
    def knee(self) -> int | None:
        """The fewest people of the frontier that lose no more than the margin; None where that is all that were tried."""
        near = [people for people, value, _ in self.frontier if value <= self.value + self.margin]
        fewest = min(near)
        return fewest if len(self.frontier) > 1 and fewest > self.frontier[0][0] else None


def best_plan(
    scenario: Scenario,
    context: RunContext = RunContext(runs=MOST),
    limits: Limits = UNLIMITED,
    choices: Sequence[Sequence[Option]] | None = None,
    objective: Objective | None = None,
    budget: int = BUDGET,
) -> PlanResult:
    """Return the best plan within limits, and how sure that is.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        Its number of runs is the most of one plan.
    limits : Limits
    choices : sequence of sequences of Option, optional
        Default: `usual_choices`.
    objective : Objective, optional
        What is made small. Default: what the scenario says, the 80 % date of readiness where it does not.
    budget : int
        Runs of all plans together, at the most: up to a third are kept for what stands beside the best.

    Raises
    ------
    NoPlanError
        If no plan keeps within the limits.
    ScenarioError
        If the objective cannot be.
    NothingFinished
        If it was stopped before the first plan was tried.
    StoreError, ClusterError, ValueError
        As for `forecast`.
    """
    check_run_count(context.runs)
    objective = objective or read_objective(scenario, None, None, context.read_deadline(scenario))
    choices = tuple(map(tuple, choices if choices is not None else usual_choices(scenario, limits)))
    space, margin = Space(scenario, limits, choices, limit_loads(scenario, limits)), objective.find_margin(scenario)
    with context.workshop() as workshop:
        runs = PlanRuns(objective, workshop, context)
        most = min(budget, space.size * context.runs + BESIDE_ROWS * min(context.runs, BESIDE))
        with until_stopped(runs):
            runs.announce(scenario, most)
        search = find_best(
            space, runs, objective, margin, context.runs, budget - min(budget // 3, BESIDE_ROWS * min(context.runs, BESIDE))
        )
        if not search.left:
            if search.stopped:
                raise NothingFinished(f"{search.stopped}, before the first plan was tried")
            raise NoPlanError(space.why_none())
        best = _plan_at(space, search.left[0])
        looks = planned_looks(min(context.runs, BESIDE))
        rows: list[PlanRow] = []
        each = min(context.runs, BESIDE, max(SCREEN, (budget - search.done) // BESIDE_ROWS))
        with until_stopped(runs):
            if not runs.stopped:
                for row in _hold_beside(space, runs, search, best, objective, margin, each, budget):
                    rows.append(row)
        if runs.stopped and not any(row.kind == "as written" for row in rows):
            rows += _stand_by_now(space, runs, search, best, objective, margin)
        count = runs.count(best)
        return PlanResult(
            outcome=_summarise(best, objective, runs.hours(best, count).tolist(), context),
            objective=objective,
            value=float(objective.measure(runs.capped(best, count))),
            margin=margin,
            best=best,
            limits=limits,
            search=search,
            size=space.size,
            breaks=tuple(space.outside.get(space.as_written, ())),
            outside=len(space.outside),
            unsound=len(space.unsound),
            joined=len(space.joined),
            rows=tuple(rows),
            looks=looks,
            seed=scenario.seed if context.seed is None else context.seed,
            manifest=runs.manifest(best),
            stopped=search.stopped or runs.stopped,
            budget=budget,
        )


def _plan_at(space: Space, place: tuple[int, ...]) -> ChosenPlan:
    plan = space.plan(place)
    assert plan is not None
    return plan


def _summarise(best: ChosenPlan, objective: Objective, hours: list[float], context: RunContext) -> Outcome:
    deadline = objective.deadline or context.read_deadline(best.scenario)
    return summarise_hours("best plan", best.scenario, hours, deadline)


def _hold_beside(
    space: Space, runs: PlanRuns, search: Search, best: ChosenPlan, objective: Objective, margin: float, most: int, budget: int
) -> Iterator[PlanRow]:
    """Yield what stands beside the best plan, until it is stopped."""
    beside: list[tuple[str, str, ChosenPlan, int]] = []
    own = space.plan(space.as_written)
    if own is not None and own is not best:
        beside.append(("as written", "", own, max(most, min(OWN, search.runs))))
    beside += [("other kind", "", plan, most) for plan in pick_kinds(space, search.tried, best) if plan is not own]
    beside += [("more", thing, plan, most) for thing, plan in list_more(best)]
    points = [plan for plan in (_plan_at(space, place) for place in search.tried) if plan is not best]
    scaled, first = list(scale_crews(best, space.limits)), min(SCREEN, most)
    runs.expected = min(budget, runs.done + (len(beside) + POINTS) * most + len(scaled) * first)
    if runs.reach([*scaled, *points], first):
        measured = [(plan, float(objective.measure(runs.capped(plan, first)))) for plan in (*points, *scaled, best)]
        frontier = keep_frontier(measured, POINTS)
        beside += [("people", "", plan, most) for plan in frontier if plan is not best and plan.people != best.people]
    for kind, thing, plan, upto in beside:
        if kind != "as written" and runs.done + max(0, upto - runs.count(plan)) > budget:
            continue
        row = hold_against(runs, best, plan, objective, margin, planned_looks(upto))
        if row is None:
            return
        change, effect, identical, count = row
        yield PlanRow(kind, thing, plan, count, change, effect, identical)


def _stand_by_now(
    space: Space, runs: PlanRuns, search: Search, best: ChosenPlan, objective: Objective, margin: float
) -> Iterator[PlanRow]:
    """Yield how the plan as written stands to the one in front by the runs that both have when somebody stops."""
    own = space.plan(space.as_written)
    if own is None or own is best or (stands := stand_against(search, runs, objective, best, own)) is None:
        return
    change, count = stands
    identical = bool((runs.hours(best, count) == runs.hours(own, count)).all())
    yield PlanRow("as written", "", own, count, change, judge_effect(change, margin, count, last=False), identical)
