"""What does a crew do, in which order, and who is it when it is relieved or reinforced?"""

import itertools
import math

import pytest
from scenarios import strip
from small_runs import kind, run, steps

from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, NUMBER, START, WORK
from simulation.construction.trace.record import columns, make_record

LAYING = ("laying rows", "key strips", "re-seating", "connectors", "starter key strip")


def laying(done, *names):
    wanted = [kind(name) for name in names or LAYING]
    return [step for step in done.site.trace if step[KIND] in wanted]


def crews(*seconds, people=12, areas=("strip",)):
    names = ("red", "blue", "green")
    return [
        {"name": name, "people": people, "areas": list(areas), "second_crew": second}
        for name, second in zip(names, seconds, strict=False)
    ]


def test_connectors_come_before_the_starter_key_strip_and_that_before_the_first_row():
    areas = [
        {"name": "strip", "length": "20 ft", "width": "36 ft"},
        {"name": "pad", "length": "40 ft", "width": "36 ft", "start": "centre-out", "joins": {"area": "strip", "end": "high"}},
    ]
    done = run(strip(area=areas, crew=crews("elsewhere", "elsewhere", areas=("strip", "pad"))))
    edges = done.site.areas[1].plan.edges
    on_pad = [step for step in laying(done) if step[EDGE] in edges]
    assert [step[KIND] for step in on_pad[:2]] == [kind("connectors"), kind("starter key strip")]
    connect, starter, *rest = on_pad
    assert (connect[WORK], starter[WORK]) == (1.0, 0.75)
    assert starter[BECAUSE] is connect
    assert min(step[START] for step in rest) == starter[END]
    assert not [step for step in rest if step[KIND] in (connect[KIND], starter[KIND])]


def test_a_key_strip_is_set_between_the_rows_it_parts():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "key_strips_every": "20 ft"}]
    done = run(strip(area=area))
    doing = laying(done)
    strips = [place for place, step in enumerate(doing) if step[KIND] == kind("key strips")]
    assert [doing[place - 1][NUMBER] for place in strips] == [5, 15, 25, 35]
    assert all(doing[place][BECAUSE] is doing[place - 1] and doing[place + 1][BECAUSE] is doing[place] for place in strips)


def test_a_edge_towards_the_low_end_sets_the_same_key_strips_in_the_opposite_order():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "key_strips_every": "20 ft", "start": "centre-out"}]
    done = run(strip(area=area))
    by_edge = {
        edge: [(step[NUMBER], before[NUMBER]) for before, step in itertools.pairwise(doing) if step[KIND] == 2]
        for edge in (0, 1)
        for doing in [[step for step in laying(done) if step[EDGE] == edge]]
    }
    assert kind("key strips") == 2
    # Strips stand before rows 5, 15, 25 and 35 of 40; the starter stands before row 20.
    assert by_edge == {0: [(1, 5), (0, 15)], 1: [(2, 5), (3, 15)]}


def test_a_check_adds_its_time_to_the_row_that_it_follows():
    with_check, without = (run(strip(laying={"check": check, "check_every": 10})) for check in ("3 min", "0 min"))
    hours = [sum(step[WORK] for step in steps(done, "laying rows")) for done in (with_check, without)]
    assert hours[0] - hours[1] == pytest.approx(4 * 0.05 / 0.5)  # four checks, at the crew's efficiency


def test_a_check_that_finds_a_skew_has_the_rows_since_the_last_one_re_seated():
    area = [{"name": "strip", "length": "40 ft", "width": "72 ft"}]
    done = run(strip(area=area, laying={"skew_found": 1.0, "check_every": 7}))
    reseats = steps(done, "re-seating")
    assert [step[NUMBER] for step in reseats] == [7, 14, 20]
    assert [step[WORK] for step in reseats] == pytest.approx([7 * 4 / 60, 7 * 4 / 60, 6 * 4 / 60])


def test_a_crew_that_is_relieved_rests_until_its_turn_comes_again():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "key_strips_every": "400 ft"}]
    done = run(strip(area=area, crew=crews("elsewhere", "relief"), laying={"relief_turn": "15 min"}))
    doing = [step for step in laying(done) if step[BECAUSE][KIND] != kind("key strips")]  # a turn ends before a strip or a row
    turns = [doing[0]]
    turn_ends = 0.25
    for step in doing[1:]:
        changed = step[ACTOR] != turns[-1][ACTOR]
        assert changed == (step[START] >= turn_ends)
        if changed:
            turns.append(step)
            turn_ends = step[START] + 0.25
    assert len(turns) >= 4
    assert {done.actors[step[ACTOR]].name for step in turns} == {"red", "blue"}


def test_the_crew_whose_turn_it_is_sets_the_key_strips_too():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "key_strips_every": "6 ft"}]
    done = run(strip(area=area, crew=crews("elsewhere", "relief"), laying={"relief_turn": "1 h"}))
    on_turn = {done.actors[step[ACTOR]].name for step in steps(done, "key strips")}
    assert on_turn == {"red", "blue"}


