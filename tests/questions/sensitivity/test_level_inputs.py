"""Which levels are one input, and how a planner would write their values."""

import pytest
from fields import summing
from scipy.stats import beta

from simulation.construction import compile_plan
from simulation.questions.sensitivity.level_inputs import HIGH, LOW, find_unit, list_inputs, partly_shared
from simulation.scenario import Change, load_scenario, vary

RANGE = {"p10": "20 min", "p90": "80 min"}


def inputs(scenario):
    return list_inputs(scenario, compile_plan(scenario))


def test_a_level_that_is_known_is_no_input():
    assert inputs(summing()) == ()
    (one,) = inputs(summing(place=RANGE, pick_up={"mean": "5 min", "scatter": 0.4}))
    assert (one.name, one.keys, one.column) == ("laying.place", ("laying.place",), "level.laying.place")


def test_levels_of_grading_are_inputs_only_where_there_is_ground_to_grade():
    without = vary(load_scenario(), [Change("grading.done", "1.0")])
    graded, ready = ({one.name for one in inputs(some)} for some in (load_scenario(), without))
    assert graded - ready == {"grading.rate", "grading.trench", "grading.efficiency"}
    assert ready < graded


def test_levels_that_share_a_name_fully_are_one_input():
    shared = {**RANGE, "shared_by": "crews"}
    (one,) = inputs(summing(place=shared, pick_up=shared))
    assert (one.name, one.keys) == ("crews", ("laying.pick_up", "laying.place"))
    assert one.label(LOW) == "20 min, 20 min"


def test_levels_that_share_a_name_in_part_are_inputs_of_their_own_and_said_to_move_together():
    shared = {**RANGE, "shared_by": {"name": "crews", "correlation": 0.5}}
    found = inputs(summing(place=shared, pick_up=shared, starter=RANGE))
    assert [one.name for one in found] == ["laying.pick_up", "laying.place", "laying.starter_key_strip"]
    assert partly_shared(found) == ("laying.pick_up", "laying.place")


def test_a_name_that_one_level_alone_bears_is_no_group():
    (one,) = inputs(summing(place={**RANGE, "shared_by": "crews"}))
    assert one.name == "laying.place"
    assert partly_shared((one,)) == ()


def test_values_stand_in_the_units_of_the_planner_or_of_the_default():
    found = {one.name: one for one in inputs(load_scenario())}
    assert found["crews"].label(LOW) == "15 s, 30 s"
    assert found["forklifts.breakdown_every"].label(HIGH) == "160 h"
    assert found["grading.rate"].label(LOW) == "5000 ft**2/h"
    assert found["laying.starter_key_strip"].label(HIGH) == "75 min"  # not written: the default's unit
    assert found["supply.trucks.1.return"].label(LOW) == "40 min"
    share = load_scenario().laying.efficiency.level
    wide = share.high - share.low
    rising, falling = 1 + 4 * (share.mode - share.low) / wide, 1 + 4 * (share.high - share.mode) / wide
    tenth = share.low + wide * beta(rising, falling).ppf(0.1)
    assert float(found["laying.efficiency"].label(LOW)) == pytest.approx(tenth, abs=5e-4)
    assert find_unit(load_scenario(), "laying.lock").name == "s"


def test_the_unit_follows_a_change_of_the_scenario():
    scenario = vary(load_scenario(), [Change("grading.rate", '{ p10 = "500 m**2/h", p90 = "800 m**2/h" }')])
    assert {one.name: one for one in inputs(scenario)}["grading.rate"].label(LOW) == "500 m**2/h"


def test_records_are_shown_in_their_unit(tmp_path):
    (tmp_path / "jobs.csv").write_text("hours\n1\n2\n3\n4\n", encoding="utf-8")
    text = load_scenario().source.text.replace(
        'load = { p10 = "40 min", p90 = "80 min", scatter = 0.3 }', 'load = { data = "jobs.csv", column = "hours", unit = "h" }'
    )
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    load = {one.name: one for one in inputs(load_scenario(tmp_path / "own.toml"))}["supply.trucks.1.load"]
    assert (load.label(LOW), load.label(HIGH)) == ("1 h", "4 h")


def test_a_fixed_level_keeps_its_value_to_nine_digits_and_its_scatter():
    scenario = summing(
        place={"p10": "17 s", "p90": "71 s", "scatter": "erlang-2"}, starter={"low": "1 h", "mode": "2 h", "high": "7 h"}
    )
    for one in inputs(scenario):
        varied = vary(scenario, one.fixed_at(one.at(HIGH)))
        (level,) = [level for level in compile_plan(varied).levels if level.key == one.name]
        assert level.level.value == pytest.approx(one.at(HIGH)[0], rel=1e-9)
        assert compile_plan(varied).scatters == compile_plan(scenario).scatters
        assert one.name not in {other.name for other in inputs(varied)}
