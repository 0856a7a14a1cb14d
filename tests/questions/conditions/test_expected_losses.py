"""What is expected to be lost before anything is built: of each kind of work, month by month, and by which weather."""

import itertools
import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import SHIFTED

from simulation import run_once
from simulation.questions.conditions.answer import works_table
from simulation.questions.conditions.season_hours import draw_hours
from simulation.questions.conditions.sentences import condition_lines, loss_sentence, rain_day_rule
from simulation.questions.conditions.study import expected_losses
from simulation.questions.conditions.work_lost import Estimate
from simulation.questions.conditions.workable_days import calendar_days, drawn_days
from simulation.scenario import ScenarioError, parse_scenario
from simulation.scenario.types.quantities.measures import FEET, METRIC

SLOW_AT_NIGHT = SHIFTED.replace("lighting = true }", "lighting = true, night_rate = 0.5 }")
NO_SHIFTS = SHIFTED.replace('shift = { hours = ["06:00-16:00"] }', "").replace(
    'shift = { hours = ["20:00-04:00"], lighting = true }', ""
)


@pytest.fixture(scope="module")
def found():
    return expected_losses(parse_scenario(SHIFTED), 20, work_days=5)


def by_name(found):
    return {one.work.name: one for one in found.works}


def test_each_crew_with_hours_of_its_own_is_told_of_and_who_shares_a_clock_is_told_once(found):
    assert list(by_name(found)) == ["crew sun", "crew moon", "forklifts"]
    assert list(by_name(expected_losses(parse_scenario(NO_SHIFTS), 2))) == ["laying", "laying in turns", "forklifts"]


def test_hours_at_work_and_lost_are_all_hours_and_months_sum_to_the_season(found):
    for one in found.works:
        assert one.at_work.mean + sum(hours.mean for hours in one.hours.values()) == pytest.approx(40 * 24)
        assert sum(month.hours.mean for month in one.months) == pytest.approx(one.lost_hours.mean)
        assert sum(month.usable for month in one.months) == pytest.approx(one.at_work.mean + one.lost_hours.mean)
        assert sum(days.mean for days in one.days.values()) == pytest.approx(one.lost_days.mean)
        assert one.lost_hours.p50 <= one.lost_hours.p80
        assert 0.0 <= one.workable <= 1.0


def test_a_season_is_the_weather_of_the_run_of_its_number():
    scenario = parse_scenario(SHIFTED)
    one = by_name(expected_losses(scenario, 1))["crew moon"]
    clock = run_once(scenario, 0).finished.site.clocks["crew 2"]
    lost = clock.losses(0.0, scenario.horizon)
    assert {cause: hours.mean for cause, hours in one.hours.items()} == pytest.approx(lost)
    assert one.at_work.mean == pytest.approx(clock.worked(0.0, scenario.horizon))


def test_months_may_be_asked_for_beyond_the_horizon():
    found = expected_losses(parse_scenario(SHIFTED), 2, months=3)
    assert [(month.year, month.month) for month in found.months] == [(2031, 6), (2031, 7), (2031, 8)]
    assert found.months[-1].end == 24 * (29 + 31 + 31) - 6


def test_water_is_told_of_those_whom_heat_has_rest_and_hours_of_caution_where_cold_is_written(found):
    told = by_name(found)
    # Ten hours by day, eight by night, between half a quart and one an hour; hours that are stopped whole do not count.
    for name, hours in (("crew sun", 10), ("crew moon", 8)):
        water = told[name].months[0].water
        assert 0.0 < water.mean <= hours
        assert hours / 2 <= water.p80 <= hours
    assert told["crew sun"].months[0].water.mean > told["crew moon"].months[0].water.mean
    assert told["forklifts"].months[0].water is None
    assert told["crew sun"].months[0].caution is None
    cold = expected_losses(parse_scenario(SHIFTED.replace("low = 22, high = 33", "low = -30, high = -20") + "[cold]"), 2)
    assert by_name(cold)["crew sun"].months[0].caution.mean > 50.0


def test_the_weather_says_where_it_comes_from(found):
    assert found.origin["wind"] == "[weather.wind]"
    assert "of the scenario" in found.origin["wet and dry spells"]
    assert "planning value" in found.origin["gusts"]
    assert found.recorded is None


