"""People of a crew who leave it for a task: what is left of the crew lays at its own pace, or stops, and all hours are told."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scenarios import make_scenario, strip

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import BECAUSE, END, KIND, NUMBER, ROW, START, TASK, WORK
from simulation.construction.site.edges.waits import PEOPLE, list_waits
from simulation.construction.trace.chain import hours_by_cause
from simulation.construction.trace.record import columns, make_record
from simulation.study.people import count_people

LONG = [{"name": "strip", "length": "300 ft", "width": "72 ft"}]


def run_of(*tasks, people=16, number=0, **changes):
    names = [one["name"] for one in tasks]
    milestones = [{"name": "done", "areas": ["strip"], "tasks": names, "closing": "0 h"}]
    crew = [{"name": "red", "people": people, "areas": ["strip"]}]
    changes = {"crew": crew, "supply": {"on_hand": 200}, **changes}
    return simulate(compile_plan(make_scenario(strip(area=LONG, task=list(tasks), milestone=milestones, **changes))), number)


def lent(name, people, hours, start=0.0, **more):
    return {"name": name, "gang": "from crew red", "people": people, "each": f"{hours} h", "from": f"{start} h", **more}


def spans(run):
    return {run.actors[s[5]].name: (s[START], s[END]) for s in run.site.trace if s[KIND] == TASK}


def hours_of_rows(run):
    """Return when each row was begun, with its step's hours a row, for steps of rows alone."""
    laid, found = 0, {}
    for step in run.site.trace:
        if step[KIND] == ROW:
            for row in range(laid, step[NUMBER]):
                found[row] = (step[START], step[WORK] / (step[NUMBER] - laid))
            laid = step[NUMBER]
    return found


def test_rows_go_at_the_pace_of_those_who_are_left_and_of_all_again_afterwards():
    run, all_of_them, fewer = run_of(lent("paint", 6, 3, 1)), run_of(), run_of(people=10)
    rows, whole, small = hours_of_rows(run), hours_of_rows(all_of_them), hours_of_rows(fewer)
    begin, end = spans(run)["paint"]
    assert (begin, end) == (1.0, 4.0)
    during = [row for row, (at, _) in rows.items() if begin <= at < end]
    outside = [row for row, (at, _) in rows.items() if at < begin - 0.5 or at >= end]
    assert len(during) > 3 and len(outside) > 3
    for row in during:
        assert rows[row][1] == pytest.approx(small[row][1], rel=0.3) and rows[row][1] > whole[row][1]
    assert sum(rows[row][1] for row in outside) == pytest.approx(sum(whole[row][1] for row in outside), rel=0.05)
    assert run.site.reached[0][END] > all_of_them.site.reached[0][END]


def test_a_crew_that_is_left_with_too_few_lays_nothing_until_they_are_back():
    run = run_of(lent("paint", 14, 3, 1))
    begin, end = spans(run)["paint"]
    assert not [step for step in run.site.trace if step[KIND] == ROW and begin <= step[START] < end - 1e-9]
    back = next(step for step in run.site.trace if step[KIND] == ROW and step[START] == end)
    assert back[BECAUSE][KIND] == TASK
    waited = [wait for wait in list_waits(run.site, run.site.env.now) if wait.what == PEOPLE]
    assert len(waited) == 1 and waited[0].end == end
    charged = hours_by_cause(run.site.reached[0], run)
    assert charged["task paint"] > 2.0
    assert math.fsum(charged.values()) == pytest.approx(run.site.reached[0][END])
    record = dict(zip(columns(run.site.plan), make_record(run), strict=True))
    assert record["waited.people lent to tasks"] > 2.0
    assert record["use.gang from crew red.working"] == 3.0


def test_tasks_share_the_people_of_a_crew_and_wait_where_these_are_too_few():
    both = spans(run_of(lent("a", 8, 2), lent("b", 8, 3)))
    assert both == {"a": (0.0, 2.0), "b": (0.0, 3.0)}
    after = spans(run_of(lent("a", 10, 2), lent("b", 10, 3)))
    assert after == {"a": (0.0, 2.0), "b": (2.0, 5.0)}


def test_people_lent_are_no_more_people_on_site():
    crew = [{"name": "red", "people": 16, "areas": ["strip"]}]
    scenario = make_scenario(strip(area=LONG, crew=crew, task=[lent("a", 8, 2)]))
    assert (count_people(scenario).crews, count_people(scenario).task_gangs) == (16, 0)


NIGHT = {"hours": ["18:00-24:00"], "lighting": True}


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_however_crews_lend_people_all_is_laid_and_every_hour_has_one_cause(data):
    """Crews of one shift that relieve each other, or of two shifts that hand over."""
    shifts = data.draw(st.booleans())
    second = "relief" if shifts else data.draw(st.sampled_from(["relief", "merge"]))
    crew = [
        {"name": "red", "people": data.draw(st.integers(6, 16)), "areas": ["strip"], "second_crew": second},
        {"name": "blue", "people": 12, "areas": ["strip"], "second_crew": second, **({"shift": NIGHT} if shifts else {})},
    ]
    tasks = [
        {
            **lent(f"t{number}", data.draw(st.integers(1, 6)), data.draw(st.integers(1, 9)), data.draw(st.integers(0, 30))),
            "gang": f"from crew {data.draw(st.sampled_from(['red', 'blue']))}",
            "pieces": data.draw(st.integers(1, 4)),
        }
        for number in range(data.draw(st.integers(1, 4)))
    ]
    run = run_of(*tasks, crew=crew)
    done = run.site.reached[0]
    assert done is not None and run.site.areas[0].finished
    assert math.fsum(hours_by_cause(done, run).values()) == pytest.approx(done[END])
    assert all(one.lent == 0 for one in run.crews)
    names = columns(run.site.plan)
    assert len(set(names)) == len(names)
