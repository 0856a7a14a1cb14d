"""When will the field be ready, and how sure is that? Many builds of one scenario, read in one place."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.questions.forecast.by_day import ByDay, by_day_of
from simulation.questions.forecast.handbook_labour import ByTheBook, by_the_book
from simulation.questions.forecast.milestones import MilestoneForecast, milestones_of
from simulation.questions.forecast.outrun import Outrun, outrun_of
from simulation.questions.forecast.precision import Precision, Reached, reached, read_precision
from simulation.questions.forecast.supply import Gate, Shortage, gate_of, shortage_of
from simulation.questions.forecast.yardsticks import AsSlow, Yardsticks, as_slow_as_published, yardsticks_of
from simulation.stats.effective_sample_size import cube_of, whole_cubes
from simulation.study.calendar import Calendar
from simulation.study.causes_of_time import Driver, drivers_of
from simulation.study.deadline import Deadline, DeadlineChance, deadline_chance, read_deadline
from simulation.study.people import People, people_of
from simulation.study.utilisation import Use, use_of, waited_of

if TYPE_CHECKING:
    import pandas as pd

    from simulation.replicate import Builds, Manifest
    from simulation.scenario import Scenario

#: Builds of a forecast unless a number is asked for: they set the P80 to a few hours, and are soon done. Planning value.
BUILDS = 400
#: More would need gigabytes to be read, and set nothing better than wrong inputs allow. Planning value.
MOST_BUILDS = 100_000


class NothingFinished(RuntimeError):
    """The run was stopped before its first build was done, so that there is nothing to report."""


@dataclass(frozen=True)
class Run:
    """How the builds of a forecast came about.

    Attributes
    ----------
    manifest : Manifest
    stopped : str
        Why there are fewer builds than asked for; empty where there are not.
    """

    manifest: Manifest
    stopped: str


@dataclass(frozen=True)
class Forecast:
    """What the builds of a scenario say. Hours count from hour zero.

    Attributes
    ----------
    scenario : Scenario
    builds : DataFrame
        One row per build, in order of replication.
    seed : int
    asked, replications : int
        Builds asked for, and builds done; fewer when the run was stopped early.
    unfinished : int
        Builds that were not ready at the horizon.
    calendar : Calendar
        From hours to days and shifts.
    milestones : tuple of MilestoneForecast
    waited : tuple of (str, float)
        What faces waited for while crews were on shift, and the mean hours of all faces together.
    outrun : Outrun or None
        What is left of the builds that were not ready at the horizon; None where all were.
    drivers : tuple of Driver
    use : tuple of Use
    deadline : DeadlineChance or None
    by_day : tuple of ByDay
        The chance of being still not ready, by the end of each day.
    yardsticks : Yardsticks
    as_slow : tuple of AsSlow
        How many builds are as slow as published fields.
    people : People
    gate : Gate or None
    shortage : Shortage
    book : ByTheBook
    sampling : str
        How levels were drawn.
    precision : Reached or None
        Where one was asked for.
    run : Run or None
        How the builds came about.
    """

    scenario: Scenario
    builds: pd.DataFrame
    seed: int
    asked: int
    replications: int
    unfinished: int
    calendar: Calendar
    milestones: tuple[MilestoneForecast, ...]
    drivers: tuple[Driver, ...]
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
    run: Run | None

    @property
    def readiness(self) -> MilestoneForecast:
        """The milestone that is operational readiness."""
        return next(milestone for milestone in self.milestones if milestone.ready)


def forecast(
    scenario: Scenario,
    replications: int = BUILDS,
    seed: int | None = None,
    workers: int | None = None,
    deadline: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    *,
    precision: Precision | str | None = None,
    sampling: str = "random",
    cluster: str | None = None,
    folder: Path | None = None,
    tell: Callable[[str], None] | None = None,
) -> Forecast:
    """Return the forecast of a scenario from many builds of it.

    Parameters
    ----------
    scenario : Scenario
    replications : int
        Builds to simulate, unless a precision is asked for.
    seed : int, optional
        Default: the scenario's own.
    workers : int, optional
        Processes. Default: one for each core. The numbers do not depend on it.
    deadline : str, optional
        A duration from hour zero or a local date; see `read_deadline`.
    progress : callable, optional
        Told builds done and builds asked.
    precision : Precision or str, optional
        Add builds until P80, or another quantile, is so precise; see `read_precision`.
    sampling : str
        How levels are drawn: ``"random"``, or ``"lhs"`` in Latin hypercubes of 100 builds.
    cluster : str, optional
        Address of a cluster's scheduler, whose workers do the builds.
    folder : Path, optional
        Where every build is kept as soon as it is done, and sought first. Default: nowhere.
    tell : callable, optional
        Told in a sentence what the folder holds already.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or the deadline or precision cannot be read.
    NothingFinished
        If the run was stopped before its first build was done.
    StoreError
        If the folder cannot be used.
    ClusterError
        If the cluster cannot be used.
    ValueError
        If `replications` is below 1 or above `MOST_BUILDS`, or not whole hypercubes where those are asked for.

    Examples
    --------
    >>> from simulation import forecast, load_scenario
    >>> answer = forecast(load_scenario(), replications=100)  # doctest: +SKIP
    >>> answer.readiness.quantile(0.8).value / 24  # doctest: +SKIP
    """
    from simulation.chance import SAMPLINGS
    from simulation.replicate import Builds, Workshop
    from simulation.replicate.builds import STOPPED

    if sampling not in SAMPLINGS:
        raise ValueError(f"sampling(={sampling!r}) must be one of {', '.join(SAMPLINGS)}")
    # Read before the builds are paid for: what cannot be read is better known at once.
    limit = None if deadline is None else read_deadline(deadline, calendar_of(scenario))
    asked = read_precision(precision) if isinstance(precision, str) else precision
    cube = cube_of(sampling)
    for number in (replications if asked is None else asked.most,):
        if not 1 <= number <= MOST_BUILDS:
            raise ValueError(f"replications(={number}) must be 1 to {MOST_BUILDS:,}")
        if cube is not None and number % cube:
            raise ValueError(f"replications(={number}) must be a multiple of {cube}, whole hypercubes")
    with Workshop(folder, workers, cluster) as workshop:
        builds = Builds(scenario, workshop, seed, sampling, progress)
        if tell is not None and builds.news:
            tell(builds.news)
        count = replications
        if asked is None:
            builds.reach(count)
        else:
            count = _reach_precision(builds, asked, cube)
        if builds.stopped not in ("", STOPPED) and not builds.stored(count):
            raise NothingFinished(builds.stopped)
        table, run = builds.table(count), Run(builds.manifest(), builds.stopped)
    return read_builds(scenario, table, builds.plan.seed, count, limit, sampling, asked, run)


def _reach_precision(builds: Builds, asked: Precision, cube: int | None) -> int:
    """Add builds until they are precise enough; return how many are to be read."""
    ready = f"milestone.{builds.plan.milestones[builds.plan.ready].name}"
    hours: list[float] = []
    for look in asked.looks():
        if not builds.reach(look):
            return look
        hours += _laying_hours(builds.values((ready, "laying hours"), len(hours), look))
        if reached(asked, hours, cube).met:
            break
    return look


def _laying_hours(found: Iterable[tuple[float, ...]]) -> list[float]:
    """Return the hours on the laying clock until readiness, infinite for a build that was not ready at the horizon."""
    return [math.inf if math.isinf(ready) else laying for ready, laying in found]


def read_builds(
    scenario: Scenario,
    builds: pd.DataFrame,
    seed: int,
    asked: int,
    deadline: Deadline | None = None,
    sampling: str = "random",
    precision: Precision | None = None,
    run: Run | None = None,
) -> Forecast:
    """Return what builds that are already simulated say; of builds in hypercubes, what the whole hypercubes say.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    from simulation.field import take_off

    cube = cube_of(sampling)
    if cube is not None:
        builds = whole_cubes(builds, cube)
    if builds.empty:
        raise NothingFinished(f"stopped before the first {'build' if cube is None else 'hypercube'} was done")
    calendar = calendar_of(scenario)
    milestones = milestones_of(scenario, builds, cube)
    ready = next(milestone for milestone in milestones if milestone.ready)
    hours = builds[f"milestone.{ready.name}"].tolist()
    square_feet = take_off(scenario).total("square_feet")
    yardsticks = yardsticks_of(scenario, square_feet, ready.quantile(0.5).value)
    return Forecast(
        scenario=scenario,
        builds=builds,
        seed=seed,
        asked=asked,
        replications=len(builds),
        unfinished=ready.unfinished,
        calendar=calendar,
        milestones=milestones,
        drivers=drivers_of(builds, ready.name),
        use=use_of(builds, ready.name),
        waited=waited_of(builds, ready.name),
        outrun=outrun_of(builds, ready.name),
        deadline=deadline_chance(deadline, hours, scenario.horizon, cube) if deadline else None,
        by_day=by_day_of(hours, calendar, cube, horizon=scenario.horizon),
        yardsticks=yardsticks,
        as_slow=as_slow_as_published(scenario, yardsticks, hours, cube),
        people=people_of(scenario),
        gate=gate_of(scenario, builds),
        shortage=shortage_of(builds, cube),
        book=by_the_book(scenario, square_feet),
        sampling=sampling,
        precision=reached(precision, _laying_hours(zip(hours, builds["laying hours"], strict=True)), cube) if precision else None,
        run=run,
    )


def calendar_of(scenario: Scenario) -> Calendar:
    """Return the calendar that a scenario's moments are read by: hour zero, and the shifts that its crews keep."""
    laying = scenario.shifts.of("laying")
    return Calendar.kept_by(scenario.starts, ((crew.name, crew.people, (crew.shift or laying).hours) for crew in scenario.crew))
