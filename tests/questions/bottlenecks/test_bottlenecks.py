"""What binds a field is named, and what one more of it would buy is what a pencil says."""

from dataclasses import replace

import pytest
from fields import bound, by_crew, by_forklift, by_haul, by_rain

from simulation.questions.bottlenecks.idea import Kind
from simulation.questions.bottlenecks.sentences import bottleneck_lines, warning_lines
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.questions.compare.sentences import how_read
from simulation.questions.compare.study import compare
from simulation.questions.forecast.study import forecast
from simulation.questions.slip.study import slip
from simulation.scenario import Change, vary
from simulation.stats.quantiles import order_statistic
from simulation.study.changes.trials import try_changes
from simulation.study.outcomes import summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished

RUNS = 20
ABOUT = {"abs": 1e-3}  # what is next to nothing is not nothing


def gains(found):
    return {one.trial.name: one.earlier_p80 for one in found.rows}


def named(found, name):
    return next(one for one in found.rows if one.trial.name == name)


def test_where_one_forklift_feeds_the_edge_a_second_takes_half_of_its_trips():
    found = bottlenecks(by_forklift(), RunContext(runs=RUNS, workers=1, deadline="2 h"))
    first = found.leading.holders[0]
    assert (first.name, first.causes[0].name) == ("forklifts", "forklift trips")
    assert first.leads.probability == 1.0
    assert found.outcome.p80.value == pytest.approx(2.4, **ABOUT)
    best = found.rows[0]
    assert best.trial.name == "one more forklift"
    for change in (-best.against.p50, best.earlier_p80, best.earlier_mean):
        assert (change.value, change.low, change.high) == pytest.approx((1.2, 1.2, 1.2), **ABOUT)
        assert change.measurable
    assert (found.outcome.chance.probability, best.outcome.chance.probability, best.against.chance.value) == (0.0, 1.0, 1.0)
    assert found.best(Kind.MORE) is best
    said = " ".join(bottleneck_lines(found))
    assert said.startswith(
        "Forklifts hold the job up most: the main cause in 20 of 20 runs; most useful: one more forklift, 1.2 hours earlier."
    )
    assert "The most useful addition is one more forklift: the 80 % date moves 1.2 hours earlier" in said
    assert "ready by 2 h: in 20 of 20 runs instead of 0, +100 points" in said
    assert "; it takes 2 more people on site." in said  # it is driven day and night, by two in turn


def test_beside_a_truck_that_brings_all_a_second_takes_half_its_trips_and_a_shorter_way_a_tenth():
    found = bottlenecks(by_haul(), RunContext(runs=RUNS, workers=1))
    first = found.leading.holders[0]
    assert (first.name, first.causes[0].name, first.leads.probability) == ("supply", "haul", 1.0)
    assert found.outcome.p80.value == pytest.approx(4 * 3 + 3 * 1.5, **ABOUT)
    assert found.rows[0].trial.name == "one more truck"
    assert gains(found)["one more truck"].value == pytest.approx(2 * (3 + 1.5), **ABOUT)
    assert gains(found)["haul 10 % shorter both ways"].value == pytest.approx(0.1 * (4 * 2 + 3 * 1.5), **ABOUT)
    assert gains(found)["one more forklift"].value == pytest.approx(0.0, **ABOUT)


def test_where_the_crew_binds_a_tenth_of_each_of_its_times_is_what_is_bought():
    found = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1))
    first = found.leading.holders[0]
    assert (first.name, first.causes[0].name, first.leads.probability) == ("crews", "laying rows", 1.0)
    assert gains(found)["placing 10 % quicker"].value == pytest.approx(0.1 * 312 * 40 / 4 / 3600, **ABOUT)
    assert gains(found)["carrying 10 % quicker"].value == pytest.approx(0.1 * 312 * 20 / 4 / 3600, **ABOUT)
    assert gains(found)["key strips 10 % quicker"].value == pytest.approx(0.1 * 0.25, **ABOUT)
    # Ten more people make nine teams of the four.
    assert gains(found)["10 more people in the crews"].value == pytest.approx(312 * 60 / 3600 * (1 / 4 - 1 / 9), **ABOUT)
    assert named(found, "one more crew of 12 like red").identical  # one laying edge, one crew at it
    assert named(found, "one more forklift").identical


