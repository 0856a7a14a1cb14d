"""How long were crews and forklifts at work, and on which days?"""

import math
from dataclasses import replace

import pytest
from scenarios import strip
from small_runs import in_every_random_field, plan_of, random_run, run, steps

from simulation.construction import simulate
from simulation.construction.plan.steps import ACTOR, END, KIND, KINDS, START, WORK
from simulation.construction.trace.daily import DAYS
from simulation.construction.trace.record import columns, make_record

CREWS, FORKLIFTS = "crews", "forklifts"


def kept(done):
    return dict(zip(columns(done.site.plan), make_record(done), strict=True))


def by_day(record, what):
    days = [name for name in record if name.startswith("day.") and name.endswith(f".{what}")]
    assert days == [f"day.{number}.{what}" for number in range(1, len(days) + 1)]
    return [record[name] for name in days]


def test_a_night_shift_that_can_be_added_up_by_hand():
    # Start is 06:00. A pair of rows takes 13 mats of 40 s, one after the other, at an efficiency of one half.
    tables = strip(laying={"rows_in_work": 1, "pick_up": "0 s"}, shifts__all={"hours": ["20:00-04:00"]})
    record = kept(run(tables))
    first = record["progress.0"] - 14.0  # when the first pallet is there
    laying = 20 * 13 * 40 / 3600 / 0.5 + 0.25 + 4 * 0.1
    assert 0.0 < first < 0.1
    assert by_day(record, "crews.working")[:4] == pytest.approx([4.0 - first, laying - (4.0 - first), 0.0, 0.0], abs=1e-9)
    # Eight hours of final sweep, inspection and marking follow.
    assert by_day(record, "crews.on shift")[:4] == pytest.approx([4.0, 8.0, first + laying + 8.0 - 12.0, 0.0], abs=1e-9)
    assert by_day(record, "forklifts.on shift")[:3] == pytest.approx([12.0, 24.0, 3 * (first + laying - 4.0)], abs=1e-9)
    assert math.fsum(by_day(record, "forklifts.working")) == pytest.approx(record["use.forklifts.working"])


@in_every_random_field
def test_the_days_are_what_the_clocks_say_of_every_step_and_sum_to_the_whole(text):
    done = random_run(text)
    site, record = done.site, kept(done)
    ready = record[f"milestone.{site.plan.milestones[site.plan.ready].name}"]
    until = min(ready, site.plan.horizon)
    merged = [
        step
        for crew in done.crews
        for other, edge, since, left in crew.merged
        for step in site.trace
        if step[ACTOR] == other and step[6] == edge and since <= step[START] < left
    ]
    actors = {CREWS: {crew.number for crew in done.crews}, FORKLIFTS: {one.actor for one in done.forklifts}}
    for who, clock, members in ((CREWS, "laying", len(done.crews)), (FORKLIFTS, "forklift", len(done.forklifts))):
        found = by_day(record, f"{who}.working"), by_day(record, f"{who}.on shift")
        mine = [step for step in site.trace if step[ACTOR] in actors[who] and KINDS[step[KIND]].name != "forklift repair"]
        mine = [step for step in mine + merged * (who == CREWS) if step[END] <= until and step[WORK]]
        runs = site.clocks[clock].worked
        for day, (working, on_shift) in enumerate(zip(*found, strict=True)):
            low, high = max(0.0, site.plan.supply.midnight + 24 * (day - 1)), site.plan.supply.midnight + 24 * day
            low, high = min(low, until), min(high, until)
            within = [step for step in mine if step[START] < high and step[END] > low]
            assert working == pytest.approx(sum(runs(max(low, s[START]), min(high, s[END])) for s in within), abs=1e-6)
            assert on_shift == pytest.approx(members * runs(low, high), abs=1e-9)
            assert -1e-9 <= working <= on_shift + 1e-6
        if until <= site.plan.supply.midnight + 24 * (DAYS - 1):
            total = "working", "on shift"
            whole = [
                sum(v for name, v in record.items() if name.startswith(f"use.{who[:4]}") and name.endswith(t)) for t in total
            ]
            assert [math.fsum(one) for one in found] == pytest.approx(whole, abs=1e-6)


def test_after_readiness_no_day_has_hours():
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    milestone = [
        {"name": "strip open", "areas": ["strip"], "closing": "0 h", "ready": True},
        {"name": "all", "areas": ["strip", "pad"], "closing": "60 h"},
    ]
    tables = strip(area=areas, crew=[{"name": "red", "people": 12, "areas": ["strip", "pad"]}], milestone=milestone)
    record = kept(run(tables))
    assert record["milestone.strip open"] < 18.0 < record["milestone.all"]
    assert by_day(record, "crews.on shift")[:2] == pytest.approx([record["milestone.strip open"], 0.0])
    assert by_day(record, "crews.working")[:2] == pytest.approx([record["use.crew red.working"], 0.0])


def test_there_are_as_many_days_as_the_horizon_has_and_sixty_at_most():
    tables = strip(top={"starts": "2031-04-02T06:00:00", "horizon": "200 day"})
    plan = plan_of(tables)
    days = {}
    for horizon in (1.0, 18.0, 18.5, 42.0, 42.5, 1410.0, 1434.0, 1434.5, 4800.0):
        names = columns(replace(plan, horizon=horizon))
        days[horizon] = sum(name.endswith(".crews.working") for name in names)
        assert len(make_record(simulate(replace(plan, horizon=horizon), 0))) == len(names)
    assert days == {1.0: 1, 18.0: 1, 18.5: 2, 42.0: 2, 42.5: 3, 1410.0: 59, 1434.0: 60, 1434.5: 60, 4800.0: 60}


def test_a_run_longer_than_sixty_days_keeps_the_first_sixty_and_the_whole():
    flights = [{"pallets": 24, "first": "1600 h"}]
    tables = strip(top={"starts": "2031-04-02T06:00:00", "horizon": "200 day"}, supply={"on_hand": 0, "total": 24})
    record = kept(run({**tables, "supply.flights": flights}))
    assert record["use.crew red.on shift"] > 1600.0
    assert by_day(record, "crews.on shift") == pytest.approx([18.0] + 59 * [24.0])
    assert not any(by_day(record, "crews.working"))
    assert record["use.crew red.working"] > 1.0


def test_repair_counts_only_up_to_readiness():
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    milestone = [
        {"name": "strip open", "areas": ["strip"], "closing": "0 h", "ready": True},
        {"name": "all", "areas": ["strip", "pad"]},
    ]
    forklifts = {"count": 1, "breakdown_every": "6 min", "repair": "10 min"}
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    done = run(strip(area=areas, crew=crew, milestone=milestone, forklifts=forklifts))
    ready = done.site.reached[0][END]
    repairs = steps(done, "forklift repair")
    assert any(step[START] > ready for step in repairs)
    by_hand = math.fsum(min(step[END], ready) - step[START] for step in repairs if step[START] < ready)
    assert kept(done)["use.forklifts.repair"] == pytest.approx(by_hand)
