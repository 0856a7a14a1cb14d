"""Does every construction that is not refused come to its end, whatever the planner writes?"""

import pytest
from hypothesis import HealthCheck, given, settings
from scenarios import strip
from small_runs import examples, plan_of, run, scenarios

from simulation.construction import simulate
from simulation.construction.plan.steps import DRY_SPELL, END, KIND, OFF_WORK, WET_SPELL
from simulation.scenario import ScenarioError


def somebody_is_at_work(done, horizon):
    """Whether a step was under way when the last day simulated was reached; rain and closed gates of a shift do not count."""
    return any(step[END] >= horizon for step in done.site.trace if step[KIND] not in (DRY_SPELL, WET_SPELL, OFF_WORK))


def ends_or_is_refused_or_still_worked_on(text):
    try:
        plan = plan_of(text)
    except ScenarioError:
        return
    done = simulate(plan, 0)
    finished = all(step is not None for step in done.site.reached)
    assert finished or somebody_is_at_work(done, plan.horizon), "everybody waits, and nobody for anything that comes"


@given(scenarios())
@examples(60)
def test_no_random_field_ends_with_everybody_waiting(text):
    ends_or_is_refused_or_still_worked_on(text)


@pytest.mark.slow
@given(scenarios("300 day"))
@settings(max_examples=5000, deadline=None, database=None, suppress_health_check=list(HealthCheck))
def test_no_random_field_of_thousands_ends_with_everybody_waiting(text):
    ends_or_is_refused_or_still_worked_on(text)


def test_mats_left_over_in_pallets_that_nobody_has_opened_yet_reach_the_edge_that_lacks_them():
    # 13 and 3 half mats: eight pallets hold 16, but the small area, which nobody is on yet, is sent two of them at once.
    areas = [{"name": name, "length": length, "width": "30 ft"} for name, length in (("strip", "26 ft"), ("pad", "6 ft"))]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 8, "total": 8, "spares": 0.0}, forklifts={"staged_ahead": 2}))
    assert done.site.reached[0] is not None
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)


def test_mats_left_over_at_the_other_edge_of_a_lone_crew_reach_the_one_that_lacks_them():
    area = [{"name": "strip", "length": "12 ft", "width": "30 ft", "start": "centre-out"}]
    done = run(strip(area=area, supply={"on_hand": 3, "total": 3, "spares": 0.0}, forklifts={"staged_ahead": 2}))
    assert done.site.reached[0] is not None


@pytest.mark.parametrize("staged_ahead", [2, 3])
def test_a_row_that_needs_more_pallets_than_fit_beside_its_edge_is_laid_all_the_same(staged_ahead):
    area = [{"name": "apron", "length": "10 ft", "width": "600 ft"}]
    crew = [{"name": "red", "people": 30, "areas": ["apron"]}]
    done = run(strip(area=area, crew=crew, supply={"on_hand": 60}, forklifts={"staged_ahead": staged_ahead}))
    assert done.site.reached[0] is not None


def test_a_single_forklift_that_breaks_down_on_every_trip_still_feeds_the_field():
    tables = strip(forklifts={"count": 1, "breakdown_every": "2 min", "repair": "20 min", "staged_ahead": 2})
    assert run(tables).site.reached[0] is not None


def test_three_crews_on_one_edge_in_turns_and_together_finish_it():
    crew = [
        {"name": name, "people": 12, "areas": ["strip"], "second_crew": second}
        for name, second in (("red", "elsewhere"), ("blue", "merge"), ("green", "relief"))
    ]
    assert run(strip(crew=crew)).site.reached[0] is not None


def test_a_crew_whose_areas_are_all_taken_goes_home_and_the_others_finish_the_field():
    crew = [{"name": name, "people": 12, "areas": ["strip"]} for name in ("red", "blue")]
    done = run(strip(crew=crew))
    assert done.site.reached[0] is not None
    assert done.crews[1].rows_laid == 0
