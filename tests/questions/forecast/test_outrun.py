"""Runs that their horizon outran: what is left, what is not there for it, who waits for what, and what held it up."""

import math

import pandas as pd
import pytest
from hypothesis import given
from scenarios import make_scenario, strip
from small_runs import examples, run, scenarios

from simulation import RunContext, forecast
from simulation.construction.plan.steps import END, KIND, NUMBER, ROW
from simulation.construction.trace.record import columns, make_record
from simulation.questions.forecast.outrun import summarise_unfinished
from simulation.questions.forecast.outrun_sentences import say_not_laid, say_outrun

LONG = [{"name": "strip", "length": "900 ft", "width": "72 ft"}]


def short(days, **changes):
    top = {"starts": "2031-04-02T06:00:00", "horizon": f"{days} day"}
    return run(strip(area=LONG, top=top, **changes))


def told(done):
    record = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    causes: dict[str, float] = {}
    for name, hours in record.items():
        if name.startswith("cause.") and hours:
            cause = name.split(".", 2)[2]
            causes[cause] = causes.get(cause, 0.0) + hours
    assert math.fsum(causes.values()) == pytest.approx(done.site.plan.horizon, abs=1e-6)
    return causes, summarise_unfinished(pd.DataFrame([record]), done.site.plan.milestones[done.site.plan.ready].name)


def test_with_mats_on_hand_and_too_short_a_horizon_the_crew_itself_held_it_up():
    causes, found = told(short(1, supply={"on_hand": 300}, laying={"efficiency": 0.1}))
    assert causes["laying rows"] > 23.0
    assert found.full > 0 == found.full_lacking == found.half_lacking and not found.waits
    assert "rows are being laid" in say_not_laid(found)[0]


def test_flights_every_ten_days_leave_the_crew_waiting_and_say_how_many_mats_are_not_there():
    flights = [{"pallets": 18, "first": "10 h", "every": "240 h"}]
    done = short(20, supply={"on_hand": 20, "total": 240}, supply__flights=flights)
    causes, found = told(done)
    assert causes == {"waiting for the next flight": pytest.approx(480.0)}
    assert found.waits == (("full mats", 1.0),)
    assert found.to_come == 240 - 20 - 36  # those of two flights have landed
    rows = max(step[NUMBER] for step in done.site.trace if step[KIND] == ROW and step[END] <= 480.0)
    edge = done.site.edges[0]
    assert found.full == sum(edge.full[rows:])
    on_site = 56 * done.stock.full - sum(edge.full[:rows])
    assert found.full_lacking == found.full - on_site
    first, second = say_not_laid(found)
    assert first.endswith("laying edges wait for full mats.")
    assert "184 pallets have not arrived yet" in second


def test_slow_trucks_share_the_time_with_their_nights():
    truck = {"count": 1, "pallets": 2, "load": "4 h", "haul": "10 h", "return": "10 h"}
    by_day = {"hours": ["06:00-16:00"]}
    causes, found = told(short(20, supply={"on_hand": 20, "total": 240}, supply__trucks=[truck], shifts__all=by_day))
    assert causes["off shift, trucks"] == pytest.approx(280.0)
    assert causes["haul"] + causes["trucks returning"] + causes["loading at the port"] > 150.0
    assert found.waits == (("full mats", 1.0),)


def test_ground_that_is_graded_too_slowly_is_what_is_waited_for():
    causes, found = told(short(19.9, grading={"done": 0.1, "rate": "60 ft**2/h"}, supply={"on_hand": 300}))
    assert causes == {"grading": pytest.approx(477.6)}
    assert found.waits == (("graded ground", 1.0),)
    assert say_not_laid(found)[1].startswith("The mats for the rest are on site")


def test_a_run_that_was_ready_has_nothing_left():
    done = run(strip())
    record = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    assert not any(number for name, number in record.items() if name.startswith("left."))
    assert summarise_unfinished(pd.DataFrame([record]), done.site.plan.milestones[0].name) is None


@given(scenarios(horizon="1 day"))
@examples(40)
def test_whatever_was_under_way_at_the_horizon_the_causes_sum_to_it(text):
    done = run(text)
    if done.site.reached[done.site.plan.ready] is None:
        told(done)


def test_windows_that_close_every_hour_are_named_as_what_laying_waits_for():
    flying = {"from": "first use", "windows": ["00:00-24:00"]}
    milestones = [
        {"name": "first use", "usable": {"area": "strip", "length": "60 ft"}, "closing": "0 h"},
        {"name": "whole", "areas": ["strip"], "ready": True},
    ]
    fields = strip(area=LONG, supply={"on_hand": 300}, milestone=milestones, flying=flying)
    answer = forecast(make_scenario(fields), RunContext(runs=2, workers=1))
    assert answer.unfinished == 2
    (line, *_) = say_outrun(answer)
    assert line.endswith("strip is flown from, and its windows leave the crews no hour to lay there.")
