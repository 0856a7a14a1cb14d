"""Tasks beside laying: when they begin, who does them, what stops them, and what of their hours is charged to what."""

import math
from datetime import datetime
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from log_of_run import log_of_run
from scenarios import make_scenario, strip
from state_of_run import state_of_run

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import ACTOR, END, KIND, ROW, START, TASK, UNLOAD
from simulation.construction.trace.chain import hours_by_cause
from simulation.construction.trace.record import columns, make_record
from simulation.scenario import ScenarioError, SiteLog, begin_by

ROUND_THE_CLOCK = {"hours": ["00:00-24:00"]}


def run_of(tasks, milestones=None, number=0, shifts=ROUND_THE_CLOCK, **changes):
    """Return a run of the certain strip with tasks; its milestone asks for all of them unless one is given."""
    milestones = milestones or [{"name": "done", "tasks": [one["name"] for one in tasks], "closing": "0 h"}]
    scenario = make_scenario(strip(task=tasks, milestone=milestones, shifts__all=shifts, **changes))
    return simulate(compile_plan(scenario), number)


def spans(run):
    """Return when each task began and ended."""
    found = {}
    for step in run.site.trace:
        if step[KIND] == TASK:
            name = run.actors[step[ACTOR]].name
            first, _ = found.get(name, (step[START], 0.0))
            found[name] = (first, step[END])
    return found


def certain(name, hours, *after, **more):
    return {"name": name, "each": f"{hours} h", "after": [{"task": one} for one in after], **more}


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_of_certain_tasks_the_longest_path_is_how_long_they_take(data):
    count = data.draw(st.integers(1, 9))
    hours = [data.draw(st.integers(1, 40)) / 4 for _ in range(count)]
    needs = [[other for other in range(number) if data.draw(st.booleans())] for number in range(count)]
    ends = []
    for number in range(count):
        ends.append(hours[number] + max((ends[other] for other in needs[number]), default=0.0))
    tasks = [certain(f"t{number}", hours[number], *(f"t{other}" for other in needs[number])) for number in range(count)]
    run = run_of(tasks)
    assert run.site.reached[0][END] == pytest.approx(max(ends), abs=1e-9)
    charged = hours_by_cause(run.site.reached[0], run)
    assert math.fsum(charged.values()) == pytest.approx(max(ends), abs=1e-9)
    assert all(cause.startswith("task ") for cause in charged)


def test_two_tasks_of_one_gang_wait_for_each_other_and_two_gangs_do_them_at_once():
    gang = [{"name": "riggers", "people": 4}]
    shared = spans(run_of([certain("a", 3, gang="riggers"), certain("b", 2, gang="riggers")], gang=gang))
    assert shared == {"a": (0.0, 3.0), "b": (3.0, 5.0)}
    assert spans(run_of([certain("a", 3), certain("b", 2)])) == {"a": (0.0, 3.0), "b": (0.0, 2.0)}


def test_a_gang_works_at_as_many_pieces_at_once_as_it_has_teams():
    """Twelve pieces of an hour: three teams of two take four hours, one team twelve; a lone piece is not shared out."""
    for people, expected in ((6, 4.0), (7, 4.0), (2, 12.0)):
        assert spans(run_of([certain("a", 1, pieces=12, team=2, people=people)]))["a"][1] == pytest.approx(expected)
    assert spans(run_of([certain("a", 5, people=8)]))["a"][1] == pytest.approx(5.0)


def test_a_task_waits_for_its_rows_to_lie_and_be_checked():
    whole = run_of([{"name": "a", "each": "1 h", "after": [{"area": "strip"}]}])
    part = run_of([{"name": "a", "each": "1 h", "after": [{"area": "strip", "to": "20 ft"}]}])
    row = run_of([{"name": "a", "each": "1 h", "after": [{"area": "strip", "row": 10}]}])
    assert spans(part)["a"][0] == spans(row)["a"][0] < spans(whole)["a"][0]
    laid = run_of([certain("b", 1)], [{"name": "laid", "areas": ["strip"], "closing": "0 h"}])
    assert spans(whole)["a"][0] == laid.site.reached[0][END]


