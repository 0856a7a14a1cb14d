"""What is read from runs that are already simulated: milestones, drivers, use, supply, rates, people."""

import math
from dataclasses import replace

import pytest
from invented_runs import TWO_AREAS, invented_runs, invented_scenario

from simulation.questions.forecast.answer import _use_table as use_table
from simulation.questions.forecast.reading import read_runs
from simulation.questions.forecast.yardsticks.published_rates import PUBLISHED
from simulation.study.people import count_people, person_hours
from simulation.study.runner import NothingFinished

SCENARIO = invented_scenario()


def read(count=200, scenario=SCENARIO, **how):
    return read_runs(scenario, invented_runs(scenario, count, **how), 7, count)


def test_every_milestone_is_told_in_the_order_of_the_scenario_and_one_is_ready():
    found = read()
    assert [(one.name, one.ready) for one in found.milestones] == [
        ("runway open", False),
        ("operational readiness", True),
    ]
    hours = sorted(found.runs["milestone.operational readiness"])
    assert found.readiness.quantile(0.8).value == hours[159]
    assert found.readiness.mean == pytest.approx(sum(hours) / 200)
    assert found.unfinished == 0


def test_an_unfinished_run_is_counted_and_takes_the_mean_away():
    found = read(unfinished=0.15)
    assert found.unfinished == 30
    assert found.readiness.mean is None
    assert found.readiness.sd is None
    assert math.isfinite(found.readiness.quantile(0.8).value)
    assert found.readiness.quantile(0.9).value == math.inf


def test_drivers_sum_to_the_mean_time_of_readiness_and_come_largest_first():
    found = read()
    assert math.fsum(one.hours for one in found.causes) == pytest.approx(found.readiness.mean, rel=1e-12)
    assert math.fsum(one.share for one in found.causes) == pytest.approx(1.0, rel=1e-12)
    assert [one.hours for one in found.causes] == sorted((one.hours for one in found.causes), reverse=True)
    assert "key strips" not in {one.cause for one in found.causes}  # it never took an hour


def test_the_drivers_of_late_runs_sum_to_the_mean_of_the_last_fifth():
    found = read()
    last = sorted(found.runs["milestone.operational readiness"])[159:]
    assert math.fsum(one.late_hours for one in found.causes) == pytest.approx(math.fsum(last) / len(last))


def test_what_grows_from_the_earlier_to_the_later_half_sums_to_the_time_between_them():
    found = read()
    runs = found.runs.sort_values("milestone.operational readiness")
    earlier, later = runs.iloc[:100], runs.iloc[100:]
    apart = later["milestone.operational readiness"].mean() - earlier["milestone.operational readiness"].mean()
    assert math.fsum(row.growth for row in found.causes) == pytest.approx(apart)
    for row in found.causes:
        columns = [name for name in runs.columns if name.startswith("cause.") and name.endswith(f".{row.cause}")]
        assert len(columns) == 3
        assert row.growth == pytest.approx((later[columns].mean() - earlier[columns].mean()).sum(), abs=1e-9)


def test_the_thirds_of_a_driver_sum_to_its_hours_and_those_of_all_to_a_third_of_the_time():
    found = read()
    for one in found.causes:
        assert math.fsum(one.thirds.values()) == pytest.approx(one.hours, rel=1e-12)
    for third in ("early", "middle", "late"):
        assert math.fsum(one.thirds[third] for one in found.causes) == pytest.approx(found.readiness.mean / 3, rel=1e-12)


def test_a_driver_tells_when_in_the_course_of_the_runs_it_held_them_up():
    rain, closing = (
        {one.cause: one for one in read().causes}[cause] for cause in ("rain", "final sweep, inspection and marking")
    )
    assert rain.thirds["early"] == pytest.approx(3 * rain.thirds["middle"]) == pytest.approx(15 * rain.thirds["late"])
    assert closing.thirds == {"early": 0.0, "middle": 0.0, "late": closing.hours}


def test_drivers_of_finished_runs_only_where_some_are_unfinished():
    found = read(unfinished=0.15)
    finished = [one for one in found.runs["milestone.operational readiness"] if math.isfinite(one)]
    assert math.fsum(one.hours for one in found.causes) == pytest.approx(sum(finished) / len(finished))


def test_where_no_run_finished_nothing_drove_readiness():
    found = read(20, unfinished=1.0)
    assert found.causes == ()
    assert found.use == ()
    assert found.yardsticks.per_day is None


def test_hours_on_shift_are_worked_waited_or_spent_in_repair():
    found = read()
    assert [one.actor for one in found.use] == ["crew red", "crew blue.2", "forklifts"]
    for one in found.use:
        assert one.working + one.repair + one.closing + one.resting + one.waiting == pytest.approx(one.on_shift)
    forklifts = found.use[-1]
    assert forklifts.share(forklifts.working) == pytest.approx(0.4)
    assert forklifts.share(forklifts.repair) == pytest.approx(0.1)
    assert found.use[0].repair == 0.0


