"""Which job does a free forklift do next, and does any stand idle beside one?"""

import pytest
from scenarios import strip
from small_runs import in_every_random_field, kind, run, steps

from simulation.construction.plan.steps import BECAUSE, EDGE, END, FEED, KIND, NUMBER, START, UNLOAD
from simulation.construction.site.pallets.board import Board


def watch_edges(monkeypatch):
    """Return a list that grows by (pallets beside the laying edge, the step that set one down) as a run runs."""
    seen = []
    original = Board.set_down

    def set_down(self, edge, mats, step):
        original(self, edge, mats, step)
        seen.append((len(edge.staged) + edge.in_use, step))

    monkeypatch.setattr(Board, "set_down", set_down)
    return seen


@in_every_random_field
def test_no_more_pallets_stand_beside_a_edge_than_fit_there(text):
    with pytest.MonkeyPatch.context() as patch:
        seen = watch_edges(patch)
        done = run(text)
    for pallets, step in seen:
        assert pallets <= done.site.plan.forklifts.places, (pallets, step[KIND] == kind("moving left-over mats"))


def test_the_edge_with_the_least_cover_is_fed_first():
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew = [{"name": name, "people": 12, "areas": [area]} for name, area in (("red", "strip"), ("blue", "pad"))]
    done = run(strip(area=areas, crew=crew, forklifts={"count": 1, "staged_ahead": 3}))
    # The first pallet at either laying edge is opened as soon as it stands there, so it is no cover.
    assert [step[EDGE] for step in steps(done, "forklift trips")[:5]] == [0, 0, 1, 1, 0]


def test_a_edge_with_a_crew_is_covered_before_one_that_nobody_is_on_yet():
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["pad", "strip"]}]
    done = run(strip(area=areas, crew=crew, forklifts={"count": 1, "staged_ahead": 3}))
    first = [step[EDGE] for step in steps(done, "forklift trips")]
    assert first[:3] == [1, 1, 1]
    assert 0 in first[3:8]


@pytest.mark.parametrize("urgent_below", [0, 2, 4])
def test_a_load_waits_only_while_a_edge_has_less_cover_than_is_urgent(urgent_below):
    # The crew comes at noon: it has opened the first pallet, the others stand staged. The load lands after the first trip.
    tables = strip(
        supply={"on_hand": 20, "total": 30},
        supply__flights=[{"pallets": 10, "first": "1 min"}],
        forklifts={"count": 1, "urgent_below": urgent_below, "staged_ahead": 6},
        shifts__laying={"hours": ["12:00-18:00"], "lighting": True},
    )
    jobs = [step[KIND] for step in run(tables).site.trace if step[KIND] in (FEED, UNLOAD)]
    assert jobs[: urgent_below + 2] == [FEED] * (1 + urgent_below) + [UNLOAD]


def test_a_forklift_does_not_set_out_for_a_pallet_that_is_still_on_a_truck():
    truck = {"count": 1, "pallets": 8, "load": "1 h", "haul": "1 h", "return": "1 h"}
    done = run(strip(supply={"on_hand": 0, "total": 24}, supply__trucks=[truck]))
    jobs = [step for step in done.site.trace if step[KIND] in (FEED, UNLOAD)]
    assert jobs[0][KIND] == UNLOAD
    assert jobs[0][START] == 2.0
    set_down = [step[END] for step in jobs if step[KIND] == UNLOAD]
    for number, trip in enumerate(step for step in jobs if step[KIND] == FEED):
        assert trip[START] >= set_down[number // 8]


def test_every_idle_forklift_goes_when_a_wide_row_frees_several_places_at_once():
    area = [{"name": "apron", "length": "20 ft", "width": "240 ft"}]
    crew = [{"name": "red", "people": 60, "areas": ["apron"]}]
    done = run(strip(area=area, crew=crew, forklifts={"count": 4, "staged_ahead": 4, "handle": "1 min"}))
    trips, edge = steps(done, "forklift trips"), done.site.edges[0]
    opened, taken, compared = 0, 0, 0
    for row in steps(done, "laying rows"):
        taken += edge.plan.full[row[NUMBER] - 1]
        emptied, opened = -(-taken // 11) - opened, -(-taken // 11)
        under_way = any(trip[START] < row[END] < trip[END] for trip in trips)
        before = sum(trip[START] < row[END] for trip in trips)
        if not under_way and before + emptied <= len(trips):
            assert sum(trip[START] == row[END] and trip[BECAUSE] is row for trip in trips) == emptied
            compared += emptied > 1
    assert compared > 3


def test_mats_left_over_at_one_edge_are_moved_to_another_that_lacks_them():
    # 9 half mats each: five pallets would hold 10, but nine hold all 18.
    areas = [{"name": name, "length": "18 ft", "width": "30 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 9, "total": 9, "spares": 0.0}))
    moves = steps(done, "moving left-over mats")
    assert done.site.reached[0] is not None
    assert {step[EDGE] for step in moves} == {1}
    assert len(steps(done, "forklift trips")) == 9
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)


def test_no_mats_are_moved_while_more_pallets_are_still_to_come():
    areas = [{"name": name, "length": "18 ft", "width": "30 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    flights = [{"pallets": 1, "first": "50 h"}]
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 9, "total": 10, "spares": 0.0}, supply__flights=flights))
    assert steps(done, "moving left-over mats") == []
    assert done.site.reached[0][START] > 50
