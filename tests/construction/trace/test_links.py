"""What did a milestone depend on? Not on what came while whoever waited for it was off shift, but on that shift."""

import math

import pytest
from scenarios import strip, written
from small_runs import in_every_random_field, kind, random_run, run, steps

from simulation import run_once
from simulation.construction.plan.steps import ACTOR, BECAUSE, END, KIND, START
from simulation.construction.trace.chain import LOSSES, hours_by_cause
from simulation.construction.trace.links import clock_of, links_back
from simulation.scenario import parse_scenario

DAY = {"hours": ["06:00-20:00"], "lighting": True}  # start is 6 in the morning
QUICK = {"handle": "5 s"}


def causes(done, milestone=0):
    return hours_by_cause(done.site.reached[milestone], done)


def landing(at, **changes):
    """Return a strip whose pallets all land at an hour."""
    return strip(supply={"on_hand": 0, "total": 24}, supply__flights=[{"pallets": 24, "first": f"{at} h"}], **changes)


@in_every_random_field
def test_links_follow_each_other_without_gaps_and_reach_back_only_over_hours_in_which_nobody_could_work(text):
    done = random_run(text)
    for reached in filter(None, done.site.reached):
        before = reached[END]
        for step, since, until in links_back(reached, done):
            assert until == before
            assert since <= until <= step[END]
            before = since
            if since < step[START]:
                assert clock_of(step, done.site.clocks).worked(since, step[START]) == pytest.approx(0.0, abs=1e-9)
        assert before == 0.0


def test_a_landing_in_the_forklifts_night_is_waited_for_only_until_their_hours_end():
    hours = causes(run(landing(18, shifts__forklift=DAY)))
    assert hours["waiting for the next flight"] == pytest.approx(14.0)
    assert hours["off shift, forklifts"] == pytest.approx(10.0)


def test_a_landing_in_their_hours_is_waited_for_to_its_end():
    hours = causes(run(landing(26, shifts__forklift=DAY)))
    assert hours["waiting for the next flight"] == pytest.approx(26.0)
    assert "off shift, forklifts" not in hours


def test_nights_before_the_last_one_belong_to_what_is_waited_for():
    hours = causes(run(landing(42, shifts__forklift=DAY)))
    assert hours["waiting for the next flight"] == pytest.approx(38.0)
    assert hours["off shift, forklifts"] == pytest.approx(10.0)


def test_mats_that_come_between_the_hours_of_two_crews_wait_for_the_one_that_comes_next():
    day, night = {"hours": ["06:00-18:00"], "lighting": True}, {"hours": ["19:00-05:00"], "lighting": True}
    crews = [
        {"name": "red", "people": 12, "areas": ["strip"], "shift": day},
        {"name": "blue", "people": 12, "areas": ["strip"], "shift": night, "second_crew": "relief"},
    ]
    hours = causes(run(landing(12, crew=crews, forklifts=QUICK)))  # there at 18:00, unloaded and brought some minutes later
    assert hours["waiting for the next flight"] == pytest.approx(12.0)
    assert hours["off shift, crew blue"] == pytest.approx(1.0)
    assert "unloading" not in hours and "off shift, crew red" not in hours


def test_mats_that_one_crew_waits_for_in_its_hours_are_not_laid_to_the_shift_of_the_next():
    day, night = {"hours": ["06:00-18:00"], "lighting": True}, {"hours": ["19:00-05:00"], "lighting": True}
    crews = [
        {"name": "red", "people": 12, "areas": ["strip"], "shift": day},
        {"name": "blue", "people": 12, "areas": ["strip"], "shift": night, "second_crew": "relief"},
    ]
    flights = [{"pallets": 2, "first": "1 h"}, {"pallets": 22, "first": "12.5 h", "every": "1000 h"}]
    done = run(strip(supply={"on_hand": 0, "total": 24}, supply__flights=flights, crew=crews, forklifts=QUICK))
    hours = causes(done)
    assert steps(done, "laying rows")[0][END] < 4.0  # the two pallets that come first are soon laid
    assert hours["waiting for the next flight"] == pytest.approx(12.0)  # red could have laid until 18:00


