"""When will the field be ready, and how sure is that? Many builds of one scenario, read in one place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.analysis.book import ByTheBook, by_the_book
from simulation.analysis.deadline import Deadline, DeadlineChance, deadline_chance, read_deadline
from simulation.analysis.drivers import Driver, drivers_of
from simulation.analysis.milestones import MilestoneForecast, milestones_of
from simulation.analysis.moments import Calendar
from simulation.analysis.people import People, people_of
from simulation.analysis.supply import Gate, Shortage, gate_of, shortage_of
from simulation.analysis.use import Use, use_of
from simulation.analysis.yardsticks import Yardsticks, yardsticks_of

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario


#: Builds of a forecast unless a number is asked for: they set the P80 to a few hours, and are soon done. Planning value.
BUILDS = 400
#: More would take days, and set nothing better than wrong inputs allow. Planning value.
MOST_BUILDS = 1_000_000


class NothingFinished(RuntimeError):
    """The run was stopped before its first build was done, so that there is nothing to report."""


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
    drivers : tuple of Driver
    use : tuple of Use
    deadline : DeadlineChance or None
    yardsticks : Yardsticks
    people : People
    gate : Gate or None
    shortage : Shortage
    book : ByTheBook
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
    use: tuple[Use, ...]
    deadline: DeadlineChance | None
    yardsticks: Yardsticks
    people: People
    gate: Gate | None
    shortage: Shortage
    book: ByTheBook

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
) -> Forecast:
    """Return the forecast of a scenario from many builds of it.

    Parameters
    ----------
    scenario : Scenario
    replications : int
        Builds to simulate.
    seed : int, optional
        Default: the scenario's own.
    workers : int, optional
        Processes. Default: one for each core. The numbers do not depend on it.
    deadline : str, optional
        A duration from hour zero or a local date; see `read_deadline`.
    progress : callable, optional
        Told builds done and builds asked.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or the deadline cannot be read.
    NothingFinished
        If the run was stopped before its first build was done.
    ValueError
        If `replications` is below 1 or above `MOST_BUILDS`.

    Examples
    --------
    >>> from simulation import forecast, load_scenario
    >>> answer = forecast(load_scenario(), replications=100)  # doctest: +SKIP
    >>> answer.readiness.quantile(0.8).value / 24  # doctest: +SKIP
    """
    from simulation.replicate import run_builds

    if not 1 <= replications <= MOST_BUILDS:
        raise ValueError(f"replications(={replications}) must be 1 to {MOST_BUILDS:,}")
    # Read before the builds are paid for: a deadline that cannot be read is better known at once.
    limit = None if deadline is None else read_deadline(deadline, calendar_of(scenario))
    builds = run_builds(scenario, replications, seed=seed, workers=workers, progress=progress)
    return read_builds(scenario, builds, scenario.seed if seed is None else seed, replications, limit)


def read_builds(scenario: Scenario, builds: pd.DataFrame, seed: int, asked: int, deadline: Deadline | None = None) -> Forecast:
    """Return what builds that are already simulated say.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    from simulation.field import take_off

    if builds.empty:
        raise NothingFinished("stopped before the first build was done")
    calendar = calendar_of(scenario)
    milestones = milestones_of(scenario, builds)
    ready = next(milestone for milestone in milestones if milestone.ready)
    hours = builds[f"milestone.{ready.name}"].tolist()
    square_feet = take_off(scenario).total("square_feet")
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
        deadline=deadline_chance(deadline, hours, scenario.horizon) if deadline else None,
        yardsticks=yardsticks_of(scenario, square_feet, calendar, ready.quantile(0.5).value),
        people=people_of(scenario),
        gate=gate_of(scenario, builds),
        shortage=shortage_of(builds),
        book=by_the_book(scenario, square_feet),
    )


def calendar_of(scenario: Scenario) -> Calendar:
    """Return the calendar that a scenario's moments are read by: hour zero, and the spans of the laying shifts."""
    return Calendar.of(scenario.starts, scenario.shifts.of("laying").hours)
