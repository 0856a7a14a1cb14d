"""The JSON object that other programs read: its keys are a contract."""

import json
import math

import pytest
from invented_runs import invented_runs, invented_scenario

from simulation.present.renderers.record import answer_record, as_json
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.reading import read_runs
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline

SCENARIO = invented_scenario()


def summary(count=200, deadline=None, **how):
    limit = read_deadline(deadline, make_calendar(SCENARIO)) if deadline else None
    found = forecast_answer(read_runs(SCENARIO, invented_runs(SCENARIO, count, **how), 7, 250, limit))
    whole = json.loads(as_json(answer_record(found)))
    assert (whole["schema"], whole["question"], whole["scenario"]) == (1, "forecast", "Invented strip")
    return whole["answer"]


def test_the_keys_of_the_contract_are_there():
    found = summary()
    assert {"runs", "seed", "unfinished", "milestones", "causes", "use"} <= set(found)
    assert (found["runs"], found["asked"], found["seed"]) == (200, 250, 7)
    for milestone in found["milestones"]:
        assert {"name", "ready", "mean_days", "sd_days"} <= set(milestone)
        assert {f"p{q}_days" for q in (10, 50, 80, 90, 95)} <= set(milestone)
        for q in (50, 80, 90):
            low, high = milestone[f"p{q}_interval_days"]
            assert low <= milestone[f"p{q}_days"] <= high
            assert "shift" in milestone[f"p{q}_date"]
            assert milestone[f"p{q}"]["days"] == milestone[f"p{q}_days"]
            assert milestone[f"p{q}"]["interval_days"] == [low, high]
            assert milestone[f"p{q}_moment"].startswith(milestone[f"p{q}"]["date"])
    assert sum(cause_of_time["share"] for cause_of_time in found["causes"]) == pytest.approx(1.0)
    assert {"cause", "hours", "share"} <= set(found["causes"][0])
    assert {one["actor"] for one in found["use"]} == {"crew red", "crew blue.2", "forklifts"}


def test_days_are_hours_over_24_and_nothing_is_rounded():
    runs = invented_runs(SCENARIO, 200)
    ready = summary()["milestones"][1]
    assert ready["p80_days"] == sorted(runs["milestone.operational readiness"])[159] / 24.0
    assert ready["mean_days"] == pytest.approx(runs["milestone.operational readiness"].mean() / 24.0, rel=1e-14)


def test_what_is_not_known_is_null():
    ready = summary(unfinished=0.15)["milestones"][1]
    assert ready["mean_days"] is None
    assert ready["sd_days"] is None
    assert ready["p80_days"] is not None
    assert ready["p90_days"] is None
    assert ready["p90_interval_days"][1] is None
    assert ready["p90_date"] is None
    few = summary(5)["milestones"][1]
    assert few["p90_interval_days"][1] is None
    nothing = summary(10, unfinished=1.0)
    assert nothing["yardsticks"]["median_days"] is None
    assert nothing["causes"] == []


def test_a_deadline_has_number_interval_and_word():
    assert summary()["deadline"] is None
    found = summary(deadline="8 d")["deadline"]
    runs = invented_runs(SCENARIO, 200)
    chance = found["chance"]
    assert chance["share"] == (runs["milestone.operational readiness"] <= 192).mean()
    low, high = chance["interval"]
    assert low < chance["share"] < high
    assert "Clopper" in chance["method"]
    assert found["likelihood"] == chance["words"] == "likely"
    assert found["moment"] == "2031-04-10T06:00"


def test_what_the_intervals_do_not_cover_is_said():
    assert "does not cover wrong inputs or a wrong model" in summary()["interval_covers"]


def test_a_number_that_json_does_not_know_is_refused():
    with pytest.raises(ValueError, match="not JSON compliant"):
        as_json({"p90_days": math.inf})
