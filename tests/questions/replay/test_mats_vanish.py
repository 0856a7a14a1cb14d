"""A take-up shown hour by hour: every mat is somewhere, rows only vanish, and at the end all has left."""

from itertools import pairwise

import pytest
from scenarios import LITTLE, make_scenario

from simulation.construction.planning import as_taken_up
from simulation.construction.trace.once import run_once
from simulation.field import take_off
from simulation.questions.replay.activities import DONE
from simulation.questions.replay.mats_vanish import FOR_A_LOAD, DoingsUp, take_off_stands_up
from simulation.questions.replay.on_the_ground import lay_out_ground


@pytest.fixture(scope="module")
def taken():
    scenario = as_taken_up(make_scenario(LITTLE))
    return scenario, run_once(scenario, 1)


def test_every_mat_is_somewhere_at_every_hour_and_rows_only_vanish(taken):
    scenario, run = taken
    over, laid = run.finished.site.env.now, take_off(scenario)
    stands = take_off_stands_up(run.finished, [over * part / 40 for part in range(41)])
    for stand in stands:
        for mats, whole in ((stand.full, laid.total("full")), (stand.half, laid.total("half"))):
            assert mats.supplied == whole == mats.laid + mats.at_edges + mats.yard + mats.to_come
            assert min(mats.laid, mats.at_edges, mats.yard, mats.to_come) >= 0
        assert min(stand.yard, stand.waiting, stand.on_road, stand.at_port, *stand.staged) >= 0
        for edge, spans in enumerate(stand.lying):
            assert all(first < upto for first, upto in spans)
            assert sum(upto - first for first, upto in spans) == stand.laid[edge]
    for one, other in pairwise(stands):
        assert all(later <= earlier for earlier, later in zip(one.laid, other.laid, strict=True))
        assert other.at_port >= one.at_port
    first, last = stands[0], stands[-1]
    assert first.full.laid == laid.total("full")
    assert (sum(last.laid), last.full.at_edges, last.yard) == (0, 0, 0)
    pallets = len(run.finished.up.pallets)
    assert last.at_port + last.on_road + last.waiting == pallets


def test_each_actor_does_what_its_step_says_and_crews_are_done_when_nothing_is_left(taken):
    scenario, run = taken
    doings = DoingsUp(run.finished, lay_out_ground(scenario, run.finished.site.plan))
    over = run.finished.site.env.now
    start = {one.name: one.what for one in doings.at(0.5)}
    assert start["red"] in (
        "drawing key strips out",
        "taking connectors off",
        "taking end connectors off",
        "lifting rows",
        "freeing key strips that stick",
    )
    end = {(one.kind, one.name): one.what for one in doings.at(over)}
    assert {what for (kind, _), what in end.items() if kind == "crew"} == {DONE}
    assert any(one.what == FOR_A_LOAD for one in doings.at(0.0) if one.kind == "truck")