def test_weather_of_which_nothing_is_said_is_refused():
    with pytest.raises(ScenarioError, match="wind"):
        expected_losses(parse_scenario(SHIFTED.replace('wind = { unit = "mph", mean = 14 }', "")), 2)


def test_the_calendar_shows_what_the_clock_loses(found):
    scenario = parse_scenario(SHIFTED)
    hours = draw_hours(scenario, scenario.seed, 3, "crew 1")
    assert len(hours.days) == 41 and hours.days[0][:6] == ("",) * 6 and hours.days[-1][6:] == ("",) * 18
    assert all(hours.days[day][hour] == "off shift" for day in range(1, 40) for hour in (*range(6), *range(16, 24)))
    assert {"at work", "heat", "rain"} <= hours.causes
    clock = run_once(scenario, 3).finished.site.clocks["crew 1"]
    for day, hour in itertools.product(range(1, 40), range(24)):
        cause, since = hours.days[day][hour], 24.0 * day - 6.0 + hour
        if cause != "at work":
            assert hours.shares[day][hour] == pytest.approx(clock.losses(since, since + 1.0)[cause], abs=1e-6)
        else:
            assert hours.shares[day][hour] == 1.0
    assert any(0.0 < share < 1.0 for day in hours.shares for share in day)
    lit = draw_hours(parse_scenario(SHIFTED.replace("lighting = true }", "lighting = true, night_rate = 0.8 }")), 4, 3, "crew 2")
    assert "dark" not in lit.causes and "at work" in lit.causes  # work that lights slow is work


@given(st.integers(1, 80), st.floats(0.05, 1.0))
def test_days_of_the_calendar_have_the_quantiles_of_their_own_distribution(work, chance):
    days = calendar_days(work, chance)
    assert days.mean == pytest.approx(work / chance)

    def at_most(t):  # at least `work` of t days are workable
        return 1.0 - math.fsum(math.comb(t, k) * chance**k * (1 - chance) ** (t - k) for k in range(work))

    for share, value in ((0.5, days.p50), (0.8, days.p80), (0.9, days.p90)):
        assert at_most(value) >= share - 1e-9
        assert value == work or at_most(value - 1) <= share + 1e-9


def test_drawn_days_count_days_with_hours_alone_and_know_seasons_that_are_too_short():
    there = np.array([[True, False, True, True], [True, True, True, True]])
    workable = np.array([[True, False, False, True], [False, True, True, False]])
    days = drawn_days(2, workable, there)
    assert (days.mean, days.p50, days.p90) == (3.0, 3.0, 3.0)
    short = drawn_days(3, workable, there)
    assert short.mean is None and math.isinf(short.p50)


def test_days_of_rest_are_counted_as_days_of_the_calendar_and_never_as_workable():
    # 2031-06-02 is a Monday. Dry, twelve days of 10 hours: the Sunday is no day with hours.
    text = SHIFTED.replace('shift = { hours = ["06:00-16:00"] }', 'shift = { hours = ["06:00-16:00"], rest_on = ["Sunday"] }')
    scenario = parse_scenario(text).model_copy(update={"horizon": 24.0 * 12})
    plain, rested = (
        by_name(expected_losses(one, 3, work_days=8))["crew sun"]
        for one in (parse_scenario(SHIFTED).model_copy(update={"horizon": 24.0 * 12}), scenario)
    )
    sundays = sum((scenario.starts + timedelta(days=day)).strftime("%A") == "Sunday" for day in range(12))
    assert (plain.work.rest_days, rested.work.rest_days) == (0, sundays)
    assert rested.work.rest_hours == pytest.approx(10 * sundays)
    assert plain.days_with_hours - rested.days_with_hours == pytest.approx(sundays)
    assert rested.days_without == pytest.approx(plain.days_without + sundays)
    assert rested.calendar.p50 >= rested.drawn.p50 + 1
    assert rested.hours["off shift"].mean - plain.hours["off shift"].mean == pytest.approx(10 * sundays)


