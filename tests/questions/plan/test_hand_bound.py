"""No run is ready before its hand bound, take-off over the best possible rate, and a plan beyond it is never simulated."""

import numpy as np
import pytest
from fields import bound, by_crew, by_forklift
from small_runs import in_every_random_field, random_run

from simulation.construction import compile_plan
from simulation.construction.plan.steps import END
from simulation.questions.plan.hand_bound import LEVELS, bound_hours
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import best_plan
from simulation.replicate import do_runs
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext


def bounds_of(scenario, runs=2):
    """Return the bound of the first runs of a scenario, and when they are ready."""
    table = do_runs(scenario, runs, workers=1)
    ready = next(each.name for each in scenario.milestones if each.ready)
    levels = {name: table[f"level.{name}"].to_numpy() for name in LEVELS}
    return bound_hours(scenario, compile_plan(scenario), ready, levels), table[f"milestone.{ready}"].to_numpy()


@in_every_random_field
def test_no_milestone_is_reached_before_its_hand_bound(text):
    scenario, done = parse_scenario(text), random_run(text)
    levels = {name: np.array([done.site.levels[name]]) for name in LEVELS}
    for milestone, reached in zip(scenario.milestones, done.site.reached, strict=True):
        earliest = bound_hours(scenario, done.site.plan, milestone.name, levels)[0]
        assert reached is None or earliest <= reached[END] + 1e-9


def test_a_forklift_that_brings_24_pallets_in_six_minutes_each_takes_2_4_hours():
    earliest, ready = bounds_of(by_forklift())
    assert earliest == pytest.approx(2.4)
    assert ready == pytest.approx(2.4, abs=1e-3)


def test_four_teams_lay_312_mats_of_a_minute_in_78_minutes():
    # Twelve people less three of overhead and a locker are four teams; half a person more counts, so that it stays a bound.
    earliest, ready = bounds_of(by_crew({"key_strip": "0 min", "walk": "900000 mph"}))
    assert earliest == pytest.approx(312 / 60 / 4.5, rel=1e-3)
    assert ready == pytest.approx(312 / 60 / 4.0, rel=1e-2)


def test_pallets_over_a_daily_limit_take_as_many_days_less_the_last_one():
    scenario = bound(
        supply={"on_hand": 4, "total": 24, "per_day_limit": 5}, supply__flights=[{"pallets": 5, "first": "1 h", "every": "4 h"}]
    )
    earliest, ready = bounds_of(scenario)
    assert earliest == pytest.approx(24 * 3 - 6)  # 20 pallets on four days; the start is at six
    assert (ready >= earliest).all()


def test_a_plan_that_is_too_late_even_at_the_best_possible_rate_is_never_simulated():
    scenario = by_crew({"pick_up": "20 s", "place": {"p10": "30 s", "p90": "50 s"}}, crew={"people": 60})
    result = best_plan(scenario, RunContext(runs=60, workers=1), choices=read_choices(scenario, ["crew.red.people=6,8,55"]))
    assert result.search.bounded == 2
    assert {result.best.scenario.crew[0].people} <= {55, 60}
    assert len(result.search.tried) == 2
