"""Works out what a commander has to know of one scenario: the forecast, what holds it back, other plans, and a grid of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from simulation.present.words.wording import counted
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.questions.bottlenecks.study import BottlenecksResult, bottlenecks
from simulation.questions.bottlenecks.what_ifs import list_what_ifs
from simulation.questions.brief.decision_grid import PlanGrid, list_choices, plan_grid
from simulation.questions.compare.study import CompareResult, compare
from simulation.questions.forecast.study import Forecast, forecast
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.result import PlanResult
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import NoPlanError, best_plan
from simulation.questions.update.study import UpdateResult, update
from simulation.replicate.in_turn import STOPPED
from simulation.scenario import Scenario
from simulation.stats.group_sequential import planned_looks
from simulation.study.calendar import make_calendar
from simulation.study.changes.default_plans import default_plans
from simulation.study.deadline import read_deadline
from simulation.study.outcomes import summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, effort_words

#: What a question is called where a stop kept it from being asked.
MEASURES = "what would help"
#: Runs of each plan that is tried, unless a number is asked for: a likelihood word needs as many. Planning value.
EACH = 100


@dataclass(frozen=True)
class Asked:
    """What a brief is to answer besides the forecast.

    Attributes
    ----------
    each : int
        Runs of each plan that is tried.
    measures : bool
        Whether what holds it back and what would help is tried.
    plans : sequence of (str, Scenario), or None
        What is compared, the scenario as written first; None for the default plans, empty for none.
    grid : bool
        Whether the grid of the decision sheet is done.
    """

    each: int = EACH
    measures: bool = True
    plans: Sequence[tuple[str, Scenario]] | None = None
    grid: bool = True


@dataclass(frozen=True)
class BriefResult:
    """All that a brief is written from; what was not asked for, or not reached before a stop, is None.

    Attributes
    ----------
    forecast : Forecast
    measures : Bottlenecks or None
    comparison : Comparison or None
    grid : PlanGrid or None
    stopped : str
        Why something is missing; empty where nothing is.
    missing : tuple of str
        The questions that were asked for and not reached before a stop.
    standing : UpdateResult or None
        Where the work stands, where it has begun.
    best : PlanResult or None
        The best plan, where the scenario says what limits a plan or what of it may be chosen, and one keeps within that.
    """

    forecast: Forecast
    measures: BottlenecksResult | None = None
    comparison: CompareResult | None = None
    grid: PlanGrid | None = None
    stopped: str = ""
    missing: tuple[str, ...] = ()
    standing: UpdateResult | None = None
    best: PlanResult | None = None


def brief(scenario: Scenario, context: RunContext = RunContext(), asked: Asked | None = None) -> BriefResult:
    """Return what a brief of a scenario is written from: one question after the other, all with the same random draws.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are, and how they are done and kept.
    asked : Asked, optional
        What else is to be answered. Default: everything.

    Raises
    ------
    ScenarioError, NothingFinished, StoreError, ClusterError, ValueError
        As for `forecast`.

    Examples
    --------
    >>> from simulation import brief, load_scenario
    >>> found = brief(load_scenario(), deadline="9 d")  # doctest: +SKIP
    >>> found.forecast.readiness.quantile(0.8).value / 24  # doctest: +SKIP
    """
    if context.folder is None:
        # What one question has done, the next ones read.
        with TemporaryDirectory() as made:
            return brief(scenario, replace(context, folder=Path(made)), asked)
    asked = asked or Asked()
    if context.deadline is not None:
        read_deadline(context.deadline, make_calendar(scenario))  # what cannot be read is told before anything is tried
    plans = _plans(scenario, asked)
    needs = _needs(scenario, asked, plans, context.runs)
    if context.tell is not None:
        _announce(needs, context, context.tell)
    counts = [len(scenarios) * count for scenarios, count in needs]
    parts = [_part_of(context, sum(counts[:index]), sum(counts), asked.each) for index in range(len(counts))]
    result = forecast(scenario, replace(parts[0], runs=context.runs, sampling=context.sampling))
    stopped = result.study.stopped if result.study else ""
    current = summarise_outcome("as it is", scenario, result.table, None if result.deadline is None else result.deadline.deadline)
    # One P80 in all of the brief.
    current = replace(current, p50=result.readiness.quantile(0.5), p80=result.readiness.quantile(0.8))
    if result.deadline is not None:
        current = replace(current, chance=result.deadline.chance)
    standing: UpdateResult | None = None
    if scenario.source.log is not None and not stopped and context.sampling == "random":
        standing = update(scenario, replace(parts[0], runs=context.runs))
        stopped = standing.stopped
    measures: BottlenecksResult | None = None
    comparison: CompareResult | None = None
    grid: PlanGrid | None = None
    if asked.measures and not stopped:
        measures = bottlenecks(scenario, parts[1], current=current)
        # Who holds it up is of the runs of the forecast as well.
        measures = replace(measures, leading=attribute_hours(result.table, result.readiness.name))
        stopped = measures.stopped
    if len(plans) > 1 and not stopped:
        comparison = compare(plans, parts[2], current=current)
        stopped = comparison.stopped
    if asked.grid and not stopped:
        grid = plan_grid(scenario, parts[3], plan=current)
        stopped = grid.comparison.stopped
    best: PlanResult | None = None
    if asked.grid and not stopped:
        try:
            best = _seek_best(scenario, parts[3], context.progress)
            stopped = best.stopped if best is not None else ""
        except NothingFinished:  # the rest of the brief is there
            stopped = STOPPED
    reached = {
        MEASURES: measures or not asked.measures,
        "the other plans": comparison or len(plans) < 2,
        "the decision sheet": grid or not asked.grid,
    }
    missing = tuple(name for name, there in reached.items() if not there)
    return BriefResult(result, measures, comparison, grid, stopped, missing, standing, best)


def _seek_best(scenario: Scenario, context: RunContext, progress: Callable[..., None] | None) -> PlanResult | None:
    """Return the best plan where the scenario limits it or says what may be chosen; elsewhere it would double the time.

    Its runs are no part of those of the brief, since nobody knows beforehand how many it takes: `progress` is told of them apart.
    """
    limits, choose = Limits.of(scenario), scenario.choose
    if not (limits.any or choose.values) or (choose.goal == "chance" and context.deadline is None):
        return None
    choices = read_choices(scenario, choose.values) if choose.values else None
    report = None if progress is None else lambda done, total: progress(done, total, "runs of the search for the best plan")
    try:
        return best_plan(scenario, replace(context, progress=report), limits, choices)
    except NoPlanError:
        return None


def _plans(scenario: Scenario, asked: Asked) -> list[tuple[str, Scenario]]:
    return default_plans(scenario) if asked.plans is None else list(asked.plans)


def _needs(
    scenario: Scenario, asked: Asked, plans: Sequence[tuple[str, Scenario]], run_count: int
) -> list[tuple[list[Scenario], int]]:
    """Return the scenarios of each question, and how many runs of each."""
    return [
        ([scenario], run_count),
        ([scenario, *(what_if.scenario for what_if in list_what_ifs(scenario)[0])] if asked.measures else [], asked.each),
        ([plan for _, plan in plans] if len(plans) > 1 else [], asked.each),
        (list(list_choices(scenario)[0].values()) if asked.grid else [], asked.each),
    ]


def _announce(needs: Sequence[tuple[Sequence[Scenario], int]], context: RunContext, tell: Callable[[str], None]) -> None:
    """Tell how much there is to do: a scenario that several questions ask for is done once."""
    from simulation.replicate import Alternatives
    from simulation.replicate.identity import scenario_hash

    most: dict[str, tuple[Scenario, int]] = {}
    likely: dict[str, int] = {}
    longest = 0  # runs of the best of each question after its first look
    for number, (scenarios, count) in enumerate(needs):
        first = planned_looks(count)[0] if number else count
        longest += count - first if scenarios else 0
        for each in scenarios:
            key = scenario_hash(each)
            most[key] = (each, max(count, most[key][1] if key in most else 0))
            likely[key] = max(first, likely.get(key, 0))
    with context.workshop() as workshop:
        every = Alternatives([each for each, _ in most.values()], workshop, context.seed)
        if every.runs[0].news and context.sampling == "random":
            tell(every.runs[0].news)
        missing = [count - runs.stored(count) for runs, (_, count) in zip(every.runs, most.values(), strict=True)]
        if sum(missing):
            largest = max(count for _, count in most.values())
            all_runs, seconds = every.estimate(largest)
            firsts = [max(0, count - runs.stored(count)) for runs, count in zip(every.runs, likely.values(), strict=True)]
            effort = effort_words(sum(firsts) + longest, sum(missing), seconds * sum(missing) / all_runs)
            tell(f"to do for {counted(len(most), 'plan')}: {effort}")


def _part_of(context: RunContext, before: int, total: int, runs: int) -> RunContext:
    """Return the context of one question of the brief: plans with so many runs, its progress a part of the whole."""
    progress = context.progress
    report = None if progress is None else lambda done, _: progress(before + done, total)
    return replace(context, runs=runs, progress=report, sampling="random", tell=None)