def test_nobody_drinks_more_than_may_be_drunk_and_how_often_the_heat_asks_for_more_is_told():
    # A day and night of work at more than half a quart an hour asks for more than 12 quarts; two sets drink half of it each.
    scenario = parse_scenario(
        SHIFTED.replace('hours = ["06:00-16:00"]', 'hours = ["00:00-24:00"]').replace("[heat]", '[heat]\nforklift = "hard"')
        + '\n[shifts.forklift]\nhours = ["00:00-24:00"]\nlighting = true\n'
    )
    found = by_name(expected_losses(scenario, 3))
    (crew, machine) = (next(one for name, one in found.items() if word in name) for word in ("sun", "forklifts"))
    assert crew.work.sets == 1 and machine.work.sets == 2
    months = [month for month in crew.months if month.water.p50]
    assert all(month.water.p80 <= 12.0 for month in months)
    assert any(month.too_much > 0.0 for month in months)
    assert all(month.too_much == 0.0 and month.water.p80 <= 12.0 for month in machine.months)


def test_a_night_shift_belongs_to_the_day_it_begins_on_so_a_night_of_rest_is_a_day_without_hours():
    # No weather, 21 days from Monday 06:00: eight-hour nights that begin at 20:00, none of them on a Sunday.
    text = SHIFTED.replace("lighting = true }", 'lighting = true, rest_on = ["Sunday"] }')
    dry = text[: text.index("[weather]")] + '[weather]\nmodel = "none"\n'
    scenario = parse_scenario(dry).model_copy(update={"horizon": 24.0 * 21})
    night, day = (by_name(expected_losses(scenario, 2, work_days=12))[f"crew {name}"] for name in ("moon", "sun"))
    assert night.days_with_hours == 18 == 21 - night.work.rest_days
    assert night.at_work.mean == pytest.approx(18 * 8)
    # Twelve nights are two weeks but for the Sunday at their end; twelve days without a rest are twelve.
    assert (night.drawn.p50, night.calendar.p50) == (12, 13)
    assert day.calendar.p50 == 12


def test_days_drawn_and_days_apart_are_those_of_one_season():
    # June is calm and July blows a gale: five days of work lie in June, whatever comes after it.
    winds = ", ".join(["3"] * 6 + ["60"] * 6)
    calm = SHIFTED.replace("mean = 14", f"mean = [{winds}]").replace("[stops.laying]", '[stops.laying]\nwind = "25 mph"')
    calm = calm.replace("[heat]", "").replace("thunder = 0.3", "").replace('"12 h"', '"2000 h"').replace("40 day", "80 day")
    found = by_name(expected_losses(parse_scenario(calm), 20, work_days=5))
    one = found["crew sun"]
    assert one.workable < 0.7 < 0.95 < one.chance
    assert one.drawn.p80 == one.independent.p80 == 5


def test_shift_hours_are_hours_and_the_night_rate_takes_its_part_of_them():
    scenario = parse_scenario(SLOW_AT_NIGHT)
    moon = by_name(expected_losses(scenario, 2))["crew moon"]
    full = by_name(expected_losses(parse_scenario(SHIFTED), 2))["crew moon"]
    assert moon.shift_hours == pytest.approx(full.shift_hours)
    assert moon.slower_hours > 0.2 * moon.shift_hours
    assert full.slower_hours == 0.0
    months = sum(month.usable + month.slower for month in moon.months)
    assert months == pytest.approx(moon.shift_hours)
    assert f" full-pace hours that the night rate leaves of {moon.shift_hours:,.0f} from crew moon" in loss_sentence(moon)
    result = expected_losses(scenario, 2)
    table = works_table(result)
    assert table.columns[1:3] == ("shift hours", "night rate")
    assert {row[0]: row[1:3] for row in table.rows}["crew moon"] == (
        f"{moon.shift_hours:,.0f}",
        f"{moon.slower_hours:,.1f}",
    )


def test_the_headline_names_the_work_that_loses_most_beside_the_first(found):
    first, *others = found.works
    worst = replace(others[-1], lost_hours=Estimate(2e3, 2e3, 2e3), lost_days=Estimate(12.94, 13.0, 16.0))
    windy = replace(found, works=(first, worst))
    assert f"; most from forklifts: {100 * worst.share:.0f} %, 12.9 days" in condition_lines(windy, first)[0]
    assert "most from" not in condition_lines(windy, worst)[0]


def test_a_metric_file_reads_of_rain_in_millimetres_first():
    assert rain_day_rule(METRIC).startswith("rain days: 7.6 mm (0.30 in) or more")
    assert rain_day_rule(FEET).startswith("rain days: 0.30 in (7.6 mm) or more")
