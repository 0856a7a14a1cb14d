"""Where is the clearance between the rail's joints and the mats' used up in a run, and what is done there?"""

import math

import pytest
from fields import railed
from hypothesis import given
from hypothesis import strategies as st
from scenarios import written
from small_runs import examples, run, steps

from simulation.construction.plan.plan_parts import RailPlan
from simulation.construction.plan.steps import BECAUSE, END, NUMBER, START, WORK
from simulation.construction.site.edges.rail_clearance import SHORT, remedies
from simulation.construction.trace.chain import hours_by_cause
from simulation.field import make_rows
from simulation.field.clearance import clearance
from simulation.scenario import parse_scenario

INCH = 1 / 12


def station_used_up(tables, **of):
    """Return where the take-off sees the clearance used up by so much of each cause."""
    scenario = parse_scenario(written(tables))
    area = scenario.area[0]
    return clearance("", area, make_rows(area, scenario.mat), **of).used_up


def long_strip(**changes):
    return railed(1100, supply={"on_hand": 600}, **changes)


def test_rows_are_re_seated_at_the_station_where_the_take_off_sees_creep_use_the_clearance_up():
    tables = long_strip(rail={"creep": "0.02 in", "remedy": "re-seating"})
    done = run(tables)
    (closing,) = steps(done, "re-seating for the rail")
    at = station_used_up(tables, creep=0.02 * INCH)
    assert closing[NUMBER] == int(at / (2 + 0.02 * INCH))  # the row beside that joint is the next one
    assert closing[NUMBER] == 454  # 450 rows use up nine inches; joints are beside rows 4, 9, 14, …
    assert closing[WORK] == pytest.approx(closing[NUMBER] * 4 / 60)
    assert not steps(done, "short rail section")
    assert hours_by_cause(done.site.reached[0], done)["re-seating for the rail"] == pytest.approx(closing[WORK])


def test_seals_alone_use_the_budget_up_in_about_720_ft_and_a_short_section_is_set_there():
    tables = long_strip(rail={"seal": "0.125 in"})
    done = run(tables)
    (short,) = steps(done, "short rail section")
    at = station_used_up(tables, seal=0.125 * INCH)
    assert at == pytest.approx(9 + 73 * (10 + 0.125 * INCH))  # 72 seals use up nine inches, the next is too many
    assert short[NUMBER] == int(at / 2)
    assert short[WORK] == 1.0
    crew = next(step for step in steps(done, "laying rows") if step[START] == short[END])
    assert crew[BECAUSE] is short
    assert hours_by_cause(done.site.reached[0], done)["short rail section"] == 1.0


def test_a_crew_does_not_re_seat_rows_where_that_gives_no_clearance_back():
    done = run(long_strip(rail={"seal": "0.125 in", "remedy": "re-seating"}))
    assert not steps(done, "re-seating for the rail")
    assert len(steps(done, "short rail section")) == 1


def test_a_rail_that_nothing_shifts_needs_nothing():
    done = run(long_strip())
    assert not steps(done, "re-seating for the rail")
    assert not steps(done, "short rail section")
    assert done.site.edges[0].stops == done.site.plan.edges[0].stops


def test_creep_is_a_level_of_the_run_and_a_scatter_of_the_row_whoever_lays_it():
    tables = long_strip(rail={"creep": {"p10": "0.005 in", "p90": "0.08 in", "scatter": 0.5}})
    at = [run(tables, run_number).site.edges[0].remedies for run_number in range(6)]
    assert len({tuple(found) for found in at}) > 1
    more = {**tables, "crew": [{**tables["crew"][0], "people": 30}]}
    assert [run(more, run_number).site.edges[0].remedies for run_number in range(6)] == at


def as_laid(rail, strips, sides, done):
    """Return the least clearance of every row as it is laid, gone through mat by mat, with what `done` says is done."""
    moved, least = 0.0, []
    joints = rail.joints
    crept, pushed = [0.0] * len(sides), 0.0
    for row in range(len(sides[0])):
        near = row * rail.depth + pushed
        pushed += rail.strip * (row in strips)
        if done.get(row, SHORT) != SHORT:
            crept = [0.0] * len(sides)
        if row in done and done[row] == SHORT:
            middle = row * rail.depth + pushed + crept[0] + (rail.depth + sides[0][row]) / 2
            nearest = min((joint for joint in joints), key=lambda joint: abs(joint - moved - middle))
            moved += (nearest - moved - middle) % rail.depth
        edges = [
            edge
            for before, side in zip(crept, sides, strict=True)
            for edge in (near + before, row * rail.depth + pushed + before, (row + 1) * rail.depth + pushed + before + side[row])
        ]
        first, last = near + crept[0], (row + 1) * rail.depth + pushed + crept[0] + sides[0][row]
        beside = [joint - moved for joint in joints if first <= joint - moved < last]
        least.append(min((abs(joint - edge) for joint in beside for edge in edges), default=math.inf))
        crept = [before + side[row] for before, side in zip(crept, sides, strict=True)]
    return least


@given(st.data())
@examples(60)
def test_no_row_is_laid_with_too_little_clearance_whatever_shifts_the_joints(data):
    pick = lambda *values: data.draw(st.sampled_from(values))  # noqa: E731
    rows = pick(60, 200, 400)
    seal, strip, creep = pick(0.0, 0.01, 0.05), pick(0.0, 0.125, 0.3), pick(0.0, 0.001, 0.01)
    strips = set(range(5, rows, pick(10, 50)))
    side = [creep * data.draw(st.floats(0.0, 2.0)) for _ in range(rows)]
    joints = tuple(9.0 + number * (10.0 + seal) for number in range(rows // 5 - 1))
    rail = RailPlan(0, 0, "", (), (), (), joints, 2.0, strip, 0.25, pick(False, True))
    found = remedies(rail, strips, [side])
    assert min(as_laid(rail, strips, [side], found)) >= 0.25 - 1e-9
    if not (seal or strip or creep):
        assert not found


def test_a_crew_with_a_shift_of_its_own_re_seats_as_many_rows_on_its_own_hours():
    tables = long_strip(rail={"creep": "0.02 in", "remedy": "re-seating"})
    own = {"hours": ["06:00-18:00"], "lighting": True}
    done = run({**tables, "crew": [{**tables["crew"][0], "shift": own}]})
    closing = steps(done, "re-seating for the rail")
    assert closing[-1][NUMBER] == 454
    assert sum(step[WORK] for step in closing) == pytest.approx(454 * 4 / 60)
    assert done.site.reached[0][END] > run(tables).site.reached[0][END] + 24.0  # 30 h of it take two nights at least