def test_a_task_waits_for_its_moment_its_delivery_and_a_gang_that_comes_late():
    run = run_of([certain("a", 1, **{"from": "5 h"}), certain("b", 1, comes="7 h"), certain("c", 1, "b", comes="3 h")])
    assert spans(run) == {"a": (5.0, 6.0), "b": (7.0, 8.0), "c": (8.0, 9.0)}
    late = run_of([certain("a", 1, gang="g")], gang=[{"name": "g", "people": 1, "from": "9 h"}])
    assert spans(late) == {"a": (9.0, 10.0)}
    waited = run_of([certain("b", 1, comes="7 h")])
    assert hours_by_cause(waited.site.reached[0], waited) == {"what a task needs not there": 7.0, "task b": 1.0}


def test_a_gang_keeps_hours_of_its_own_and_its_nights_bear_its_name():
    night = {"name": "owls", "people": 2, "shift": {"hours": ["20:00-24:00"], "lighting": True}}
    run = run_of([certain("a", 6, gang="owls")], gang=[night], top={"starts": "2031-04-02T20:00:00"})
    assert spans(run)["a"] == (0.0, 26.0)
    assert hours_by_cause(run.site.reached[0], run) == {"task a": 6.0, "off shift, gang owls": 20.0}


def test_what_stops_a_task_is_the_weather_of_its_kind_of_work():
    wet = {"weather": {"wet_spell": "6 h", "dry_spell": "6 h", "rain_stops": ["laying"]}}
    outside, covered = (run_of([certain("a", 60, stops=kind)], number=3, **wet) for kind in ("laying", "none"))
    assert spans(covered)["a"][1] == 60.0 < spans(outside)["a"][1]


def test_a_milestone_waits_for_its_areas_and_its_tasks():
    milestones = [{"name": "open", "areas": ["strip"], "tasks": ["a"], "closing": "0 h"}]
    laid = run_of([certain("a", 0.5)], milestones).site.reached[0][END]
    assert run_of([certain("a", 200)], milestones).site.reached[0][END] == 200.0 > laid > 0.5


def test_a_record_tells_when_each_task_began_and_ended():
    run = run_of(
        [certain("a", 2), certain("b", 3, "a"), certain("never", 1, "b")], [{"name": "x", "tasks": ["b"], "closing": "0 h"}]
    )
    record = dict(zip(columns(run.site.plan), make_record(run), strict=True))
    assert [record[f"task.{name}.{what}"] for name in "ab" for what in ("begins", "ends")] == [0.0, 2.0, 2.0, 5.0]
    assert record["task.never.ends"] == math.inf
    assert math.fsum(value for name, value in record.items() if name.startswith("cause.")) == pytest.approx(5.0)


def test_a_length_is_usable_wherever_it_lies_when_so_many_rows_lie_without_a_gap():
    """From one end it is the stretch of that length; from the centre it lies around the middle, and comes no later."""

    def asks(**milestone):
        return [{"name": "open", "closing": "0 h", **milestone}]

    length = make_scenario(strip()).area[0].length
    usable = asks(usable={"area": "strip", "length": f"{length / 2} ft"})
    one_end = run_of([certain("a", 1)], usable)
    stretch = run_of([certain("a", 1)], asks(stretch={"area": "strip", "to": f"{length / 2} ft"}))
    # Told with the rows of the pallet that holds its last row: no other step of a run is cut for it.
    exact, told = stretch.site.reached[0][END], one_end.site.reached[0][END]
    steps = [step for step in one_end.site.trace if step[KIND] == ROW]
    assert any(step[START] < exact <= step[END] == told for step in steps)
    record = dict(zip(columns(one_end.site.plan), make_record(one_end), strict=True))
    assert record["usable.open.from"] == 0.0
    assert length / 2 <= record["usable.open.to"] <= length / 2 + 6.0
    with_task = asks(usable={"area": "strip", "length": f"{length / 2} ft", "with": ["a"]})
    assert run_of([certain("a", 300)], with_task).site.reached[0][END] == 300.0