def test_a_truck_that_is_unloaded_when_trucks_do_not_drive_waits_for_their_hours():
    truck = {"count": 1, "pallets": 12, "load": "1 h", "haul": "4 h", "return": "1 h"}
    slow = {"handle": "10 min", "count": 1}
    drives = {"hours": ["06:00-12:00"], "lighting": True}
    done = run(
        strip(supply={"on_hand": 0, "total": 24}, supply__trucks=[truck], shifts__haul=drives, forklifts=slow),
    )
    unloaded, back = steps(done, "unloading")[0], steps(done, "trucks returning")[0]
    assert unloaded[START] == 5.0 and 6.0 < unloaded[END] < 24.0
    hours = causes(done)
    # From noon to six, whatever of it the load is unloaded in: the way back could begin at six at the earliest.
    assert back[BECAUSE] is unloaded
    assert hours["off shift, trucks"] >= 18.0
    second = steps(done, "unloading")[1]
    spans = [(since, until) for step, since, until in links_back(second, done) if step is unloaded]
    assert spans == [(5.0, 6.0)]


def test_who_worked_until_its_hours_ended_was_not_held_up_before_them():
    day = {"hours": ["06:00-18:00"], "lighting": True}
    laying = {"finish_rows": "30 min", "efficiency": 0.1}
    done = run(strip(crew=[{"name": "red", "people": 12, "areas": ["strip"], "shift": day}], laying=laying))
    late = [step for step in steps(done, "laying rows") if 12.0 < step[END] % 24.0 < 13.0]
    assert late
    for step, since, _ in links_back(done.site.reached[0], done):
        if done.actors[step[ACTOR]].kind == "crew":
            assert since == step[START] or step[KIND] != kind("laying rows")


def test_what_a_night_crew_does_not_finish_of_the_sweep_waits_for_its_next_night():
    night = {"hours": ["18:00-24:00"], "lighting": True}
    red = [{"name": "red", "people": 12, "areas": ["strip"], "shift": night}]
    done = run(strip(crew=red, shifts__laying={"hours": ["06:00-16:00"], "lighting": True}))
    last = max(steps(done, "laying rows"), key=lambda step: step[END])
    assert 12.0 < last[END] < 18.0  # eight hours of sweep do not end in the six of this night
    assert causes(done)["off shift, crews"] == pytest.approx(24.0 - 6.0)
    assert math.fsum(causes(done).values()) == pytest.approx(done.site.reached[0][END])


#: A load a day for two trucks: they wait over a night for the day on which they may come.
LOAD_A_DAY = {
    "supply": {"on_hand": 0, "total": 24, "per_day_limit": 6},
    "supply__trucks": [{"count": 2, "pallets": 6, "load": "1 h", "haul": "1 h", "return": "1 h"}],
}


@pytest.mark.parametrize("drives", ["00:00-24:00", "06:00-12:00"])
def test_the_daily_limit_holds_a_truck_up_only_while_it_could_drive(drives):
    done = run(strip(**LOAD_A_DAY, shifts__haul={"hours": [drives], "lighting": True}))
    clock, told = done.site.clocks["haul"], causes(done)
    links = links_back(done.site.reached[0], done)
    held = [(since, until) for step, since, until in links if step[KIND] == kind("port's daily limit")]
    waits = [(until - since, clock.worked(since, until)) for since, until in held]
    assert told["port's daily limit"] == pytest.approx(sum(open_hours for _, open_hours in waits))
    if drives == "00:00-24:00":
        assert all(wait == pytest.approx(open_hours) for wait, open_hours in waits)
        assert "off shift, trucks" not in told
    else:
        assert max(wait - open_hours for wait, open_hours in waits) == pytest.approx(18.0)
        assert told["off shift, trucks"] >= 18.0


def test_in_the_table_of_steps_work_hours_lost_and_hours_held_up_make_up_every_step():
    drives = {"hours": ["06:00-12:00"], "lighting": True}
    scenario = parse_scenario(written(strip(**LOAD_A_DAY, shifts__haul=drives)))
    table = run_once(scenario).steps
    told = table["hours"] + table["held up"] + table[list(LOSSES)].sum(axis=1)
    assert list(told) == pytest.approx(list(table["end"] - table["start"]), abs=1e-6)
    held = table[table["work"] == "port's daily limit"].iloc[-1]
    assert held["off shift"] == pytest.approx(18.0)
    assert held["held up"] == pytest.approx(held["end"] - held["start"] - 18.0)
    assert held["held up"] > 1.0
    rows = table[table["work"] == "laying rows"]
    assert rows["waited"].max() > 10.0  # for the second load, from the first one's last row on
    assert table["waited"].min() == 0.0
