"""When will the field be ready, and how sure is that? Many runs of one scenario, read in one place."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from simulation.questions.forecast.precision import Precision, reached, read_precision
from simulation.stats.effective_sample_size import cube_of
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, NothingFinished

if TYPE_CHECKING:
    import pandas as pd

    from simulation.questions.forecast.coming_back import CameBack
    from simulation.questions.forecast.days.by_day import ByDay
    from simulation.questions.forecast.milestones import MilestoneForecast
    from simulation.questions.forecast.outrun import Outrun
    from simulation.questions.forecast.precision import Reached
    from simulation.questions.forecast.supply import Gate, Shortage
    from simulation.questions.forecast.tasks import LengthForecast, WorkForecast
    from simulation.questions.forecast.yardsticks.handbook_labour import ByTheBook
    from simulation.questions.forecast.yardsticks.published_rates import AsSlow, Yardsticks
    from simulation.replicate import Manifest, Runs
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario
    from simulation.study.calendar import Calendar
    from simulation.study.causes_of_time import CauseOfTime
    from simulation.study.deadline import DeadlineChance
    from simulation.study.people import People
    from simulation.study.utilisation import Use


@dataclass(frozen=True)
class Study:
    """How the runs of a forecast came about.

    Attributes
    ----------
    manifest : Manifest
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    manifest: Manifest
    stopped: str


@dataclass(frozen=True)
class Forecast:
    """What the runs of a scenario say. Hours count from the start.

    Attributes
    ----------
    scenario : Scenario
    table : RunTable
        One row per run, in order of run.
    seed : int
    asked, runs : int
        Runs asked for, and runs done; fewer when the study was stopped early.
    unfinished : int
        Runs that were not ready by the last day simulated.
    calendar : Calendar
        From hours to days and shifts.
    milestones : tuple of MilestoneForecast
    areas, tasks : tuple of WorkForecast
        Areas only where there are tasks beside them.
    lengths : tuple of LengthForecast
        Where the lengths lay that milestones ask for.
    waited : tuple of (str, float)
        What laying edges waited for while crews were on shift, and the mean hours of all laying edges together.
    outrun : Outrun or None
        What is left of the runs that were not ready by the last day simulated; None where all were.
    causes : tuple of CauseOfTime
    use : tuple of Use
    deadline : DeadlineChance or None
    by_day : tuple of ByDay
        The chance of being still not ready, by the end of each day.
    yardsticks : Yardsticks
    as_slow : tuple of AsSlow
        How many runs are as slow as published fields.
    people : People
    gate : Gate or None
    shortage : Shortage
    book : ByTheBook
    sampling : str
        How levels were drawn.
    precision : Reached or None
        Where one was asked for.
    study : Study or None
        How the runs came about.
    came_back : CameBack or None
        What comes back of a field that is taken up; None where it is laid.
    """

    scenario: Scenario
    table: RunTable
    seed: int
    asked: int
    run_count: int
    unfinished: int
    calendar: Calendar
    milestones: tuple[MilestoneForecast, ...]
    causes: tuple[CauseOfTime, ...]
    waited: tuple[tuple[str, float], ...]
    outrun: Outrun | None
    use: tuple[Use, ...]
    deadline: DeadlineChance | None
    by_day: tuple[ByDay, ...]
    yardsticks: Yardsticks
    as_slow: tuple[AsSlow, ...]
    people: People
    gate: Gate | None
    shortage: Shortage
    book: ByTheBook
    sampling: str
    precision: Reached | None
    study: Study | None
    areas: tuple[WorkForecast, ...] = ()
    tasks: tuple[WorkForecast, ...] = ()
    lengths: tuple[LengthForecast, ...] = ()
    came_back: CameBack | None = None

    @cached_property
    def runs(self) -> pd.DataFrame:
        """One row per run, in order of run, as a table of pandas."""
        return self.table.to_pandas()

    @property
    def ready_word(self) -> str:
        """What a run is that has reached the milestone that answers count to."""
        from simulation.present.words.job_words import ready_word

        return ready_word(self.scenario)

    @property
    def laid_word(self) -> str:
        """What has happened to rows whose turn is over."""
        from simulation.present.words.job_words import laid_word

        return laid_word(self.scenario)

    @property
    def readiness(self) -> MilestoneForecast:
        """The milestone that is operational readiness."""
        return next(milestone for milestone in self.milestones if milestone.ready)


def forecast(scenario: Scenario, context: RunContext = RunContext(), precision: Precision | str | None = None) -> Forecast:
    """Return the forecast of a scenario from many runs of it.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are, and how they are done and kept.
    precision : Precision or str, optional
        Add runs until P80, or another quantile, is so precise; see `read_precision`.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or the deadline or precision cannot be read.
    NothingFinished
        If the study was stopped before its first run was done.
    StoreError
        If the folder cannot be used.
    ClusterError
        If the cluster cannot be used.
    ValueError
        If `run_count` is below 1 or above `MOST_RUNS`, or not whole hypercubes where those are asked for.

    Examples
    --------
    >>> from simulation import RunContext, forecast, load_scenario
    >>> answer = forecast(load_scenario(), RunContext(runs=100))  # doctest: +SKIP
    >>> answer.readiness.quantile(0.8).value / 24  # doctest: +SKIP
    """
    from simulation.chance import SAMPLINGS
    from simulation.replicate import Runs
    from simulation.replicate.in_turn import STOPPED

    if context.sampling not in SAMPLINGS:
        raise ValueError(f"sampling(={context.sampling!r}) must be one of {', '.join(SAMPLINGS)}")
    # Read before the runs are paid for: what cannot be read is better known at once.
    limit = context.read_deadline(scenario)
    asked = read_precision(precision) if isinstance(precision, str) else precision
    cube = cube_of(context.sampling)
    for number in (context.runs if asked is None else asked.most,):
        if not 1 <= number <= MOST_RUNS:
            raise ValueError(f"runs(={number}) must be 1 to {MOST_RUNS:,}")
        if cube is not None and number % cube:
            raise ValueError(f"runs(={number}) must be a multiple of {cube}, whole hypercubes")
    with context.workshop() as workshop:
        runs = Runs(scenario, workshop, context.seed, context.sampling, context.progress)
        if context.tell is not None and runs.news:
            context.tell(runs.news)
        count = context.runs
        if asked is None:
            runs.reach(count)
        else:
            count = _reach_precision(runs, asked, cube)
        if runs.stopped not in ("", STOPPED) and not runs.stored(count):
            raise NothingFinished(runs.stopped)
        table, study = runs.table(count), Study(runs.manifest(), runs.stopped)
    from simulation.questions.forecast.reading import read_runs  # here: no run waits for what reads them

    return read_runs(scenario, table, runs.plan.seed, count, limit, context.sampling, asked, study)


def _reach_precision(runs: Runs, asked: Precision, cube: int | None) -> int:
    """Add runs until they are precise enough; return how many are to be read."""
    ready = f"milestone.{runs.plan.milestones[runs.plan.ready].name}"
    hours: list[float] = []
    for look in asked.looks():
        if not runs.reach(look):
            return look
        hours += laying_hours(runs.values((ready, "laying hours"), len(hours), look))
        if reached(asked, hours, cube).met:
            break
    return look


def laying_hours(spans: Iterable[tuple[float, ...]]) -> list[float]:
    """Return the hours on the laying clock until readiness, infinite for a run that was not ready by the last day simulated."""
    return [math.inf if math.isinf(ready) else laying for ready, laying in spans]
