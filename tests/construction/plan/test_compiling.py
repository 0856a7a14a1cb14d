"""What is refused before the first run, and what does a plan say?"""

import pickle
import re

import pytest
from scenarios import strip, written
from small_runs import plan_of

from simulation.conditions import lay_out
from simulation.scenario import ScenarioError, parse_scenario


def refused(tables):
    """Return the lines with which a scenario is refused, when it is read or before its first run."""
    with pytest.raises(ScenarioError) as error:
        plan_of(tables)
    return [str(mistake) for mistake in error.value.mistakes]


def area(**more):
    return [{"name": "strip", "length": "80 ft", "width": "72 ft", **more}]


def test_too_few_pallets_are_refused_with_the_shortfall():
    (line,) = refused(strip(supply={"on_hand": 15, "total": 15}))
    assert line == "supply.total: 15 pallets come, 5 too few: full mats ask for 20; write at least 20, or 21 with spares"


def test_pallets_that_nothing_brings_are_refused():
    (line,) = refused(strip(supply={"on_hand": 3}))
    assert line.startswith("supply.on_hand: 3 pallets are on hand, nothing brings more")


def test_an_area_that_no_crew_works_is_refused_by_name():
    areas = [*area(), {"name": "pad", "length": "20 ft", "width": "72 ft"}]
    (line,) = refused(strip(area=areas))
    assert line == "area.pad: no crew works this area; add it to the areas of a crew"


def test_a_width_that_is_no_whole_number_of_half_mats_names_the_two_nearest():
    (line,) = refused(strip(area=area(width="70 ft")))
    assert line.startswith("area.strip.width: 70 ft is no whole number of half mats (6 ft)")
    assert line.endswith('the nearest are "66 ft" (20.12 m) and "72 ft" (21.95 m)')


def test_a_length_that_is_no_whole_number_of_rows_names_the_two_nearest():
    (line,) = refused(strip(area=area(length="81 ft")))
    assert line.endswith('the nearest are "80 ft" (24.38 m) and "82 ft" (24.99 m)')


def test_a_centre_out_start_with_a_guide_rail_is_refused():
    (line,) = refused(strip(area=area(start="centre-out", guide_rail=True)))
    assert line.startswith("area.strip.start: a starter key strip is never used together with a guide rail")


def test_a_crew_too_small_to_carry_a_mat_is_refused():
    (line,) = refused(strip(crew=[{"name": "red", "people": 5, "areas": ["strip"]}]))
    assert re.match(r"crew\.red\.people: 5 are too few to carry a mat", line)


def test_pallets_without_a_kind_of_mat_that_the_field_needs_are_refused():
    (line,) = refused(strip(mat={"pallet_half": 0}))
    assert line.startswith("mat.pallet_half: the field needs half mats and a pallet holds none")


@pytest.mark.parametrize("kind", ["laying", "forklift"])
def test_work_whose_every_shift_is_in_the_dark_is_refused_as_it_would_never_begin(kind):
    tables = strip(site={"latitude": 10, "longitude": 0})
    tables[f"shifts.{kind}"] = {"hours": ["20:00-04:00"], "lighting": False}
    (line,) = refused(tables)
    assert "shifts" in line


def test_a_plan_travels_to_a_worker_and_comes_back_the_same():
    plan = plan_of(strip(area=area(start="centre-out", end_ramps=True), site={"latitude": 10, "longitude": 0}))
    assert pickle.loads(pickle.dumps(plan)) == plan
    assert b"pydantic" not in pickle.dumps(plan)


def test_edges_have_their_rows_in_laying_order():
    low, high = plan_of(strip(area=area(start="centre-out", length="18 ft"))).edges
    assert (low.first, low.last, low.upward) == (0, 4, False)
    assert (high.first, high.last, high.upward) == (4, 9, True)
    # Even rows of 72 ft have six full mats, odd ones five and two half mats; a downward laying edge begins at row 3.
    assert low.half == (2, 0, 2, 0)
    assert high.half == (0, 2, 0, 2, 0)


def test_pallets_travel_from_the_yard_along_and_across():
    tables = strip(area=area(), supply={"yard": {"area": "strip", "station": "10 ft", "offset": "100 ft"}})
    travel = plan_of(tables).edges[0].travel
    assert travel[0] == pytest.approx(100 + 9)
    assert travel[4] == pytest.approx(100 + 1)
    assert travel[39] == pytest.approx(100 + 69)


@pytest.mark.parametrize(("every", "checks"), [(10, {10, 20, 30, 40}), (16, {16, 32, 40}), (1000, {40})])
def test_rows_are_checked_every_so_many_and_at_the_end_of_a_edge(every, checks):
    assert plan_of(strip(laying={"check_every": every})).edges[0].checks == checks


@pytest.mark.parametrize(("done", "rows"), [(0.0, 0), (0.3, 12), (0.31, 12), (0.99, 39), (1.0, 40)])
def test_of_a_started_row_of_ground_nothing_counts_as_graded(done, rows):
    assert plan_of(strip(grading={"done": done})).edges[0].graded == rows


def test_the_default_milestone_is_readiness_of_every_area():
    plan = plan_of(strip(area=area(start="centre-out")))
    assert [milestone.name for milestone in plan.milestones] == ["operational readiness"]
    assert plan.ready == 0
    assert [gate.parts for gate in plan.gates] == [2]


def test_a_day_of_shifts_is_held_against_the_light_of_its_own_days_only():
    looked_at = 0

    class Counting(tuple):
        __slots__ = ()

        def __iter__(self):
            nonlocal looked_at
            for one in super().__iter__():
                looked_at += 1
                yield one

    days = 1000
    scenario = parse_scenario(written(strip(shifts__all={"hours": ["05:00-12:00", "13:00-20:00"], "lighting": False})))
    light = Counting((24.0 * day, 24.0 * day + 12) for day in range(days))
    segments = lay_out(scenario.shifts.all, light, scenario.starts, 24.0 * days)
    assert sum(end - start for start, end, rate, _ in segments if rate) == pytest.approx(11.0 * days)
    assert looked_at < 50 * days  # all of it for each of 2,000 spans would be two million
