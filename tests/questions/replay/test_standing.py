"""What lies where at an hour is worked out from the trace: nothing appears or disappears, and it ends where the run ended."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import assume, given
from scenarios import strip
from small_runs import examples, in_every_random_field, random_run, run, scenarios, steps

from simulation.construction.plan.steps import END, KIND, MOVE, NUMBER, START, UNLOAD
from simulation.construction.site.edges.waits import list_waits
from simulation.construction.trace.balance import balances
from simulation.questions.replay.forklift_jobs import list_consignments, list_jobs
from simulation.questions.replay.state_at import take_off_stands
from simulation.scenario import ScenarioError

#: A field with trucks, damage, skew, breakdowns and grading, whose luck is drawn.
LIVELY = strip(
    top={"starts": "2031-04-02T06:00:00", "horizon": "60 day", "seed": 5},
    area=[{"name": "strip", "length": "160 ft", "width": "72 ft", "start": "centre-out", "key_strips_every": "20 ft"}],
    crew=[{"name": name, "people": 12, "areas": ["strip"]} for name in ("red", "blue")],
    supply={"on_hand": 5, "total": 45},
    supply__trucks=[{"count": 3, "pallets": 4, "load": "20 min", "haul": "30 min", "return": "20 min"}],
    laying={"skew_found": 0.5, "damaged_mats": 0.02},
    forklifts={"breakdown_every": {"mean": "3 h", "scatter": "exponential"}},
    grading={"done": 0.2},
)


def over(done):
    return max(done.site.plan.horizon if step is None else step[END] for step in done.site.reached)


def looks(done, count=40):
    return take_off_stands(done, [over(done) * number / count for number in range(count + 1)])


def built(text):
    try:
        return run(text)
    except ScenarioError:
        assume(False)


def holds_at_every_hour(done):
    """Check a run at forty hours, and at the end against what the run itself says."""
    stands = looks(done)
    for stand in stands:
        for mats in (stand.full, stand.half):
            places = (mats.to_come, mats.yard, mats.on_forks, mats.at_edges, mats.in_work, mats.laid, mats.rejected)
            assert mats.supplied == sum(places)
            assert min(places) >= 0
        counts = (stand.yard, stand.at_port, stand.on_road, stand.waiting, stand.loads, *stand.in_work, *stand.staged)
        assert min(counts) >= 0
        assert all(laid + begun <= graded for laid, begun, graded in zip(stand.laid, stand.in_work, stand.graded, strict=True))
    for before, after in pairwise(stands):
        for earlier, later in ((before.laid, after.laid), (before.graded, after.graded), (before.strips, after.strips)):
            assert all(one <= other for one, other in zip(earlier, later, strict=True))
    last = stands[-1]
    for mats, truth in zip((last.full, last.half), balances(done), strict=True):
        assert (mats.supplied, mats.laid, mats.in_work) == (truth.supplied, truth.laid, truth.in_work)
        assert (mats.rejected, mats.yard, mats.to_come) == (truth.rejected, truth.yard, truth.incoming)
        assert mats.at_edges + mats.on_forks == truth.loose + truth.staged + truth.on_forks + truth.stray
    assert last.laid == tuple(edge.laid for edge in done.site.edges)
    assert last.graded == tuple(edge.graded for edge in done.site.edges)
    if not any(step[KIND] == MOVE for step in done.site.trace):  # how much a move brings the trace does not say
        assert last.staged == tuple(len(edge.staged) for edge in done.site.edges)


@in_every_random_field
def test_nothing_appears_or_disappears_or_goes_back_and_it_ends_where_the_run_ended(text):
    holds_at_every_hour(random_run(text))


@pytest.mark.slow
@examples(2000)
@given(scenarios())
def test_the_same_holds_in_two_thousand_fields(text):
    holds_at_every_hour(built(text))


@pytest.mark.parametrize("run_number", range(5))
def test_the_same_holds_where_everything_happens_and_at_the_end_every_row_is_laid(run_number):
    done = run(LIVELY, run_number)
    holds_at_every_hour(done)
    assert looks(done, 1)[-1].laid == tuple(edge.rows for edge in done.site.edges)


def test_rows_count_as_laid_when_their_step_ends_and_as_begun_before():
    done = run(LIVELY)
    step = steps(done, "laying rows")[3]
    before, at, after = take_off_stands(done, [step[START] + 1e-6, step[END] - 1e-6, step[END]])
    edge, number = step[6], step[7]
    assert before.laid[edge] + before.in_work[edge] == at.laid[edge] + at.in_work[edge] == number
    assert after.laid[edge] == number > before.laid[edge]


def test_what_a_breakdown_interrupts_is_taken_over_and_stands_somewhere_until_then():
    left = 0
    for run_number in range(5):
        done = run(LIVELY, run_number)
        jobs, feeds = list_jobs(done), Counter(step[KIND] for step in done.site.trace)
        assert len(jobs) == sum(feeds[kind] for kind in (7, 8, 9))
        broken = [job for job in jobs if job.broke_down is not None]
        assert len(broken) == len(steps(done, "forklift repair"))
        assert all(job.broke_down[1] >= 0 for job in broken)
        carried = [job for job in broken if job.kind != UNLOAD]
        assert sum(job.stray for job in jobs) == len(carried) - len(done.board.strays)
        left += len(carried)
    assert left


def test_a_truck_drives_back_when_the_load_that_it_brought_is_unloaded():
    done = run(LIVELY)
    loads = list_consignments(done)
    assert sum(load.pallets for load in loads) == 40
    for back in steps(done, "trucks returning"):
        mine = [load for load in loads if load.actor == back[5] and load.unloaded == back[START]]
        assert len(mine) == 1
        assert mine[0].sets_out < mine[0].arrives <= mine[0].unloading < mine[0].unloaded


@pytest.mark.parametrize("hours", [[], [0.0]])
def test_at_hour_zero_nothing_is_laid(hours):
    stands = take_off_stands(run(LIVELY), hours)
    assert len(stands) == len(hours)
    assert all(sum(stand.laid) == 0 and stand.at_port + stand.on_road == 40 for stand in stands)


def test_a_strip_that_one_crew_begins_and_another_finishes_is_set_when_it_is_finished():
    day, night = ({"hours": [hours], "lighting": True} for hours in ("06:00-18:00", "18:00-06:00"))
    crews = [{"name": "red", "people": 12, "areas": ["strip"], "shift": day}]
    crews.append({"name": "blue", "people": 12, "areas": ["strip"], "shift": night, "second_crew": "relief"})
    area = [{"name": "strip", "length": "200 ft", "width": "72 ft", "key_strips_every": "50 ft"}]
    done = run(strip(area=area, crew=crews, supply={"on_hand": 200}, laying={"key_strip": "9 h"}))
    pieces = {}
    for step in steps(done, "key strips"):
        pieces.setdefault(step[NUMBER], []).append(step)
    handed_over = {number: each for number, each in pieces.items() if len(each) > 1}
    assert handed_over
    for number, each in handed_over.items():
        half, whole = take_off_stands(done, [(each[0][END] + each[-1][END]) / 2, each[-1][END] + 1e-6])
        assert number not in half.strips[0] and number in whole.strips[0]


def test_pallets_that_a_crew_has_opened_without_getting_a_row_are_not_staged():
    # A pallet holds one half mat, and every other row of so narrow a strip ends in two.
    narrow = strip(
        top={"starts": "2031-04-02T06:00:00", "horizon": "10 day"},
        area=[{"name": "strip", "length": "200 ft", "width": "24 ft"}],
        mat={"pallet_full": 20, "pallet_half": 1},
        supply={"on_hand": 0, "total": 200, "spares": 0.0},
        supply__flights=[{"pallets": 1, "first": "0 h", "every": "20 h"}],
    )
    done = run(narrow)
    holds_at_every_hour(done)
    waits = [wait for wait in list_waits(done.site, over(done)) if wait.what == "half mats"]
    assert any(wait.ended_by is None for wait in waits)  # no row follows the last one
    stands = take_off_stands(done, [(wait.start + wait.end) / 2 for wait in waits])
    assert {stand.staged for stand in stands} == {(0,)}
    assert all(stand.full.at_edges for stand in stands)


def test_pallets_kept_for_shipments_stand_apart_at_the_port_until_these_are_brought_off():
    supply = {"on_hand": 5, "total": 45, "shipments": [{"pallets": 12, "comes": "9 day", "lot": 4}]}
    ashore, last = looks(run(strip(**(LIVELY | {"supply": supply}))), 1)
    assert (ashore.by_shipment, ashore.at_port) == (12, 40 - 4 * 3)  # three trucks take four each at once
    assert (last.by_shipment, last.at_port) == (0, 0)
    assert looks(run(LIVELY), 1)[0].by_shipment is None
