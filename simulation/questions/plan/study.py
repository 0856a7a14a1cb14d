"""Which plan is ready first, of all that may be chosen within what is there, and what would more of each thing buy?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.questions.plan.search import PlanRuns, Search, find_best
from simulation.questions.plan.space import ChosenPlan, Limits, Option, Place, Space
from simulation.questions.plan.usual_choices import usual_choices
from simulation.study.outcomes import find_margin
from simulation.study.people import count_people
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, check_run_count
from simulation.study.trials import TrialRow, TrialsResult, try_changes

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario

#: Plans near the best that are shown, and plans of fewer people. Planning values: what a reader takes in at a glance.
NEAR, FRONTIER = 3, 5
#: What more of each limit is tried: a squad of people, a forklift. Planning values.
MORE_PEOPLE, MORE_FORKLIFTS = 10, 1

#: Nothing limits a plan.
UNLIMITED = Limits()

PlanRow = TrialRow[ChosenPlan]


class NoPlanError(ValueError):
    """No plan of the space keeps within the limits."""


@dataclass(frozen=True)
class PlanResult(TrialsResult[ChosenPlan]):
    """The best plan, which is the reference of the rows, and what stands beside it. Above zero is later than the best.

    Attributes
    ----------
    best : ChosenPlan
    limits : Limits
    search : Search
    size : int
        Combinations that there are.
    outside, unsound : int
        Combinations looked at that break a limit, and that cannot work.
    kinds : tuple of str
        Of each row: ``as written``, ``near``, ``fewer people`` or ``more``.
    """

    best: ChosenPlan
    limits: Limits
    search: Search
    size: int
    outside: int
    unsound: int
    kinds: tuple[str, ...]

    def of(self, kind: str) -> list[PlanRow]:
        """Return the rows of a kind."""
        return [row for row, own in zip(self.rows, self.kinds, strict=False) if own == kind]

    @property
    def as_written(self) -> PlanRow | None:
        """The plan as written; None where it is the best, breaks a limit, or was not reached."""
        return next(iter(self.of("as written")), None)

    @property
    def with_fewer_people(self) -> PlanRow | None:
        """The plan of the fewest people of those shown to be as quick; None where there is none."""
        rows = [row for row in self.rows[: len(self.kinds)] if row.trial.people < self.best.people]
        quick = [row for row in rows if row.against.p80.lies_within(self.margin)]
        return min(quick, key=lambda row: row.trial.people, default=None)


def best_plan(
    scenario: Scenario,
    context: RunContext = RunContext(),
    limits: Limits = UNLIMITED,
    choices: Sequence[Sequence[Option]] | None = None,
) -> PlanResult:
    """Return the plan with the earliest 80 % date within limits, and how sure that is.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        Its number of runs is the most of one plan.
    limits : Limits
    choices : sequence of sequences of Option, optional
        Default: `usual_choices`.

    Raises
    ------
    NoPlanError
        If no plan keeps within the limits.
    ScenarioError, NothingFinished, StoreError, ClusterError, ValueError
        As for `try_changes`.
    """
    check_run_count(context.runs)
    space = Space(scenario, limits, tuple(map(tuple, choices if choices is not None else usual_choices(scenario, limits))))
    with context.workshop() as workshop:
        runs = PlanRuns(space, workshop, context.seed, context.progress)
        search = find_best(space, runs, find_margin(scenario), context.runs)
        if not search.left:
            if search.stopped:
                raise NothingFinished(f"{search.stopped}, before the first run was done")
            raise NoPlanError(_why_none(space))
        best = _plan_at(space, search.left[0])
        beside = [] if search.stopped else _list_beside(space, search, best)
        told = replace(context, progress=None, tell=None)
        result, _ = try_changes(best.scenario, [plan for _, plan in beside], told, workshop=workshop)
    return PlanResult(
        **vars(replace(result, stopped=search.stopped or result.stopped)),
        best=best,
        limits=limits,
        search=search,
        size=space.size,
        outside=len(space.outside),
        unsound=len(space.unsound),
        kinds=tuple(kind for kind, _ in beside),
    )


def _plan_at(space: Space, place: Place) -> ChosenPlan:
    plan = space.plan(place)
    assert plan is not None
    return plan


def _list_beside(space: Space, search: Search, best: ChosenPlan) -> list[tuple[str, ChosenPlan]]:
    """Return what is tried beside the best plan: as written, near ones, ones of fewer people, and more of each limit."""
    plans = [_plan_at(space, place) for place in search.tried]
    beside: list[tuple[str, ChosenPlan]] = []
    own = space.plan(space.as_written)
    if own is not None and own is not best:
        beside.append(("as written", own))
    others = [plan for plan in plans if plan is not best and plan is not own]
    beside += [("near", plan) for plan in others[:NEAR]]
    fewest, fewer = best.people, []
    for plan in others:  # the best first: each of the next ones has fewer people than all before it
        if plan.people < fewest:
            fewest = plan.people
            fewer.append(plan)
    beside += [("fewer people", plan) for plan in fewer[:FRONTIER] if plan not in others[:NEAR]]
    return [*beside, *(("more", plan) for plan in _list_more(best))]


def _list_more(best: ChosenPlan) -> list[ChosenPlan]:
    """Return the best plan with more of what is limited."""
    from simulation.scenario import Change, ScenarioError, vary
    from simulation.scenario.types.mistakes import block_name

    crews = best.scenario.crew
    each, over = divmod(MORE_PEOPLE, len(crews))
    people = tuple(
        Change(f"crew.{block_name(index, crew.name)}.people", f"+{each + (index < over)}")
        for index, crew in enumerate(crews)
        if each + (index < over)
    )
    more: list[tuple[str, tuple[Change, ...]]] = [
        ("one more forklift", (Change("forklifts.count", f"+{MORE_FORKLIFTS}"),)),
        (f"{MORE_PEOPLE} more people in the crews", people),
    ]
    plans = []
    for name, changes in more:
        try:
            varied = vary(best.scenario, changes)
        except ScenarioError:
            continue
        plans.append(ChosenPlan(name, (*best.changes, *changes), varied, count_people(varied).total))
    return plans


def _why_none(space: Space) -> str:
    """Return which limit the plan that comes nearest breaks, and by how much."""
    if not space.outside:
        return next(iter(space.unsound.values()), "nothing may be chosen")
    broken = min(space.outside.values(), key=lambda each: sum((has - most) / max(1, most) for _, has, most in each))
    parts = [f"{what}: {has:,} where {most:,} may be" for what, has, most in broken]
    return f"no plan keeps within the limits; the nearest has {'; '.join(parts)}"
