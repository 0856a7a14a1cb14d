"""One run looked at closely, and days over all runs: they agree with the records that the forecast keeps."""

import math
from itertools import pairwise

import pytest
from drawn_fields import CASES, drawn_forecast
from scenarios import SHIFTED, strip, written

from simulation import forecast, run_once
from simulation.construction import compile_plan, simulate
from simulation.construction.trace.progress import PERCENTS
from simulation.field import take_off
from simulation.questions.forecast.days.lost_days import ABSENT, WAITING, WORKING, tabulate_lost_days
from simulation.questions.forecast.days.use_by_day import use_by_day
from simulation.questions.forecast.progress_fan import progress_fan
from simulation.questions.forecast.single_run.timeline import follow_run, read_course
from simulation.scenario import parse_scenario
from simulation.stats.quantiles import order_statistic
from simulation.study.run_context import RunContext


def record(answer, course):
    return answer.runs.set_index("run").loc[course.run_number]


@pytest.mark.parametrize("case", [case for case in CASES if case != "no spread"])
def test_the_drawn_run_is_the_one_of_the_record(case):
    answer = drawn_forecast(case)
    course = follow_run(answer)
    kept = record(answer, course)
    for name, hours in course.milestones.items():
        assert hours == kept[f"milestone.{name}"]
    for percent in PERCENTS[1:]:
        at = kept[f"progress.{percent}"]
        if math.isfinite(at):
            assert course.share(at) >= percent / 100 - 1e-12 > course.share(math.nextafter(at, 0.0)) - 1e-9


def test_it_is_the_one_closest_to_the_median():
    answer = drawn_forecast()
    hours = answer.runs["milestone.all of it"].tolist()
    assert follow_run(answer).milestones["all of it"] == order_statistic(hours, 0.5)


def test_another_run_may_be_asked_for():
    answer = drawn_forecast()
    assert follow_run(answer, 7).milestones["all of it"] == run_once(answer.scenario, 7).milestones["all of it"]


def test_a_run_in_a_hypercube_is_done_again_with_its_own_levels():
    answer = forecast(drawn_forecast().scenario, RunContext(runs=100, workers=1, sampling="lhs"))
    course = follow_run(answer)
    assert course.milestones["all of it"] == record(answer, course)["milestone.all of it"]


@pytest.mark.parametrize("case", CASES)
def test_edges_go_one_way_and_never_onto_ground_that_is_not_graded(case):
    for area in follow_run(drawn_forecast(case)).areas:
        for edge in area.edges:
            way = 1 if edge.upward else -1
            for points in (edge.laid, edge.graded, edge.strips):
                assert all(one[0] <= other[0] and way * one[1] <= way * other[1] + 1e-9 for one, other in pairwise(points))
            for at, station in edge.laid:
                ready = [front for since, front in edge.graded if since <= at + 1e-9]
                assert way * station <= way * ready[-1] + 1e-9


def test_a_finished_area_is_laid_from_end_to_end_with_its_key_strips():
    course = follow_run(drawn_forecast())
    runway, apron = course.areas
    assert [edge.laid[-1][1] for edge in runway.edges] == [0.0, 400.0]
    assert runway.starter[0][1] == 200.0
    assert runway.starter[0][0] <= min(edge.laid[0][0] for edge in runway.edges)
    assert sorted(station for edge in runway.edges for _, station in edge.strips) == [10.0, 110.0, 210.0, 310.0]
    assert apron.edges[0].laid[-1][1] == 60.0
    assert apron.crews


def test_the_edge_stands_still_while_nobody_is_on_shift():
    course = follow_run(drawn_forecast())
    for area in course.areas:
        for edge in area.edges:
            for (start, low), (end, high) in pairwise(edge.laid):
                covered = any(dusk <= start and end <= dawn for dusk, dawn in course.off)
                assert not (covered and end > start) or low == high


def test_the_fan_has_the_order_statistics_of_each_twentieth():
    runs = drawn_forecast("some unfinished").runs
    fan = progress_fan(runs)
    assert fan.percents == PERCENTS
    for values, share in ((fan.p10, 0.1), (fan.p50, 0.5), (fan.p90, 0.9)):
        assert values == tuple(order_statistic(runs[f"progress.{percent}"].tolist(), share) for percent in PERCENTS)
    assert math.isinf(fan.p90[-1])


def test_use_of_a_day_is_hours_at_work_over_workable_hours():
    answer = drawn_forecast()
    runs, found = answer.runs, use_by_day(answer.runs, answer.calendar)
    assert [(day.start, day.end) for day in found.days[:3]] == [(0.0, 18.0), (18.0, 42.0), (42.0, 66.0)]
    first = (runs["day.1.crews.working"] / runs["day.1.crews.on shift"]).tolist()
    assert found.days[0].use["crews"].middle == pytest.approx(order_statistic(first, 0.5))
    last = (runs["milestone.all of it"] > found.days[-1].start).mean()
    assert found.days[-1].runs <= last
    assert found.days[0].runs == 1.0


def test_hours_of_a_day_sum_to_the_hours_that_the_runs_were_at_it():
    for case in ("plain", "some unfinished", "late crews"):
        answer = drawn_forecast(case)
        lost = tabulate_lost_days(answer)
        ready = answer.runs[f"milestone.{answer.readiness.name}"].clip(upper=answer.scenario.horizon)
        for day, (start, end) in enumerate(pairwise(lost.borders)):
            hours = sum(each[day] for each in lost.hours.values())
            assert hours == pytest.approx((ready.clip(upper=end) - start).clip(lower=0.0).mean(), abs=1e-6)
        assert min(min(each) for each in lost.hours.values()) >= 0.0