def test_from_the_centre_the_usable_length_grows_both_ways_and_never_shrinks():
    area = [{"name": "strip", "length": "80 ft", "width": "24 ft", "start": "centre-out"}]
    crews = [{"name": name, "people": 14, "areas": ["strip"]} for name in ("red", "blue")]
    asked = range(8, 81, 8)
    milestones = [{"name": f"m{feet}", "usable": {"area": "strip", "length": f"{feet} ft"}, "closing": "0 h"} for feet in asked]
    milestones[-1]["ready"] = True
    run = run_of([certain("a", 1)], milestones, area=area, crew=crews)
    times = [step[END] for step in run.site.reached]
    assert times == sorted(times)
    record = dict(zip(columns(run.site.plan), make_record(run), strict=True))
    spans = [(record[f"usable.m{feet}.from"], record[f"usable.m{feet}.to"]) for feet in asked]
    assert all(to - start >= feet for (start, to), feet in zip(spans, asked, strict=True))
    assert all(later[0] <= one[0] and later[1] >= one[1] for one, later in pairwise(spans))
    assert spans[0][0] > 0.0 and spans[-1] == (0.0, 80.0)


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_whatever_opens_first_and_flies_the_usable_length_never_shrinks(data):
    """Stretches asked for lie within each other, and are reached in their order, whoever lays, from where, in which windows."""
    start = data.draw(st.sampled_from(["one-end", "centre-out"]))
    area = [{"name": "strip", "length": "80 ft", "width": "24 ft", "start": start}]
    crews = [
        {"name": name, "people": data.draw(st.integers(8, 14)), "areas": ["strip"]}
        for name in "ab"[: data.draw(st.integers(1, 2))]
    ]
    asked = sorted(data.draw(st.sets(st.integers(4, 80), min_size=2, max_size=5)))
    milestones = [{"name": f"m{feet}", "usable": {"area": "strip", "length": f"{feet} ft"}, "closing": "0 h"} for feet in asked]
    milestones[-1]["ready"] = True
    flying = {"from": f"m{asked[0]}", "windows": [data.draw(st.sampled_from(["06:10-07:00", "08:00-08:30", "07:00-11:00"]))]}
    run = run_of([certain("t", 1)], milestones, area=area, crew=crews, flying={**flying, "clear_before": "5 min"})
    times = [step[END] for step in run.site.reached]
    assert times == sorted(times)
    record = dict(zip(columns(run.site.plan), make_record(run), strict=True))
    spans = [(record[f"usable.m{feet}.from"], record[f"usable.m{feet}.to"]) for feet in asked]
    assert all(to - start >= feet - 1e-9 for (start, to), feet in zip(spans, asked, strict=True))
    assert all(later[0] <= one[0] and later[1] >= one[1] for one, later in pairwise(spans))
    growth = [record[f"length.strip.{part}"] for part in range(10, 101, 10)]
    assert growth == sorted(growth)


def test_a_log_knows_which_steps_of_tasks_were_done_and_the_run_goes_on_with_the_others():
    tasks = [
        certain("a", 1, pieces=10),
        certain("b", 2, "a", **{"from": "1 h"}),
        certain("c", 6, gang="g"),
        certain("d", 3, "c", gang="g"),
    ]
    scenario = make_scenario(
        strip(
            task=tasks,
            gang=[{"name": "g", "people": 1}],
            milestone=[{"name": "done", "tasks": ["b", "d"], "closing": "0 h"}],
            shifts__all=ROUND_THE_CLOCK,
        )
    )
    whole = simulate(compile_plan(scenario), 0)
    assert whole.site.reached[0][END] == 12.0
    for at in (0.5, 4.0, 6.0, 7.0, 10.0, 11.0):
        left = simulate(compile_plan(scenario), 0, until=at)
        begun = begin_by(scenario, SiteLog("log.csv", log_of_run(scenario, left, at)))
        plan = compile_plan(begun)
        assert plan.state.followed == state_of_run(left, at).followed
        # What was under way is done anew, as a log says no more than which steps are done: whole hours of the first task.
        done_a, under_way = int(min(at, 10.0)), [one for one, (low, high) in spans(whole).items() if low < at < high]
        expected = (
            max(at + (10 - done_a) + 2, at + (9 if at < 6 else 3)) if "a" in under_way or at < 10 else at + (2 if at < 12 else 0)
        )
        assert simulate(plan, 0).site.reached[0][END] == pytest.approx(expected)


