"""Which plan is the best of all that may be chosen within what is there, and what would more of each thing buy?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.questions.plan.beside import keep_frontier, list_more, pick_kinds, scale_crews
from simulation.questions.plan.held_against import hold_against
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.objective import Objective, read_objective
from simulation.questions.plan.plan_runs import PlanRuns, until_stopped
from simulation.questions.plan.proposing import SCREEN
from simulation.questions.plan.result import PlanResult, PlanRow
from simulation.questions.plan.search import Search, find_best, stand_against
from simulation.questions.plan.space import AS_WRITTEN_NAME, ChosenPlan, Option, Space, limit_loads
from simulation.questions.plan.usual_choices import usual_choices
from simulation.stats.group_sequential import judge_effect, planned_looks
from simulation.study.changes.milestone_changes import change_milestones
from simulation.study.outcomes import Outcome, summarise_hours
from simulation.study.people import count_people
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, check_run_count

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.stats.paired_difference import Difference

#: Runs of one plan at the most, where nobody says: what settles plans a quarter of a shift apart. Planning value.
MOST = 1600
#: Runs of a plan beside the best one, and of the plan as written, and rows beside it, at the most. Planning values.
BESIDE, OWN, BESIDE_ROWS = 200, 400, 17
#: Runs of all plans together, where nobody says. Planning value: five minutes for a field of three weeks on two quiet cores.
BUDGET = 8_000
#: Points of the frontier at the most. Planning value: what a reader takes in at a glance.
POINTS = 7

#: Nothing limits a plan.
UNLIMITED = Limits()


class NoPlanError(ValueError):
    """No plan of the space keeps within the limits."""


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
        Default: `usual_choices`, with no more people than the plan as written has where nothing limits them.
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
    given = limits
    if choices is None:
        limits = limits.with_people_of(scenario)
        choices = usual_choices(scenario, limits)
    choices = tuple(map(tuple, choices))
    space, margin = Space(scenario, limits, choices, limit_loads(scenario, limits)), objective.find_margin(scenario)
    with context.workshop() as workshop:
        runs = PlanRuns(objective, workshop, context, budget)
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
        own = None
        other_names = [each.name for each in best.scenario.milestones if each.name != objective.milestone]
        each = min(context.runs, BESIDE, max(SCREEN, (budget - search.done) // BESIDE_ROWS))
        with until_stopped(runs):
            if not runs.stopped:
                own = _plan_as_written(space, best)
                if own is not None and other_names and runs.done + max(0, each - runs.count(own)) <= budget:
                    runs.reach([own], each)
                for row in _hold_beside(space, runs, search, best, objective, margin, each, budget):
                    rows.append(row)
        if runs.stopped and not any(row.kind == "as written" for row in rows):
            rows += _stand_by_now(space, runs, search, best, objective, margin)
        count = runs.count(best)
        others: tuple[tuple[str, Difference], ...] = ()
        if own is not None and runs.count(own):
            others = change_milestones(other_names, runs.table(own), runs.table(best))
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
            with_as_many=limits != given,
            others=others,
        )


def _plan_as_written(space: Space, best: ChosenPlan) -> ChosenPlan | None:
    """Return the plan as written, within the limits or not; None where it is the best, or cannot work."""
    if space.as_written in space.unsound:
        return None
    own = space.plan(space.as_written)
    if own is None:
        return ChosenPlan(AS_WRITTEN_NAME, (), space.scenario, count_people(space.scenario).total)
    return None if own is best else own


def _plan_at(space: Space, picks: tuple[int, ...]) -> ChosenPlan:
    plan = space.plan(picks)
    assert plan is not None
    return plan


def _summarise(best: ChosenPlan, objective: Objective, hours: list[float], context: RunContext) -> Outcome:
    deadline = objective.deadline or context.read_deadline(best.scenario)
    return summarise_hours("best plan", best.scenario, hours, deadline)


def _hold_beside(
    space: Space, runs: PlanRuns, search: Search, best: ChosenPlan, objective: Objective, margin: float, most: int, budget: int
) -> Iterator[PlanRow]:
    """Yield what stands beside the best plan, until it is stopped: first the plan as written, which a headline needs."""
    own = space.plan(space.as_written)
    if own is not None and own is not best:
        as_written = [("as written", "", own, max(most, min(OWN, search.runs)))]
        yield from _hold_each(as_written, runs, best, objective, margin, budget)
    beside = [("other kind", "", plan, most) for plan in pick_kinds(space, search.tried, best) if plan is not own]
    beside += [("more", thing, plan, most) for thing, plan in list_more(best)]
    points = [plan for plan in (_plan_at(space, picks) for picks in search.tried) if plan is not best]
    scaled, first = list(scale_crews(best, space.limits)), min(SCREEN, most)
    runs.expected = min(budget, runs.done + (len(beside) + POINTS) * most + len(scaled) * first)
    several = [*points, *scaled[: max(0, budget - runs.done) // first]]
    if runs.reach(several, first):
        measured = [(plan, float(objective.weigh(runs.capped(plan, first)))) for plan in (*several, best)]
        frontier = keep_frontier(measured, POINTS)
        beside += [("people", "", plan, most) for plan in frontier if plan is not best and plan.people != best.people]
    yield from _hold_each(beside, runs, best, objective, margin, budget)


def _hold_each(
    beside: Sequence[tuple[str, str, ChosenPlan, int]],
    runs: PlanRuns,
    best: ChosenPlan,
    objective: Objective,
    margin: float,
    budget: int,
) -> Iterator[PlanRow]:
    """Yield plans beside the best one, each in as many runs as are left for it, until it is stopped."""
    for kind, thing, plan, upto in beside:
        room = 0 if runs.stopped else _find_room(runs, best, plan, upto, budget)
        row = hold_against(runs, best, plan, objective, margin, planned_looks(room)) if room else None
        if row is not None:
            change, effect, identical, count = row
            yield PlanRow(kind, thing, plan, count, change, effect, identical)


def _find_room(runs: PlanRuns, best: ChosenPlan, plan: ChosenPlan, upto: int, budget: int) -> int:
    """Return the last look at a plan and the best one for which runs are left, up to one; else the runs that both have."""
    for look in reversed(planned_looks(upto)):
        if runs.done + sum(max(0, look - runs.count(each)) for each in (best, plan)) <= budget:
            return look
    return min(runs.count(best), runs.count(plan), upto)


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
