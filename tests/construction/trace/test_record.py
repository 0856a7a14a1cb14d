"""What is kept of a run?"""

import math
from dataclasses import replace

import pytest
from scenarios import strip
from small_runs import in_every_random_field, kind, plan_of, random_run, run, steps

from simulation.construction import simulate
from simulation.construction.plan.steps import ACTOR, END, KIND, WORK
from simulation.construction.trace.chain import CAUSES, hours_by_cause
from simulation.construction.trace.record import columns, make_record


def kept(done):
    return dict(zip(columns(done.site.plan), make_record(done), strict=True))


def two_milestones(**changes):
    milestone = [
        {"name": "strip open", "areas": ["strip"], "closing": "2 h", "ready": True},
        {"name": "swept", "areas": ["strip"], "closing": "30 h"},
    ]
    return strip(milestone=milestone, **changes)


def test_a_record_holds_when_milestones_were_reached_and_what_drove_the_ready_one():
    done = run(two_milestones())
    record = kept(done)
    assert record["milestone.swept"] - record["milestone.strip open"] == pytest.approx(28.0)
    causes = {name.removeprefix("cause."): hours for name, hours in record.items() if name.startswith("cause.")}
    assert set(causes) == {f"{third}.{cause}" for third in ("early", "middle", "late") for cause in CAUSES}
    for third in ("early", "middle", "late"):
        of_third = [hours for name, hours in causes.items() if name.startswith(third)]
        assert math.fsum(of_third) == pytest.approx(record["milestone.strip open"] / 3, abs=1e-9)
    hours = hours_by_cause(done.site.reached[0], done)
    for cause in CAUSES:
        found = math.fsum(causes[f"{third}.{cause}"] for third in ("early", "middle", "late"))
        assert found == pytest.approx(hours.get(cause, 0.0), abs=1e-9)


def test_the_columns_come_in_groups_and_no_name_twice():
    names = columns(plan_of(two_milestones()))
    assert len(set(names)) == len(names)
    groups = list(dict.fromkeys(name.partition(".")[0] for name in names))
    first = ["milestone", "progress", "cause", "use", "short", "rejected", "gate", "laying hours"]
    assert groups == [*first, "waited", "left", "day", "level"]


def test_a_run_that_is_given_up_has_no_date_and_drivers_up_to_the_horizon():
    plan = replace(plan_of(two_milestones()), horizon=1.0)
    record = kept(simulate(plan, 0))
    assert record["milestone.swept"] == record["milestone.strip open"] == math.inf
    causes = [hours for name, hours in record.items() if name.startswith("cause.")]
    assert math.fsum(causes) == pytest.approx(1.0, abs=1e-9) and min(causes) >= 0.0
    assert record["left.share of field"] > 0.5 and record["left.full mats"] > 0 == record["left.full mats lacking"]
    assert record["laying hours"] == pytest.approx(1.0)
    assert not any(math.isnan(number) for number in record.values())


def test_use_counts_only_up_to_readiness():
    crew = [{"name": "red", "people": 12, "areas": ["strip"]}]
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew[0]["areas"] = ["strip", "pad"]
    milestone = [
        {"name": "strip open", "areas": ["strip"], "closing": "0 h", "ready": True},
        {"name": "all", "areas": ["strip", "pad"]},
    ]
    done = run(strip(area=areas, crew=crew, milestone=milestone))
    record = kept(done)
    ready = record["milestone.strip open"]
    before = [step for step in done.site.trace if step[END] <= ready and step[ACTOR] == done.crews[0].number]
    assert record["use.crew red.working"] == pytest.approx(sum(step[WORK] for step in before))
    assert record["use.crew red.on shift"] == record["laying hours"] == pytest.approx(ready)
    assert record["use.forklifts.on shift"] == pytest.approx(3 * ready)


@in_every_random_field
def test_nobody_works_longer_than_on_shift(text):
    record = kept(random_run(text))
    for name, hours in record.items():
        if name.endswith(".working"):
            assert -1e-9 <= hours <= record[name.replace(".working", ".on shift")] + 1e-6, name
    assert record["use.forklifts.working"] + record["use.forklifts.repair"] <= record["use.forklifts.on shift"] + 1e-6
    assert record["gate.peak"] >= record["gate.mean"] >= 0


def test_repair_counts_on_the_forklifts_own_shift():
    tables = strip(
        forklifts={"count": 1, "breakdown_every": "3 min", "repair": "3 h"}, shifts__forklift={"hours": ["06:00-08:00"]}
    )
    done = run(tables)
    record = kept(done)
    repaired = sum(
        step[WORK] for step in steps(done, "forklift repair") if step[END] <= record["milestone.operational readiness"]
    )
    assert record["use.forklifts.repair"] == pytest.approx(repaired, abs=3.0)
    assert record["use.forklifts.repair"] <= record["use.forklifts.on shift"]


@pytest.mark.parametrize("total", [30, 40])
def test_the_gate_is_counted_by_day_from_the_first_day_with_a_load_to_the_last_before_readiness(total):
    area = [{"name": "strip", "length": "100 ft", "width": "72 ft"}]  # 25 pallets: three flights
    flights = [{"pallets": 10, "first": "20 h", "every": "48 h"}]
    record = kept(run(strip(area=area, supply={"on_hand": 0, "total": total}, supply__flights=flights)))
    assert 116.0 < record["milestone.operational readiness"] < 164.0  # between the third landing and the fourth
    assert record["gate.peak"] == 10
    assert record["gate.mean"] == pytest.approx(6.0)  # 30 in five days


def test_levels_are_kept_as_they_were_drawn():
    tables = strip(laying={"place": {"p10": "30 s", "p90": "60 s"}})
    done = run(tables, 3)
    assert kept(done)["level.laying.place"] == done.site.levels["laying.place"] != run(tables, 4).site.levels["laying.place"]
    assert done.site.trace[-1][KIND] == kind("final sweep, inspection and marking")
