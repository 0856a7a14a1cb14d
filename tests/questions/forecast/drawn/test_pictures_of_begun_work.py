"""Do the pictures of a forecast of work that has begun tell the past as it was lived, and leave out what nobody knows of it?"""

import pytest
from log_of_run import log_of_run
from scenarios import LITTLE, make_scenario

from simulation import RunContext, SiteLog, begin_by, forecast
from simulation.construction import compile_plan, simulate
from simulation.questions.forecast.drawn.figures import FROM_THE_START, STRIPS, forecast_pictures
from simulation.questions.forecast.file_names import FURTHER
from simulation.questions.forecast.single_run.timeline import follow_run

AT = 20.0


@pytest.fixture(scope="module")
def begun():
    scenario = make_scenario(LITTLE)
    log = log_of_run(scenario, simulate(compile_plan(scenario), 1, until=AT), AT)
    return forecast(begin_by(scenario, SiteLog("log.csv", log)), RunContext(runs=4, workers=1))


def test_the_drawn_run_grows_from_what_was_laid_and_never_shrinks(begun):
    laid = follow_run(begun).laid
    assert list(laid) == sorted(laid)
    assert [share for _, share in laid] == sorted(share for _, share in laid)
    lived = compile_plan(begun.scenario).state.lived
    assert follow_run(begun).share(AT) == pytest.approx(lived[-1][1])


def test_stations_begin_where_mats_end_at_the_moment(begun):
    first = [edge.laid[0][0] for area in follow_run(begun).areas for edge in area.edges if edge.laid]
    assert min(first) >= AT


def test_pictures_that_count_from_the_start_are_left_out(begun):
    left_out = (*FROM_THE_START, STRIPS)  # the latter for want of tasks
    assert [figure.name for figure in forecast_pictures(begun)] == [name for name in FURTHER if name not in left_out]