def test_merged_crews_lay_with_both_people_counts_under_one_limit_of_the_edge():
    alone, merged = run(strip()), run(strip(crew=crews("elsewhere", "merge")))
    edge = merged.site.edges[0]
    luck, plan = edge.area.luck, edge.plan
    rows = sum(step[WORK] for step in steps(merged, "laying rows")) - 4 * 0.05 / 0.5
    assert rows == pytest.approx(sum(luck.row_hours(plan, 24)))
    assert sum(luck.row_hours(plan, 24)) < sum(luck.row_hours(plan, 12))
    assert merged.site.reached[0][END] < alone.site.reached[0][END]


def test_a_crew_that_comes_to_a_edge_later_hastens_only_the_rows_from_then_on():
    areas = [{"name": name, "length": length, "width": "72 ft"} for name, length in (("strip", "160 ft"), ("pad", "20 ft"))]
    crew = [
        {"name": "red", "people": 12, "areas": ["strip"]},
        {"name": "blue", "people": 12, "areas": ["pad", "strip"], "second_crew": "merge"},
    ]
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 80}))
    joined = next(step[END] for step in reversed(steps(done, "laying rows")) if step[EDGE] == 1)
    edge = done.site.edges[0]
    pace = {people: edge.area.luck.row_hours(edge.plan, people) for people in (12, 24)}
    before = 0
    for step in (one for one in steps(done, "laying rows") if one[EDGE] == 0):
        people = 12 if step[START] < joined else 24
        checks = sum(before < check <= step[NUMBER] for check in edge.plan.checks) * 0.05 / 0.5
        assert step[WORK] == pytest.approx(sum(pace[people][before : step[NUMBER]]) + checks)
        before = step[NUMBER]
    assert {step[ACTOR] for step in steps(done, "laying rows") if step[EDGE] == 0} == {done.crews[0].number}


def test_merged_crews_are_both_at_work_while_either_is():
    done = run(strip(crew=crews("elsewhere", "merge")))
    record = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    worked = sum(step[WORK] for step in laying(done))
    assert record["use.crew red.working"] == pytest.approx(worked)
    assert record["use.crew blue.working"] == pytest.approx(worked)


def test_a_second_crew_that_has_somewhere_else_to_go_goes_there():
    areas = [{"name": name, "length": "40 ft", "width": "72 ft"} for name in ("strip", "pad")]
    done = run(strip(area=areas, crew=crews("elsewhere", "elsewhere", areas=("strip", "pad"))))
    who = {(done.actors[step[ACTOR]].name, step[EDGE]) for step in steps(done, "laying rows")}
    assert who == {("red", 0), ("blue", 1)}


def test_a_crew_takes_the_first_open_edge_in_the_order_of_its_own_plan():
    areas = [{"name": name, "length": "20 ft", "width": "72 ft"} for name in ("strip", "pad", "spur")]
    crew = [{"name": "red", "people": 12, "areas": ["spur", "strip", "pad"]}]
    rows = steps(run(strip(area=areas, crew=crew)), "laying rows")
    assert list(dict.fromkeys(step[EDGE] for step in rows)) == [2, 0, 1]


def test_a_crew_lays_another_area_while_the_first_of_its_plan_is_not_open_yet():
    areas = [
        {"name": "strip", "length": "20 ft", "width": "72 ft"},
        {"name": "pad", "length": "20 ft", "width": "72 ft", "joins": {"area": "strip", "end": "high"}},
    ]
    rows = steps(run(strip(area=areas, crew=crews("elsewhere", areas=("pad", "strip")))), "laying rows")
    assert list(dict.fromkeys(step[EDGE] for step in rows)) == [0, 1]


@pytest.mark.parametrize(("check_every", "laid_and_checked"), [(1, 34), (10, 40), (25, 50), (100, 50)])
def test_a_joined_area_opens_when_every_row_along_its_edge_is_laid_and_checked(check_every, laid_and_checked):
    # A 36-ft edge around station 50 ft lies along the rows up to 68 ft: the 34th row is the last of them.
    areas = [
        {"name": "strip", "length": "100 ft", "width": "72 ft"},
        {"name": "spur", "length": "20 ft", "width": "36 ft", "joins": {"area": "strip", "station": "50 ft"}},
    ]
    crew = [{"name": "red", "people": 12, "areas": ["strip"]}, {"name": "blue", "people": 12, "areas": ["spur"]}]
    done = run(strip(area=areas, crew=crew, laying={"check_every": check_every}))
    connect = steps(done, "connectors")[0]
    assert connect[BECAUSE][EDGE] == 0
    assert connect[BECAUSE][NUMBER] == laid_and_checked


