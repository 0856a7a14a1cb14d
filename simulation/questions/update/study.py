"""When now, how sure, and why otherwise than before? The forecast from the start beside the one from where the work stands."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.questions.forecast.progress_fan import ProgressFan, progress_fan
from simulation.questions.update.earned_schedule import EarnedSchedule, earned_schedule
from simulation.stats.quantiles import estimate
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import announce, check_run_count, own_runs

if TYPE_CHECKING:
    from simulation.construction.learning.lessons import Lessons
    from simulation.construction.site_log.reading import LogReading
    from simulation.replicate import Manifest
    from simulation.scenario import Scenario

#: Runs, at most, that part what happened from what was learned. Planning value: paired, they measure half a shift.
APART = 100
#: Runs, at most, from whose draws the levels are summed up.
LESSON_RUNS = 100


@dataclass(frozen=True)
class UpdateResult:
    """The forecast then and now. Hours count from the start.

    Attributes
    ----------
    then, now : Outcome
        Forecast from the start, and from where the log says that the work stands.
    change : Against
        From then to now, run by run.
    learning : Against
        What learning from the log changes alone: from the same state with the levels as the scenario has them.
    log : LogReading
        What the log comes to.
    lessons : Lessons
        Which levels it moved.
    moment : float
        At which it is read; 0 where nothing has begun.
    done : float
        Share of the field that lies.
    fan_then, fan_now : ProgressFan
    schedule : EarnedSchedule
    seed, asked : int
    manifest : Manifest or None
        Of the study of now.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    then: Outcome
    now: Outcome
    change: Against
    learning: Against
    log: LogReading
    lessons: Lessons
    moment: float
    done: float
    fan_then: ProgressFan
    fan_now: ProgressFan
    schedule: EarnedSchedule
    seed: int
    asked: int
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs of the forecast now."""
        return len(self.now.hours)

    @property
    def later(self) -> float:
        """Hours by which the middle run lies later now than then; not finite where either is not known."""
        return self.now.p50.value - self.then.p50.value

    @property
    def learned(self) -> float | None:
        """Hours of that which are what was learned; None where that is not known."""
        return self.learning.p50.value

    @property
    def happened(self) -> float | None:
        """Hours of that which are what happened: the days that are gone, and where the job stands."""
        return None if self.learned is None or not math.isfinite(self.later) else self.later - self.learned

    @property
    def left_then(self) -> float:
        """Hours between P10 and P90 then: what was left to chance."""
        return _width(self.then)

    @property
    def left_now(self) -> float:
        """Hours between P10 and P90 now: what is left to chance."""
        return _width(self.now)

    @property
    def reached(self) -> bool:
        """Whether readiness was reached by the moment."""
        state = self.log.state
        ready = next(index for index, milestone in enumerate(self.now.scenario.milestones) if milestone.ready)
        return state is not None and ready < len(state.reached) and state.reached[ready] is not None


def _width(outcome: Outcome) -> float:
    return estimate(outcome.hours, 0.9).value - estimate(outcome.hours, 0.1).value


def update(scenario: Scenario, context: RunContext = RunContext()) -> UpdateResult:
    """Return the forecast of a scenario from where its site log says that the work stands, beside the one from the start.

    Parameters
    ----------
    scenario : Scenario
        With a site log; see `simulation.scenario.begin_by`.
    context : RunContext
        How many runs there are, and how they are done and kept.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, the deadline cannot be read, or there is no log.
    LogError
        If the log is not sound.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If the number of runs is out of range.

    Examples
    --------
    >>> from simulation import RunContext, SiteLog, begin_by, load_scenario, update
    >>> begun = begin_by(load_scenario(), SiteLog("log.csv", open("log.csv").read()))  # doctest: +SKIP
    >>> update(begun, RunContext(deadline="12 day")).now.p80.value / 24  # doctest: +SKIP
    """
    from simulation.construction import tell_lessons, tell_log
    from simulation.replicate import Alternatives
    from simulation.scenario import begin_by
    from simulation.scenario.types.mistakes import refusal

    check_run_count(context.runs)
    log = scenario.source.log
    if log is None:
        raise refusal(scenario.title, "has no site log", "give one, by --log or begin_by")
    limit = context.read_deadline(scenario)
    read_log = tell_log(scenario)
    scenarios = [scenario, begin_by(scenario, None), begin_by(scenario, replace(log, teaches=False))]
    apart = min(APART, context.runs) if read_log.state is not None else 0
    with context.workshop() as workshop:
        runs = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(runs, context.runs, context.tell)
        runs.expected = 2 * context.runs + apart
        in_turn = runs.reach_in_turn([(0, context.runs), (1, context.runs), (2, apart)])
        begun = own_runs(runs, context.runs, in_turn)
        for _ in in_turn:
            pass
        tables = [begun, runs.table(1, context.runs), runs.table(2, apart) if apart else begun]
        manifest, stopped, seed = runs.runs[0].manifest(), runs.stopped, runs.seed
    if tables[1].empty or tables[2].empty:
        from simulation.study.runner import NothingFinished

        raise NothingFinished(stopped or "stopped before there was a run of each forecast")
    now, then, lived = (
        summarise_outcome(name, each, table, limit)
        for name, each, table in zip(("now", "then", "lived"), scenarios, tables, strict=True)
    )
    moment = 0.0 if read_log.state is None else read_log.state.at
    done = read_log.state.lived[-1][1] if read_log.state is not None and read_log.state.lived else 0.0
    fan = progress_fan(tables[1])
    return UpdateResult(
        then=then,
        now=now,
        change=against(then, now),
        learning=against(lived, now),
        log=read_log,
        lessons=tell_lessons(scenario, min(LESSON_RUNS, context.runs), seed),
        moment=moment,
        done=done,
        fan_then=fan,
        fan_now=progress_fan(begun),
        schedule=earned_schedule(fan.percents, fan.p50, done, moment, then.p50.value),
        seed=seed,
        asked=context.runs,
        manifest=manifest,
        stopped=stopped,
    )