def test_a_second_crew_lays_the_other_half_of_a_strip_that_begins_in_the_middle():
    found = bottlenecks(
        by_crew({"key_strip": "0 s"}, area={"start": "centre-out"}, crew={"people": 30}), RunContext(runs=RUNS, workers=1)
    )
    assert found.rows[0].trial.name == "one more crew of 30 like red"
    assert gains(found)["one more crew of 30 like red"].value == pytest.approx(156 * 60 / 13 / 3600, **ABOUT)
    # Ten more people in the only crew make 18 teams of its 13, for all 312 mats.
    people = 312 * 60 / 3600 * (1 / 13 - 1 / 18)
    assert gains(found)["10 more people in the crews"].value == pytest.approx(people, **ABOUT)


def test_a_second_crew_that_waits_for_the_same_forklift_buys_nothing():
    found = bottlenecks(
        bound(area={"start": "centre-out"}, forklifts={"count": 1, "handle": "3 min"}), RunContext(runs=RUNS, workers=1)
    )
    assert gains(found)["one more crew of 12 like red"].value < 1e-3
    assert gains(found)["one more forklift"].value == pytest.approx(1.2, **ABOUT)


def test_where_rain_binds_the_hours_of_rain_are_what_a_dry_season_would_buy():
    found = bottlenecks(by_rain(), RunContext(runs=100, workers=1))
    first = found.leading.holders[0]
    assert (first.name, first.causes[0].name) == ("weather", "rain")
    assert first.leads.probability > 0.4
    assert found.rows[0].trial.name == "no rain"
    dry = 312 * 60 / 4 / 3600
    best = found.rows[0]
    assert best.outcome.hours == pytest.approx((dry,) * best.runs, **ABOUT)
    # Its date is that of its own runs, which are fewer than those of the scenario as it is and have nothing of what more or less
    # rain the others had; its change is what the two dates differ by.
    assert best.earlier_p80.value == pytest.approx(order_statistic(found.outcome.hours, 0.8) - dry, **ABOUT)
    assert best.outcome.p80.value == pytest.approx(dry, **ABOUT)
    few = sum(hours - dry for hours in found.outcome.hours[: best.runs]) / best.runs
    assert best.earlier_mean.value == pytest.approx(few, **ABOUT)
    gain = found.rows[0].earlier_p80.value
    assert f"with no rain the 80 % date moves {gain:.1f} hours earlier" in " ".join(bottleneck_lines(found))


def test_on_a_edge_that_is_full_more_people_buy_nothing_and_it_is_said():
    # One row at a time takes all its mats one after the other, whoever stands by.
    found = bottlenecks(by_crew({"rows_in_work": 1}, crew={"people": 40}), RunContext(runs=RUNS, workers=1))
    people = named(found, "10 more people in the crews")
    assert people.identical
    assert not people.earlier_p80.measurable
    assert (
        "10 more people in the crews make no difference: every run of 20 is ready at the same hour as before."
        in bottleneck_lines(found)
    )
    assert gains(found)["placing 10 % quicker"].value == pytest.approx(0.1 * 312 * 40 / 3600, **ABOUT)


def test_the_hours_by_who_holds_it_up_sum_to_the_mean_time_and_so_do_the_thirds():
    found = bottlenecks(by_rain(), RunContext(runs=50, workers=1))
    leading = found.leading
    assert leading.hours == pytest.approx(sum(found.outcome.hours) / 50)
    everyone = [*leading.holders, *([leading.calendar] if leading.calendar else [])]
    for one in everyone:
        assert sum(one.thirds.values()) == pytest.approx(one.hours)
        assert sum(cause.hours for cause in one.causes) == pytest.approx(one.hours)
    for third in ("early", "middle", "late"):
        assert sum(one.thirds[third] for one in everyone) == pytest.approx(leading.hours / 3)
        assert sum(one.leads_by_third[third].count for one in leading.holders) == 50
    assert sum(one.leads.count for one in leading.holders) == 50