def test_losses_are_those_of_the_clocks_of_the_runs():
    answer = drawn_forecast()
    lost = tabulate_lost_days(answer)
    rain = []
    for number, ready in zip(answer.runs["run"], answer.runs["milestone.all of it"], strict=True):
        clock = run_once(answer.scenario, number).finished.site.clocks["laying"]
        rain.append(clock.losses(0.0, ready).get("rain", 0.0))
    assert lost.total("rain") == pytest.approx(sum(rain) / len(rain))
    assert lost.total("rain") > 0.0


def test_waiting_is_what_the_crews_of_the_record_did_not_work_on_shift():
    answer = drawn_forecast()
    runs, lost = answer.runs, tabulate_lost_days(answer)
    on_shift = sum(runs[f"use.crew {name}.on shift"] for name in ("red", "blue")).mean() / 2
    working = sum(runs[f"use.crew {name}.working"] for name in ("red", "blue")).mean() / 2
    assert lost.total(WORKING) == pytest.approx(working)
    assert lost.total(WAITING) == pytest.approx(on_shift - working)
    assert lost.total(ABSENT) == 0.0


def test_only_so_many_runs_are_read():
    lost = tabulate_lost_days(drawn_forecast(), most=4)
    assert lost.runs == 4
    alone = drawn_forecast().runs.head(4)
    assert lost.total(WORKING) == pytest.approx(sum(alone[f"use.crew {name}.working"].mean() for name in ("red", "blue")) / 2)


def shifted(case=SHIFTED):
    return forecast(parse_scenario(case), RunContext(runs=12, workers=1))


def test_each_crew_loses_by_its_own_clock_thunder_and_heat_among_it():
    answer = shifted()
    lost = tabulate_lost_days(answer)
    sums = dict.fromkeys(("off shift", "lightning", "heat", "wind", "rain"), 0.0)
    for number, ready in zip(answer.runs["run"], answer.runs["milestone.operational readiness"], strict=True):
        site = run_once(answer.scenario, number).finished.site
        for crew in site.plan.crews:
            for cause, hours in site.clocks[crew.clock].losses(0.0, ready).items():
                sums[cause] += hours / 2 / len(answer.runs)
    assert {cause: lost.total(cause) for cause in sums} == pytest.approx(sums)
    assert min(sums.values()) > 0.0
    for day, (start, end) in enumerate(pairwise(lost.borders)):
        until = answer.runs["milestone.operational readiness"].clip(upper=end) - start
        assert sum(each[day] for each in lost.hours.values()) == pytest.approx(until.clip(lower=0.0).mean(), abs=1e-6)


def test_work_past_the_end_of_hours_is_no_wait_below_zero():
    answer = shifted(SHIFTED + '[laying]\nfinish_rows = "2 h"\nefficiency = 0.1\n')
    lost = tabulate_lost_days(answer)
    assert min(min(each) for each in lost.hours.values()) >= 0.0
    for day, (start, end) in enumerate(pairwise(lost.borders)):
        until = answer.runs["milestone.operational readiness"].clip(upper=end) - start
        assert sum(each[day] for each in lost.hours.values()) == pytest.approx(until.clip(lower=0.0).mean(), abs=1e-6)


def test_the_edge_goes_on_at_night_where_a_crew_lays_then():
    course = follow_run(shifted())
    (edge,) = course.areas[0].edges
    # Start is six in the morning: the night crew is on from hour 14 to 22 of each day, and nobody from 10 to 14.
    night = [high - low for (start, low), (end, high) in pairwise(edge.laid) if start % 24 >= 14 and end % 24 <= 22]
    assert sum(night) > 0.0
    assert course.off[0] == (10.0, 14.0)
    assert all(min(end, 24.0 * day + 22) <= max(start, 24.0 * day + 14) for day in range(40) for start, end in course.off)
    assert course.rain_stops


def test_a_key_strip_that_is_handed_over_half_set_is_one_key_strip():
    day = {"hours": ["06:00-18:00"], "lighting": True}
    night = {"hours": ["18:00-06:00"], "lighting": True}
    crews = [
        {"name": name, "people": 12, "areas": ["strip"], "shift": shift, "second_crew": "relief"}
        for name, shift in (("red", day), ("blue", night))
    ]
    area = [{"name": "strip", "length": "300 ft", "width": "72 ft", "key_strips_every": "20 ft"}]
    tables = strip(area=area, crew=crews, supply={"on_hand": 400}, laying={"efficiency": 0.2, "key_strip": "5 h"})
    scenario = parse_scenario(written(tables))
    (edge,) = read_course(scenario, simulate(compile_plan(scenario), 0), 0).areas[0].edges
    steps = run_once(scenario, run_number=0).steps
    parts = steps[steps["work"] == "key strips"]
    assert len(parts) > parts["number"].nunique()  # some are handed over
    assert len(edge.strips) == parts["number"].nunique() == take_off(scenario).total("key_strips")
    assert [end for end, _ in edge.strips] == parts.groupby("number")["end"].max().to_list()
