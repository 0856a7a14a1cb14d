"""Builds that their horizon outran: what is left, what is not there for it, who waits for what, and what held it up."""

import math

import pandas as pd
import pytest
from hypothesis import given
from small_scenarios import build, examples, scenarios, strip

from simulation.construction.plan.steps import END, KIND, NUMBER, ROW
from simulation.construction.trace.record import columns, record_of
from simulation.questions.forecast.outrun import outrun_of
from simulation.questions.forecast.outrun_words import outrun_lines

LONG = [{"name": "strip", "length": "900 ft", "width": "72 ft"}]


def short(days, **changes):
    top = {"starts": "2031-04-02T06:00:00", "horizon": f"{days} day"}
    return build(strip(area=LONG, top=top, **changes))


def told(done):
    record = dict(zip(columns(done.site.plan), record_of(done), strict=True))
    drivers: dict[str, float] = {}
    for name, hours in record.items():
        if name.startswith("driver.") and hours:
            cause = name.split(".", 2)[2]
            drivers[cause] = drivers.get(cause, 0.0) + hours
    assert math.fsum(drivers.values()) == pytest.approx(done.site.plan.horizon, abs=1e-6)
    return drivers, outrun_of(pd.DataFrame([record]), done.site.plan.milestones[done.site.plan.ready].name)


def test_with_mats_on_hand_and_too_short_a_horizon_the_crew_itself_held_it_up():
    drivers, found = told(short(1, supply={"on_hand": 300}, laying={"efficiency": 0.1}))
    assert drivers["laying rows"] > 23.0
    assert found.full > 0 == found.full_lacking == found.half_lacking and not found.waits
    assert "rows are being laid" in outrun_lines(found)[0]


def test_flights_every_ten_days_leave_the_crew_waiting_and_say_how_many_mats_are_not_there():
    flights = [{"pallets": 18, "first": "10 h", "every": "240 h"}]
    done = short(20, supply={"on_hand": 20, "total": 240}, supply__flights=flights)
    drivers, found = told(done)
    assert drivers == {"timetable": pytest.approx(480.0)}
    assert found.waits == (("full mats", 1.0),)
    assert found.to_come == 240 - 20 - 36  # those of two flights have landed
    rows = max(step[NUMBER] for step in done.site.trace if step[KIND] == ROW and step[END] <= 480.0)
    face = done.site.faces[0]
    assert found.full == sum(face.full[rows:])
    on_site = 56 * done.stock.full - sum(face.full[:rows])
    assert found.full_lacking == found.full - on_site
    first, second = outrun_lines(found)
    assert first.endswith("faces wait for full mats.")
    assert "184 pallets are still to come" in second


def test_slow_trucks_share_the_time_with_their_nights():
    truck = {"count": 1, "pallets": 2, "load": "4 h", "haul": "10 h", "return": "10 h"}
    by_day = {"hours": ["06:00-16:00"]}
    drivers, found = told(short(20, supply={"on_hand": 20, "total": 240}, supply__trucks=[truck], shifts__all=by_day))
    assert drivers["off shift, trucks"] == pytest.approx(280.0)
    assert drivers["haul"] + drivers["trucks' way back"] + drivers["loading at the port"] > 150.0
    assert found.waits == (("full mats", 1.0),)


def test_ground_that_is_graded_too_slowly_is_what_is_waited_for():
    drivers, found = told(short(19.9, grading={"done": 0.1, "rate": "60 ft**2/h"}, supply={"on_hand": 300}))
    assert drivers == {"grading": pytest.approx(477.6)}
    assert found.waits == (("graded ground", 1.0),)
    assert outrun_lines(found)[1].startswith("The mats for the rest are on site")


def test_a_build_that_was_ready_has_nothing_left():
    done = build(strip())
    record = dict(zip(columns(done.site.plan), record_of(done), strict=True))
    assert not any(number for name, number in record.items() if name.startswith("left."))
    assert outrun_of(pd.DataFrame([record]), done.site.plan.milestones[0].name) is None
    assert outrun_lines(None) == []


@given(scenarios(horizon="1 day"))
@examples(40)
def test_whatever_was_under_way_at_the_horizon_the_causes_sum_to_it(text):
    done = build(text)
    if done.site.reached[done.site.plan.ready] is None:
        told(done)
