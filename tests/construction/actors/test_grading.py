"""When is the ground ready?"""

from dataclasses import replace

import pytest
from scenarios import strip
from small_runs import in_every_random_field, plan_of, random_run, run, steps

from simulation.construction import simulate
from simulation.construction.plan.steps import ACTOR, EDGE, END, NUMBER, START, WORK


@in_every_random_field
def test_no_row_is_laid_on_ground_that_is_not_graded(text):
    done = random_run(text)
    plan = done.site.plan
    for row in steps(done, "laying rows"):
        edge = row[EDGE]
        graded = {step[NUMBER] for step in steps(done, "grading") if step[EDGE] == edge and step[END] <= row[START]}
        ready = plan.edges[edge].graded
        while (more := next((one.upto for one in plan.slices if (one.edge, one.first) == (edge, ready)), None)) in graded:
            ready = more
        assert ready >= row[NUMBER]


def test_ground_is_graded_ten_rows_at_a_time_by_its_size_and_the_rate():
    done = run(strip(area=[{"name": "strip", "length": "70 ft", "width": "72 ft"}], grading={"done": 0.0}))
    slices = steps(done, "grading")
    assert [step[NUMBER] for step in slices] == [10, 20, 30, 35]
    assert [step[WORK] for step in slices] == pytest.approx([10 * 2 * 72 / 9000] * 3 + [5 * 2 * 72 / 9000])


def test_a_gang_at_work_half_of_every_hour_takes_twice_as_long_over_ground_trenches_and_backfill():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "end_ramps": True}]
    grading = {"done": 0.0, "backfill": "3 h"}
    full, half = (run(strip(area=area, grading={**grading, "efficiency": share})) for share in (1.0, 0.5))
    for work in ("grading", "backfilling ramps"):
        assert [step[WORK] for step in steps(half, work)] == pytest.approx([2 * step[WORK] for step in steps(full, work)])


def test_what_is_ready_at_hour_zero_lies_where_the_edge_begins():
    done = run(strip(grading={"done": 0.3}))
    assert done.site.plan.edges[0].graded == 12  # of 40
    assert steps(done, "grading")[0][NUMBER] == 22
    assert steps(done, "laying rows")[0][START] < steps(done, "grading")[0][END]


def test_both_edges_of_an_area_are_graded_in_turns():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "start": "centre-out"}]
    done = run(strip(area=area, grading={"done": 0.0}))
    assert [(step[EDGE], step[NUMBER]) for step in steps(done, "grading")] == [(0, 10), (1, 10), (0, 20), (1, 20)]


def test_areas_are_graded_in_the_order_in_which_the_crews_come_to_them():
    areas = [{"name": name, "length": "20 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["pad", "strip"]}]
    done = run(strip(area=areas, crew=crew, grading={"done": 0.0}))
    assert [step[EDGE] for step in steps(done, "grading")] == [1, 0]


def test_each_end_ramp_has_a_trench_dug_before_its_last_row_is_ready():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "end_ramps": True}]
    ground = 10 * 2 * 72 / 9000
    one_end = steps(run(strip(area=area, grading={"done": 0.0})), "grading")
    assert [step[WORK] for step in one_end] == pytest.approx([ground + 5, ground, ground, ground + 5])
    centre_out = steps(run(strip(area=[{**area[0], "start": "centre-out"}], grading={"done": 0.0})), "grading")
    assert [step[WORK] for step in centre_out] == pytest.approx([ground, ground, ground + 5, ground + 5])


def test_a_trench_on_ground_that_is_ready_at_hour_zero_is_ready_too():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "end_ramps": True}]
    done = run(strip(area=area, grading={"done": 0.5}))
    assert sum(step[WORK] for step in steps(done, "grading")) == pytest.approx(40 * 72 / 9000 + 5)


def test_two_gangs_grade_at_once_and_a_crew_waits_for_the_slower_one_in_front_of_it():
    # The first slice holds a trench of five hours: the second gang is far ahead of it, and the crew still waits.
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "end_ramps": True}]
    done = run(strip(area=area, grading={"done": 0.0, "gangs": 2}))
    slices = steps(done, "grading")
    assert len({step[ACTOR] for step in slices}) == 2
    ahead = next(step for step in slices if step[NUMBER] == 20)
    first = next(step for step in slices if step[NUMBER] == 10)
    assert ahead[END] < first[END]
    assert steps(done, "forklift trips")[0][START] == first[END] < steps(done, "laying rows")[0][START]


def test_rain_stops_grading_and_so_does_the_mud_after_it():
    tables = strip(
        grading={"done": 0.0, "rate": "200 ft**2/h"},
        weather={"wet_spell": "3 h", "dry_spell": "6 h", "drying": "2 h"},
    )
    done = run(tables)
    lost = {}
    for step in steps(done, "grading"):
        for cause, hours in done.site.clocks["grading"].losses(step[START], step[END]).items():
            lost[cause] = lost.get(cause, 0.0) + hours
    assert lost["rain"] > 1.0
    assert lost["wet ground"] > 1.0


def test_no_pallet_is_brought_to_a_edge_whose_ground_is_not_ready():
    done = run(strip(grading={"done": 0.0, "rate": "500 ft**2/h"}))
    ready = steps(done, "grading")[0][END]
    assert steps(done, "forklift trips")[0][START] == ready


def test_the_luck_of_a_slice_is_its_own_whoever_grades_it():
    tables = strip(grading={"done": 0.0, "rate": {"mean": "9000 ft**2/h", "scatter": 0.5}})
    plan = plan_of(tables)
    hours = [
        {step[NUMBER]: step[WORK] for step in steps(simulate(replace(plan, gangs=gangs), 3), "grading")} for gangs in (1, 2, 4)
    ]
    assert hours[0] == hours[1] == hours[2]
    assert len(set(hours[0].values())) == 4