def test_the_chance_of_running_short_says_of_what():
    short = read().shortage
    assert short.chance.count == 20  # every tenth run lacked full mats, every twentieth half mats as well
    assert [(one.kind, one.chance.count, one.mats) for one in short.of] == [
        ("full mats", 20, 8.0),
        ("half mats", 10, 2.0),
    ]


def test_runs_that_lack_different_mats_are_all_short():
    runs = invented_runs(SCENARIO, 100)
    runs["short.full mats"][:] = [8 if n < 10 else 0 for n in range(100)]
    runs["short.half mats"][:] = [2 if n >= 90 else 0 for n in range(100)]
    assert read_runs(SCENARIO, runs, 7, 100).shortage.chance.count == 20


def test_the_gate_has_no_numbers_where_nothing_arrives():
    runs = invented_runs(SCENARIO, 10)
    runs["gate.peak"][:], runs["gate.mean"][:] = 0, math.nan
    assert read_runs(SCENARIO, runs, 7, 10).gate is None
    assert read().gate.limit == 120


def test_rates_count_everybody_on_site_for_the_hours_of_their_shifts():
    own = read().yardsticks
    assert own.square_feet == 600 * 72 + 100 * 96
    assert own.people == 38 + 3 + 4
    assert own.per_day == pytest.approx(own.square_feet / own.days)
    assert own.per_person_hour == pytest.approx(own.square_feet / person_hours(SCENARIO, 24.0 * own.days))


def test_people_on_site_are_counted_with_graders_only_while_there_is_ground_to_grade():
    assert (read().people.graders, read().people.total) == (0, count_people(SCENARIO).total)
    grading = invented_scenario(TWO_AREAS + "[grading]\ndone = 0.3\ngangs = 2\npeople = 5\n")
    people = read(scenario=grading).people
    assert (people.crews, people.forklift_operators, people.truck_drivers, people.graders) == (38, 3, 4, 10)
    assert people.total == 55


def test_published_rates_all_have_a_source():
    assert all(one.rate and one.source for one in PUBLISHED)
    assert any("25,000 sq ft a day" in one.rate for one in PUBLISHED)
    assert any("250" in one.rate for one in PUBLISHED)


def test_a_run_stopped_before_its_first_run_has_nothing_to_say():
    with pytest.raises(NothingFinished):
        read_runs(SCENARIO, invented_runs(SCENARIO, 5).head(0), 7, 100)


def test_a_single_run_has_a_mean_but_no_spread():
    one = read(1).readiness
    assert one.mean == one.quantile(0.5).value == one.quantile(0.95).value
    assert one.sd is None


def test_runs_as_slow_as_a_published_field_are_those_not_ready_when_its_rate_would_have_been():
    found = read(mean=26.0, sd=6.0)
    hours, feet = sorted(found.runs["milestone.operational readiness"]), found.yardsticks.square_feet
    (a_day_2009, a_day_2014, a_person_hour_2014) = found.as_slow
    assert (a_day_2009.by, a_day_2014.by, a_person_hour_2014.by) == ("day", "day", "person-hour")
    assert a_day_2009.days == pytest.approx(feet / 25_000)
    assert a_day_2014.days == pytest.approx(feet / 146_000 * 7)
    assert person_hours(SCENARIO, 24 * a_person_hour_2014.days) == pytest.approx(feet / 146_000 * 69 * 70)
    for one in found.as_slow:
        assert one.chance.count == sum(each >= 24 * one.days for each in hours)
        assert one.chance.runs == 200
    assert 200 > a_day_2009.chance.count > a_day_2014.chance.count > a_person_hour_2014.chance.count > 0


def test_a_run_that_is_not_ready_at_the_horizon_is_as_slow_as_any_field_that_would_have_been():
    scenario = invented_scenario(TWO_AREAS.replace('"40 day"', '"3 day"'))
    found = read_runs(scenario, invented_runs(scenario, 40, unfinished=1.0), 7, 40)
    assert [one.chance and one.chance.count for one in found.as_slow if 24 * one.days <= scenario.horizon] == [40, 40]
    assert [one.chance for one in found.as_slow if 24 * one.days > scenario.horizon] == [None]


@pytest.mark.parametrize(("what", "told"), [("full mats", True), ("half mats", True), ("graded ground", False)])
def test_whoever_reads_of_edges_that_wait_for_mats_is_told_that_the_yard_may_be_full(what, told):
    table = use_table(replace(read(), waited=((what, 52.4),)))
    assert any(f"52.4 for {what}" in note for note in table.notes)
    assert any("may stand in the yard" in note for note in table.notes) == told
