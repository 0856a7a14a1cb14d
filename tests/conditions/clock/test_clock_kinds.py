"""Which clock each kind of work goes by: its shift, its light, its weather; and which kinds share one."""

import pytest
from scenarios import LEAST

from simulation.chance import Streams
from simulation.conditions import ClockPlan, Sky, WorkClock, clock_plans, make_chain, make_clocks
from simulation.scenario import load_scenario, parse_scenario

SCENARIO = 'horizon = "480 h"' + LEAST + "[weather]\n{weather}\n{more}\n"
KINDS = {"laying", "forklift", "repair", "haul", "port", "grading"}


def scenario_with(weather="", more=""):
    return parse_scenario(SCENARIO.format(weather=weather, more=more))


def clocks_of(scenario, run=0):
    return make_clocks(clock_plans(scenario), Sky(make_chain(scenario.weather), Streams(1, run)))


def test_every_kind_of_work_has_a_clock():
    assert set(clock_plans(load_scenario())) == set(clocks_of(load_scenario())) == KINDS


def test_kinds_that_go_by_the_same_plan_share_a_clock_and_others_do_not():
    clocks = clocks_of(scenario_with())
    assert clocks["laying"] is clocks["forklift"]  # both stop in the rain
    assert clocks["haul"] is clocks["repair"]  # neither does
    assert len({id(clock) for clock in clocks.values()}) == 3  # grading waits for the ground to dry as well
    own = clocks_of(scenario_with(more='[shifts.forklift]\nhours = ["05:00-19:00"]'))
    assert own["laying"] is not own["forklift"]
    assert own["haul"] is not own["repair"]


def test_a_shared_clock_tells_what_one_of_ones_own_would():
    scenario = load_scenario()
    plans, shared = clock_plans(scenario), clocks_of(scenario, 7)
    for kind, plan in plans.items():
        own = WorkClock(plan, Sky(make_chain(scenario.weather), Streams(1, 7)))
        asked = [(3.0 * n, 0.7 * n) for n in range(1, 60)]
        assert [shared[kind].finish(*one) for one in asked] == pytest.approx([own.finish(*one) for one in asked])


def test_the_hours_between_two_moments_are_to_the_bit_those_to_the_later_less_those_to_the_earlier():
    for clock in clocks_of(load_scenario(), 7).values():
        last = clock.laid_out(500.0).times[-1]
        for start, span in ((3.1 * n, 0.37 * n) for n in range(80)):
            for end in (start, start + 0.001 * span, start + span, start - 0.5 * span, last, last + span):
                assert clock.worked(start, end) == clock.worked_to(end) - clock.worked_to(start)


def test_a_kind_of_work_keeps_its_own_shift_where_it_has_one_and_repair_keeps_the_forklifts():
    more = '[shifts.forklift]\nhours = ["05:00-19:00"]\n[shifts.haul]\nhours = ["00:00-24:00"]'
    clocks = clocks_of(scenario_with('model = "none"', more))
    hours = {kind: clock.worked(0.0, 240.0) for kind, clock in clocks.items()}  # start is 6 in the morning
    assert hours == pytest.approx({"laying": 110, "forklift": 140, "repair": 140, "haul": 240, "port": 240, "grading": 110})


def test_rain_stops_only_the_work_that_the_scenario_names_and_never_repair():
    plans = clock_plans(scenario_with('rain_stops = ["haul", "grading"]\ndrying = "7 h"'))
    assert {kind for kind, plan in plans.items() if plan.rain} == {"haul", "port", "grading"}
    assert {kind: plan.drying for kind, plan in plans.items() if plan.drying} == {"grading": 7.0}


@pytest.mark.parametrize("weather", ['model = "none"', "rain_stops = []"])
def test_in_dry_weather_or_where_nothing_minds_it_no_clock_knows_rain_or_mud(weather):
    for plan in clock_plans(scenario_with(weather)).values():
        assert (plan.rain, plan.drying) == (False, 0.0)


def test_the_shipped_scenario_loses_hours_to_night_rain_and_mud_and_the_rest_is_work():
    scenario = load_scenario()
    clocks = clocks_of(scenario, 3)
    for kind, causes in (
        ("laying", {"off shift", "rain"}),
        ("grading", {"off shift", "rain", "wet ground"}),
        ("haul", {"off shift"}),
    ):
        lost = clocks[kind].losses(0.0, 2000.0)
        assert set(lost) - {"dark"} == causes
        assert clocks[kind].worked(0.0, 2000.0) + sum(lost.values()) == pytest.approx(2000.0, abs=1e-8)


def test_plans_are_plain_and_compare_by_value():
    assert ClockPlan(((0.0, 1.0, 1.0, None),)) == ClockPlan(((0.0, 1.0, 1.0, None),))
    assert clock_plans(load_scenario()) == clock_plans(load_scenario())


def test_plans_that_keep_the_same_hours_share_one_calendar_and_others_have_their_own():
    site = '[site]\nlatitude = 31.4\nlongitude = -30.0\nutc_offset = "-2 h"\n'
    others = ('[mat]\nmass = "150 lb"', '[shifts.all]\nhours = ["05:00-20:00"]')
    first, same, longer = (clock_plans(scenario_with(more=site + more))["laying"].calendar for more in ("", *others))
    assert first is same
    assert first != longer