def test_a_joined_area_waits_until_the_skewed_rows_at_its_junction_are_re_seated():
    areas = [
        {"name": "strip", "length": "40 ft", "width": "72 ft"},
        {"name": "spur", "length": "20 ft", "width": "36 ft", "joins": {"area": "strip", "end": "low"}},
    ]
    crew = [{"name": "red", "people": 12, "areas": ["strip"]}, {"name": "blue", "people": 12, "areas": ["spur"]}]
    done = run(strip(area=areas, crew=crew, laying={"skew_found": 1.0, "check_every": 5}))
    connect = steps(done, "connectors")[0]
    assert connect[BECAUSE] is steps(done, "re-seating")[0]


@pytest.mark.parametrize(
    ("start", "to", "row"), [("0 ft", "2 ft", 1), ("0 ft", "30 ft", 15), ("10 ft", "31 ft", 16), ("70 ft", "80 ft", 40)]
)
def test_a_stretch_is_reached_at_the_end_of_its_last_row(start, to, row):
    milestone = [
        {"name": "part", "stretch": {"area": "strip", "from": start, "to": to}, "closing": "0 h"},
        {"name": "all", "areas": ["strip"], "ready": True},
    ]
    done = run(strip(milestone=milestone))
    reached = done.site.reached[0]
    assert reached[BECAUSE][KIND] == kind("laying rows")
    assert reached[BECAUSE][NUMBER] == row
    assert reached[END] == reached[BECAUSE][END]


def test_a_stretch_across_the_starter_waits_for_both_edges():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "start": "centre-out"}]
    milestone = [
        {"name": "part", "stretch": {"area": "strip", "from": "36 ft", "to": "50 ft"}, "closing": "0 h"},
        {"name": "all", "areas": ["strip"], "ready": True},
    ]
    done = run(strip(area=area, crew=crews("elsewhere", "elsewhere"), milestone=milestone))
    low = next(step[END] for step in steps(done, "laying rows") if step[EDGE] == 0 and step[NUMBER] >= 2)
    high = next(step[END] for step in steps(done, "laying rows") if step[EDGE] == 1 and step[NUMBER] >= 5)
    assert done.site.reached[0][START] == max(low, high)


def test_rows_get_shorter_by_the_unit_learning_curve_down_to_its_floor():
    area = [{"name": "strip", "length": "160 ft", "width": "72 ft", "key_strips_every": "400 ft"}]
    laying_ = {"learning": 0.8, "learning_reference": 10, "learning_floor": 0.6, "check_every": 1000}
    done = run(strip(area=area, laying=laying_, supply={"on_hand": 60}))
    edge = done.site.edges[0]
    stated = edge.area.luck.row_hours(edge.plan, 12)
    exponent = math.log2(0.8)
    before = 0
    for step in steps(done, "laying rows"):
        rows = range(before, step[NUMBER])
        factors = [1.0 if row < 10 else max(0.6, ((row + 1) / 10) ** exponent) for row in rows]
        check = 0.1 if step[NUMBER] == 80 else 0.0
        assert step[WORK] == pytest.approx(sum(f * stated[row] for f, row in zip(factors, rows, strict=True)) + check)
        before = step[NUMBER]
    assert (80 / 10) ** exponent < 0.6 < (20 / 10) ** exponent


def test_what_a_crew_has_learned_on_one_area_it_takes_along_to_the_next():
    areas = [{"name": name, "length": "40 ft", "width": "72 ft", "key_strips_every": "400 ft"} for name in ("strip", "pad")]
    settings = {"learning": 0.8, "learning_reference": 1, "learning_floor": 0.1, "check_every": 1000}
    done = run(strip(area=areas, crew=crews("elsewhere", areas=("strip", "pad")), laying=settings))
    hours = [sum(step[WORK] for step in steps(done, "laying rows") if step[EDGE] == edge) for edge in (0, 1)]
    assert hours[1] < 0.9 * hours[0]
    assert done.crews[0].rows_laid == 40


@pytest.mark.parametrize("seconds", [("elsewhere", "merge", "relief"), ("elsewhere", "relief", "merge")])
def test_a_crew_that_takes_turns_with_two_merged_ones_takes_nobody_off_the_edge(seconds):
    pair, three = run(strip(crew=crews("elsewhere", "merge"))), run(strip(crew=crews(*seconds)))
    record = dict(zip(columns(three.site.plan), make_record(three), strict=True))
    edge_hours = sum(step[WORK] for step in laying(three))
    assert all(record[f"use.crew {name}.working"] <= edge_hours + 1e-9 for name in ("red", "blue", "green"))
    edge = three.site.edges[0]
    alone = sum(edge.area.luck.row_hours(edge.plan, 12))
    checks = 4 * 0.05 / 0.5
    # Whoever is on turn, the two who merged are as many as before while it is theirs: not all rows are laid by one crew alone.
    assert sum(step[WORK] for step in steps(three, "laying rows")) < alone + checks - 1e-6
    assert pair.site.reached[0][END] <= three.site.reached[0][END]