def test_what_is_kept_is_not_done_again_and_gives_the_same_numbers(tmp_path):
    said = []
    first = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1, folder=tmp_path, tell=said.append))
    again = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1, folder=tmp_path, tell=said.append))
    to_do = [line for line in said if line.startswith("to do")]
    assert to_do == [f"to do: {RUNS * (1 + len(first.rows))} runs, a few seconds"]
    assert [one.outcome.hours for one in first.rows] == [one.outcome.hours for one in again.rows]
    assert again.leading == first.leading


def test_one_progress_counts_every_run_of_the_question():
    told = []
    found = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1, progress=lambda *counts: told.append(counts)))
    whole = RUNS * (1 + len(found.rows))
    assert told[-1] == (whole, whole)
    assert {expected for _, expected in told} == {whole}


def test_a_stop_leaves_what_was_tried_by_then(tmp_path):
    def stop(done, _):
        if done > 3 * RUNS:
            raise KeyboardInterrupt

    found = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1, progress=stop, folder=tmp_path))
    assert found.stopped == "stopped early"
    assert found.runs == RUNS
    assert 0 < len(found.rows) < found.not_reached
    assert any(line.startswith("Stopped early") for line in warning_lines(found))
    whole = bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1, folder=tmp_path))
    assert not whole.stopped and not whole.not_reached
    named_once = {one.trial.name: one.outcome.hours for one in whole.rows}
    assert all(named_once[one.trial.name] == one.outcome.hours for one in found.rows)


def test_stopped_before_the_first_run_there_is_nothing_to_report(monkeypatch):
    from simulation.replicate.runs import Runs

    def stop(self, batch):
        raise KeyboardInterrupt

    monkeypatch.setattr(Runs, "keep", stop)
    with pytest.raises(NothingFinished):
        bottlenecks(by_crew(), RunContext(runs=RUNS, workers=1))


@pytest.mark.parametrize("run_count", [0, -1, 100_001])
def test_a_number_of_runs_out_of_range_is_refused(run_count):
    with pytest.raises(ValueError, match="runs"):
        bottlenecks(by_crew(), RunContext(runs=run_count))


def test_runs_that_another_question_has_kept_change_no_answer_and_a_brief_reads_the_plan_from_its_forecast(tmp_path):
    scenario = by_crew({"place": {"p10": "20 s", "p90": "90 s"}})
    plans = [("as written", scenario), ("other", vary(scenario, [Change("forklifts.count", "3")]))]
    context = RunContext(runs=20, workers=1, deadline="10 h", folder=tmp_path)
    ways = [lambda: bottlenecks(scenario, context), lambda: compare(plans, context), lambda: slip(scenario, context)]
    alone, compared, late = (ask() for ask in ways)
    forecast(plans[1][1], replace(context, runs=60))
    told = forecast(scenario, replace(context, runs=60))
    again, compared_again, late_again = (ask() for ask in ways)
    assert (again.outcome, again.rows) == (alone.outcome, alone.rows) and again.runs == 20
    assert compared_again.plans == compared.plans and how_read(compared_again) == ""
    assert late_again.outcome == late.outcome
    assert [(row.outcome.hours, row.against) for row in late_again.rows] == [
        (row.outcome.hours, row.against) for row in late.rows
    ]
    current = summarise_outcome("as it is", scenario, told.table, told.deadline.deadline)
    read = bottlenecks(scenario, context, current=current)
    assert (read.outcome.p80, read.runs, read.each) == (told.readiness.quantile(0.8), 60, (20, 20))
    assert how_read(compare(plans, context, current=current)).startswith("Plan 1 is read from 60 runs.")


def test_a_trouble_gets_no_more_runs_than_it_takes_to_see_that_it_costs_less_than_the_best_would_gain(monkeypatch):
    asked = []

    def noted(*arguments, competes, **others):
        asked.append(competes)
        return try_changes(*arguments, competes=competes, **others)

    monkeypatch.setattr("simulation.questions.bottlenecks.study.try_changes", noted)
    found = bottlenecks(by_rain(), RunContext(runs=1, workers=1))
    troubles = [row.trial for row in found.rows if row.trial.kind is Kind.WITHOUT]
    assert troubles
    assert all(asked[0](trial) for trial in troubles)