def test_a_record_tells_when_areas_beside_tasks_began_and_ended_and_how_gangs_were_used():
    both = {"name": "all", "areas": ["strip"], "tasks": ["a", "b"], "closing": "0 h", "ready": True}
    milestones = [both, {"name": "laid", "areas": ["strip"], "closing": "0 h"}]
    night = {"name": "owls", "people": 2, "shift": {"hours": ["20:00-24:00"], "lighting": True}}
    run = run_of([certain("a", 3, gang="owls"), certain("b", 2, "a", gang="owls")], milestones, gang=[night])
    record = dict(zip(columns(run.site.plan), make_record(run), strict=True))
    rows = [step for step in run.site.trace if step[KIND] == ROW]
    assert 0.0 < record["area.strip.begins"] <= rows[0][START] < record["area.strip.ends"] == run.site.reached[1][END]
    assert record["use.gang owls.working"] == 5.0
    assert record["use.gang owls.on shift"] == pytest.approx(5.0)  # ready as its second night's first hour ends
    plain = simulate(compile_plan(make_scenario(strip())), 0).site.plan
    assert not [name for name in columns(plain) if name.startswith(("area.", "use.gang"))]


def test_a_task_waits_for_a_load_to_be_unloaded_and_for_a_date():
    milestones = [{"name": "all", "areas": ["strip"], "tasks": ["a", "b"], "closing": "0 h"}]
    tasks = [
        {"name": "a", "each": "1 h", "after": [{"load": 2}]},
        {"name": "b", "each": "1 h", "after": [{"date": datetime(2031, 4, 3, 9, 30)}, {"task": "a"}]},
    ]
    flights = [{"pallets": 3, "first": "1 h", "every": "10 h"}]
    run = run_of(tasks, milestones, supply={"on_hand": 16, "total": 22}, supply__flights=flights)
    second = sorted(step[END] for step in run.site.trace if step[KIND] == UNLOAD)[1]
    assert spans(run)["a"][0] == second > 11.0
    assert spans(run)["b"][0] == 27.5  # from the start at 06:00 of the second


def test_a_load_that_may_never_come_is_refused():
    task = [{"name": "a", "each": "1 h", "after": [{"load": 3}]}]
    flights = [{"pallets": 3, "first": "1 h", "every": "10 h"}]
    scenario = make_scenario(strip(task=task, supply={"on_hand": 16, "total": 22}, supply__flights=flights))
    with pytest.raises(ScenarioError) as error:
        compile_plan(scenario)
    assert [str(one) for one in error.value.mistakes] == [
        "task.a.after.1.load: only 2 loads are sure to come, so it would never begin; "
        "write at most 2, or when it comes with comes"
    ]


def test_a_gang_whose_every_hour_is_dark_is_refused():
    gang = [{"name": "owls", "people": 2, "shift": {"hours": ["22:00-23:00"]}}]
    site = {"latitude": 31.0, "longitude": -30.0, "utc_offset": "-2 h"}
    with pytest.raises(ScenarioError) as error:
        compile_plan(make_scenario(strip(task=[certain("a", 1, gang="owls")], gang=gang, site=site)))
    assert [str(one) for one in error.value.mistakes] == [
        "gang.owls.shift.hours: every hour up to the last day simulated is in the dark, so a would never begin; "
        "write hours of daylight, or lighting = true"
    ]
