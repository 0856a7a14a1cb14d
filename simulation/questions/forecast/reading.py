"""What do the runs of a scenario say? Every number of a forecast, read from runs that are there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.check.closed_to_laying import area_closed
from simulation.field import take_off
from simulation.questions.forecast.coming_back import summarise_coming_back
from simulation.questions.forecast.days.by_day import tabulate_by_day
from simulation.questions.forecast.milestones import summarise_milestones
from simulation.questions.forecast.outrun import summarise_unfinished
from simulation.questions.forecast.precision import reached
from simulation.questions.forecast.study import Forecast, laying_hours
from simulation.questions.forecast.supply import estimate_shortage, summarise_gate
from simulation.questions.forecast.tasks import summarise_areas, summarise_lengths, summarise_tasks
from simulation.questions.forecast.yardsticks.handbook_labour import by_the_book
from simulation.questions.forecast.yardsticks.published_rates import as_slow_as_published, compare_published_rates
from simulation.stats.effective_sample_size import cube_of, whole_cubes
from simulation.study.calendar import make_calendar
from simulation.study.causes_of_time import find_causes, name_crews
from simulation.study.deadline import deadline_chance
from simulation.study.people import count_people
from simulation.study.runner import NothingFinished
from simulation.study.utilisation import summarise_use, summarise_waits

if TYPE_CHECKING:
    from simulation.questions.forecast.precision import Precision
    from simulation.questions.forecast.study import Study
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario
    from simulation.study.deadline import Deadline


def read_runs(
    scenario: Scenario,
    runs: RunTable,
    seed: int,
    asked: int,
    deadline: Deadline | None = None,
    sampling: str = "random",
    precision: Precision | None = None,
    study: Study | None = None,
) -> Forecast:
    """Return what runs that are already simulated say; of runs in hypercubes, what the whole hypercubes say.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    cube = cube_of(sampling)
    if cube is not None:
        runs = whole_cubes(runs, cube)
    if runs.empty:
        raise NothingFinished(f"stopped before the first {'run' if cube is None else 'hypercube'} was done")
    calendar = make_calendar(scenario)
    milestones = summarise_milestones(scenario, runs, cube)
    ready = next(milestone for milestone in milestones if milestone.ready)
    hours = runs[f"milestone.{ready.name}"].tolist()
    laying = laying_hours(zip(hours, runs["laying hours"].tolist(), strict=True))
    square_feet = take_off(scenario).total("square_feet")
    yardsticks = compare_published_rates(scenario, square_feet, ready.quantile(0.5).value)
    return Forecast(
        scenario=scenario,
        table=runs,
        seed=seed,
        asked=asked,
        run_count=len(runs),
        unfinished=ready.unfinished,
        calendar=calendar,
        milestones=milestones,
        causes=name_crews(find_causes(runs, ready.name), scenario),
        use=summarise_use(runs, ready.name),
        waited=summarise_waits(runs, ready.name),
        outrun=summarise_unfinished(runs, ready.name, area_closed(scenario)),
        deadline=deadline_chance(deadline, hours, scenario.horizon, cube) if deadline else None,
        by_day=tabulate_by_day(hours, calendar, cube, horizon=scenario.horizon),
        yardsticks=yardsticks,
        as_slow=as_slow_as_published(scenario, yardsticks, hours, cube),
        people=count_people(scenario),
        gate=summarise_gate(scenario, runs),
        shortage=estimate_shortage(runs, cube),
        book=by_the_book(scenario, square_feet),
        sampling=sampling,
        precision=reached(precision, laying, cube) if precision else None,
        study=study,
        areas=summarise_areas(scenario, runs, cube),
        tasks=summarise_tasks(scenario, runs, cube),
        lengths=summarise_lengths(scenario, runs),
        came_back=summarise_coming_back(scenario, runs),
    )
