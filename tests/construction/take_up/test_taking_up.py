"""Taking up conserves what was laid, takes what its rows take, and is held up by whoever is slowest."""

import math
from collections import Counter
from itertools import accumulate

import pytest
from scenarios import LITTLE, make_scenario

from simulation.construction.plan.steps import BRING_IN, END, KIND, KINDS, LIFT, LOAD_OUT, NUMBER, RAIL_UP, START
from simulation.construction.planning import as_taken_up, compile_plan
from simulation.construction.running import simulate
from simulation.construction.site.edges.waits import FORKLIFTS, RAMPS
from simulation.construction.trace.balance import balances
from simulation.construction.trace.once import run_once
from simulation.construction.trace.taken_up import take_up_once
from simulation.field import take_off
from simulation.field.take_up_sections import areas_in_order, list_sections
from simulation.scenario import ScenarioError

#: Six teams place the six mats of a row at once, a minute each; nothing else takes time, and nothing is uncertain.
LAID_IN_A_MINUTE = {
    "overhead": 3, "pick_up": "0 s", "place": "1 min", "walk": "1000000 mph", "lock": "0 s", "open_pallet": "0 s",
    "rows_in_work": 12, "efficiency": 1.0, "damaged_mats": 0.0,
}  # fmt: skip
AT_ONCE = {"clean": "0 s", "inspect": "0 s", "stack": "0 s", "band": "0 s", "handlers": 1, "bent": 0.0, "sticking": 0.0,
           "end_connector": "0 s"}  # fmt: skip
#: Sixteen of them lift.
RED = {"name": "red", "people": 17, "areas": ["strip"]}
UNHINDERED = {"draw_out": "0 min", "stuck": 0.0, "take_up": 1.0, "along": 3.0}
TIRELESS = {"count": 4, "speed": "1000 mph", "handle": "0 s", "breakdown_every": "1000000 h", "efficiency": 1.0}


def field(take_up=None, repair=None, forklifts=None, **tables):
    whole_days = {"shifts": {"laying": {"hours": ["00:00-24:00"]}, "forklift": {"hours": ["00:00-24:00"]}}}
    tables = {
        "area": [{"name": "strip", "length": "300 ft", "width": "66 ft"}],
        "crew": [RED],
        "supply": {"on_hand": 120},
        "top": {"job": "take up"},
        "laying": LAID_IN_A_MINUTE,
        "repair": UNHINDERED | (repair or {}),
        "take_up": AT_ONCE | (take_up or {}),
        "forklifts": TIRELESS | (forklifts or {}),
        **{f"shifts.{kind}": hours for kind, hours in whole_days["shifts"].items()},
        **tables,
    }
    return make_scenario({head: table for head, table in tables.items() if table is not None})


def crews(count):
    return [RED | {"name": f"red {number}"} for number in range(count)]


def taken(scenario, run=0):
    return take_up_once(compile_plan(as_taken_up(scenario)), run)


def test_with_like_rates_no_breaks_and_one_gang_it_takes_exactly_the_sum_of_its_rows():
    assert taken(field()).rows_up == pytest.approx(150 / 60, abs=1e-4)


def test_key_strips_are_drawn_once_each_and_a_direction_slows_rows_alone():
    assert taken(field(repair={"draw_out": "10 min"})).rows_up == pytest.approx((150 + 3 * 10) / 60, abs=1e-3)
    along = field({"direction": "along"}, {"draw_out": "10 min"})
    assert taken(along).rows_up == pytest.approx((3 * 150 + 3 * 10) / 60, abs=1e-3)


@pytest.mark.parametrize("direction", ["against", "along"])
@pytest.mark.parametrize("run", range(3))
def test_what_comes_up_is_what_was_laid_and_every_pallet_holds_what_it_holds(direction, run):
    scenario = make_scenario(LITTLE, take_up={"direction": direction})
    laid, up = take_off(scenario), taken(scenario, run)
    by_size, away = Counter(), Counter()
    for (_, full), count in up.mats.items():
        by_size[full] += count
    assert by_size == {True: laid.total("full"), False: laid.total("half")}
    holds = 2 * scenario.mat.pallet_full + scenario.mat.pallet_half
    for load in up.off:
        for pallet in load.pallets:
            assert 0 < pallet.mats * (2 if pallet.full else 1) <= holds
            assert sum(count for _, count in pallet.by_area) == pallet.mats
            away[pallet.state, pallet.full] += pallet.mats
    assert away == up.mats
    assert up.rows_up <= up.in_yard <= up.gone


def test_every_row_and_every_key_strip_comes_up_once_whatever_the_direction():
    scenario = make_scenario(LITTLE)
    for along in (False, True):
        for area in scenario.area:
            sections = list_sections(scenario, area, along)
            rows = sorted(row for section in sections for row in section.rows)
            strips = sorted(section.strip for section in sections if section.strip is not None)
            assert rows == list(range(round(area.length / 2)))
            assert strips == list(range(len(strips)))
            assert sum(section.starter for section in sections) == (area.start == "centre-out")


def test_several_points_are_faster_until_one_forklift_binds():
    slow = {"count": 1, "handle": "4 min", "speed": "1000 mph"}
    free = [taken(field(crew=crews(count))).in_yard for count in (1, 3)]
    bound = [taken(field(crew=crews(count), forklifts=slow)).in_yard for count in (1, 3)]
    assert free[1] < 0.5 * free[0]
    assert bound[1] > 0.95 * bound[0]
    pallets = sum(taken(field(forklifts=slow)).pallets.values())
    assert bound[0] == pytest.approx(pallets * 8 / 60, rel=0.02)
    assert taken(field(crew=crews(3), forklifts=slow)).waits[FORKLIFTS] > 1.0


def test_a_crew_more_than_there_are_points_waits_for_one_of_them():
    one, two, held = (
        taken(field(crew=crews(count), take_up=more)).rows_up for count, more in ((1, {}), (2, {}), (2, {"points": 1}))
    )
    assert held == pytest.approx(one)
    assert two < 0.7 * one


def test_loads_leave_under_the_daily_limit_and_the_last_one_is_what_is_left():
    trucks = [{"count": 3, "pallets": 10, "load": "1 min", "haul": "1 min", "return": "1 min"}]
    haul = {"shifts.haul": {"hours": ["00:00-24:00"]}}
    up = taken(field(supply={"on_hand": 120, "per_day_limit": 20}, **{"supply.trucks": trucks}, **haul))
    pallets = sum(up.pallets.values())
    assert up.loads == math.ceil(pallets / 10)
    # Twenty a day from 06:00 of the first day on: the last ones leave on the day that the limit lets them.
    assert (up.gone + 6) // 24 == math.ceil(pallets / 20) - 1
    assert up.in_yard < 24


def test_end_ramps_are_dug_out_while_the_middle_goes():
    ramped = {"name": "strip", "length": "300 ft", "width": "66 ft", "end_ramps": True}
    quick, slow = (
        taken(
            field(
                {"dig_out": hours}, area=[ramped], grading={"efficiency": 1.0}, **{"shifts.grading": {"hours": ["00:00-24:00"]}}
            )
        )
        for hours in ("30 min", "5 h")
    )
    assert quick.waits[RAMPS] == 0.0
    assert slow.rows_up > 10.0 and slow.waits[RAMPS] > 5.0


def test_areas_come_up_before_the_one_that_is_their_way_out():
    assert areas_in_order(make_scenario(LITTLE)) == ("pad", "strip")
    with pytest.raises(ScenarioError, match='"pad" joins "strip" and would lose its way out'):
        make_scenario(LITTLE, take_up={"areas": ["strip", "pad"]})
    with pytest.raises(ScenarioError, match='there is no area "pat"'):
        make_scenario(LITTLE, take_up={"areas": ["pat"]})


def test_more_points_than_key_strips_and_a_gang_too_small_are_refused():
    with pytest.raises(ScenarioError, match="5 points are more than the 3 key strips"):
        compile_plan(field({"points": 5}))
    with pytest.raises(ScenarioError, match="write 7 or more"):
        compile_plan(field(crew=[RED | {"people": 6}]))


@pytest.mark.parametrize("run", range(2))
def test_the_causes_sum_to_each_milestone_and_every_mat_is_somewhere_whenever_it_is_left(run):
    scenario = as_taken_up(make_scenario(LITTLE))
    one = run_once(scenario, run)
    assert list(one.milestones) == ["the last row up", "the last pallet in the yard", "the last load out"]
    for name, causes in one.causes.items():
        assert sum(causes.values()) == pytest.approx(one.milestones[name])
    ready = sum(hours for key, hours in one.record.items() if key.startswith("cause."))
    assert ready == pytest.approx(one.milestones["the last load out"])
    for until in (3.0, 30.0, 70.0, 1e9):
        for mats in balances(simulate(compile_plan(scenario), run, until=until)):
            assert mats.accounted == mats.supplied
            assert min(mats.laid, mats.loose, mats.staged, mats.yard, mats.away) >= 0
    assert mats.away == mats.supplied


def test_a_milestone_waits_for_the_areas_that_it_names_and_for_as_far_as_it_says():
    asked = [{"name": f"{area} {when}", "areas": [area], "when": when, "ready": (area, when) == ("strip", "away")}
             for area in ("pad", "strip") for when in ("up", "in yard", "away")]  # fmt: skip
    run = run_once(as_taken_up(make_scenario(LITTLE, take_up={"milestone": asked})))
    for area in ("pad", "strip"):
        assert run.milestones[f"{area} up"] < run.milestones[f"{area} in yard"] < run.milestones[f"{area} away"]
    assert run.milestones["pad up"] < run.milestones["strip up"]
    last = dict(zip(run.milestones, run.finished.site.reached, strict=True))
    assert [KINDS[last[f"strip {when}"][KIND]].name for when in ("up", "in yard", "away")] == [
        "lifting rows", "pallets to the yard", "loading out"
    ]  # fmt: skip


@pytest.mark.parametrize("carried", [{}, {"supply.trucks": [{"count": 2, "pallets": 10, "haul": "1 h", "return": "1 h"}]}])
def test_every_mat_leaves_on_a_pallet_of_its_kind_and_a_load_is_off_when_it_is_at_the_port(carried):
    haul = {f"shifts.{kind}": {"hours": ["00:00-24:00"]} for kind in ("haul",)} if carried else {}
    up = taken(field({"scrap": 0.05}, **carried, **haul))
    off = Counter()
    for load in up.off:
        for pallet in load.pallets:
            off[pallet.state, pallet.full] += pallet.mats
            assert pallet.mats * (2 if pallet.full else 1) <= 24
    assert off == up.mats
    last = max(load.hour for load in up.off)
    assert last > up.gone + 1.0 if carried else last == up.in_yard
    assert sum(feet for _, feet in up.bare) == pytest.approx(300 * 66)
    assert max(hour for hour, _ in up.bare) == up.rows_up


def test_tie_downs_come_off_first_and_rows_that_stick_are_freed_one_by_one():
    stands = {"name": "strip", "length": "300 ft", "width": "66 ft", "stands": {"count": 4, "tie_downs": 6}}
    rows = taken(field()).rows_up
    # Sixteen people make eight teams of two.
    assert taken(field({"tie_down": "4 min"}, area=[stands])).rows_up == pytest.approx(rows + 24 * 4 / 60 / 8)
    stuck = taken(field({"sticking": 1.0, "free_row": "2 min"}))
    assert stuck.rows_up == pytest.approx(rows + 150 * 2 / 60, abs=1e-3)
    run = run_once(field({"tie_down": "4 min"}, area=[stands]))
    assert next(iter(run.steps.query("actor == 'crew red'").work)) == "taking tie-downs off"


def test_end_connectors_come_off_before_the_rows_of_their_end():
    """By hand: six connectors of 12 ft close 66 ft, at either end."""
    steps = run_once(field({"end_connector": "4 min"})).steps
    lifted = steps[steps.work == "lifting rows"]
    off = steps[steps.work == "taking end connectors off"]
    assert [end - start for start, end in zip(off.start, off.end, strict=True)] == pytest.approx([6 * 4 / 60 / 8] * 2)
    for end, row in zip(off.end, (149, 0), strict=True):
        assert lifted[lifted.number == row].start.min() >= end
    assert taken(field({"end_connector": "4 min"})).rows_up == pytest.approx(taken(field()).rows_up + 12 * 4 / 60 / 8)
    buried = {"name": "strip", "length": "300 ft", "width": "66 ft", "end_connectors": 0}
    assert taken(field({"end_connector": "4 min"}, area=[buried])).rows_up == taken(field()).rows_up


def test_a_guide_rail_comes_up_section_by_section_each_but_the_last_with_a_seal():
    """By hand: a first section of 4 ft and thirty of 10 ft make 31 sections of 300 ft, with thirty seals between them."""
    rail = {"offset": "30 ft", "first_section": "4 ft", "section": "10 ft", "seal": "0.02 in"}
    railed = {"name": "strip", "length": "300 ft", "width": "66 ft", "guide_rail": True, "rail": rail}
    timed = {"rail_section": "4 min", "seal": "1 min"}
    without = taken(field(timed | {"rail_section": "0 s", "seal": "0 s"}, area=[railed])).rows_up
    assert taken(field(timed, area=[railed])).rows_up == pytest.approx(without + (31 * 4 + 30 * 1) / 60, abs=1e-6)
    # No section comes up before the rows that hook into it. From the far end on, the first is of 6 ft, the last of 4 ft.
    steps = run_once(field(timed, area=[railed])).steps
    rail, rows = (steps[steps.work == work] for work in ("taking guide rail up", "lifting rows"))
    up = [int((rows.end <= start).sum()) for start in rail.start]
    assert all(min(6 + 10 * number, 300) <= 2 * lifted for number, lifted in enumerate(up))


@pytest.mark.parametrize("ramps", [False, True])
@pytest.mark.parametrize("count", [2, 3])
def test_no_rail_comes_up_beneath_mats_that_still_lie_whichever_crew_takes_them_up(count, ramps):
    """Key strips stand 100 ft apart, so sections of rail of 14 ft reach under the rows of two crews side by side."""
    rail = {"offset": "30 ft", "first_section": "4 ft", "section": "14 ft", "seal": "0.02 in"}
    railed = {"name": "strip", "length": "300 ft", "width": "66 ft", "guide_rail": True, "rail": rail, "end_ramps": ramps}
    people = [RED | {"name": f"red {number}", "people": 17 - 4 * number} for number in range(count)]
    done = simulate(compile_plan(field({"rail_section": "4 min", "seal": "1 min"}, area=[railed], crew=people)), 0)
    up = {step[NUMBER]: step[END] for step in done.site.trace if step[KIND] == LIFT}
    rails = {step[NUMBER]: step[START] for step in done.site.trace if step[KIND] == RAIL_UP}
    ends = [0.0, *(4.0 + 14.0 * number for number in range(22)), 300.0]
    assert sorted(rails) == list(range(len(ends) - 1))
    for number, begun in rails.items():
        over = range(int(ends[number] // 2), math.ceil(ends[number + 1] / 2))  # rows are 2 ft deep
        assert all(up[row] <= begun + 1e-9 for row in over if row < 150), number
    assert done.up.share_left() == 0.0


def test_edges_put_right_and_mats_carried_cost_their_handlers_as_much_as_written():
    one = {"handlers": 1, "loose": 100_000}
    mats = take_off(field()).total("full") + take_off(field()).total("half")
    at_once = taken(field(one)).in_yard
    bent = taken(field(one | {"bent": 1.0, "edge_tool": "1 min"})).in_yard
    assert bent == pytest.approx(max(at_once, mats / 60), rel=0.05)
    carried = taken(field(one | {"carry": "264 ft"}, laying=LAID_IN_A_MINUTE | {"walk": "6 mph"})).in_yard
    # Two people walk 528 ft at 528 ft a minute for each mat.
    assert carried == pytest.approx(max(at_once, 2 * mats / 60), rel=0.05)


@pytest.mark.parametrize("run", range(2))
def test_the_rows_that_an_area_joins_come_up_when_it_is_up_since_they_are_its_way_out(run):
    crews_of_both = [{"name": f"red {number}", "people": 17, "areas": ["strip", "pad"]} for number in range(3)]
    done = run_once(as_taken_up(make_scenario(LITTLE, crew=crews_of_both)), run)
    steps = done.steps[done.steps.work == "lifting rows"]
    pad = steps[steps.area == "pad"].end.max()
    # The pad lies at the high end of the strip: only its outermost section waits.
    high = steps[steps.area == "strip, high side"]
    assert high[high.number == high.number.max()].start.min() >= pad
    assert steps[steps.area.str.startswith("strip")].start.min() < pad


SHIP = {"pallets": 200, "comes": "3 day", "discharge": "1 min", "lot": 10}
TRUCKS = [{"count": 2, "pallets": 4, "haul": "30 min", "return": "30 min", "load": "10 min"}]


def test_a_ship_comes_on_its_date_takes_all_that_there_is_and_is_off_when_it_sails():
    up = taken(field({"shipments": [SHIP]}))
    pallets = sum(len(load.pallets) for load in up.off)
    assert pallets == sum(up.pallets.values())
    assert max(len(load.pallets) for load in up.off) == SHIP["lot"]
    # All stood in the yard by then. Lot by lot: 3 min to put each pallet on, 1 min to bring it on board.
    assert up.in_yard < 72.0
    assert {round(load.hour, 6) for load in up.off} == {round(72.0 + pallets * (3 + 1) / 60, 6)}
    assert up.gone == pytest.approx(72.0 + (pallets * 4 - len(up.off[-1].pallets)) / 60)


def test_the_most_that_stand_in_the_yard_are_all_where_a_ship_comes_after_and_all_but_what_the_days_limit_let_go():
    for all_there in (taken(field({"shipments": [SHIP]})), taken(field())):
        assert all_there.most == (sum(all_there.pallets.values()), all_there.in_yard)
    # Of a field that is up within 3 h, twenty pallets may leave on the first day.
    trucks = [{"count": 3, "pallets": 10, "load": "1 min", "haul": "1 min", "return": "1 min"}]
    haul = {"shifts.haul": {"hours": ["00:00-24:00"]}}
    up = taken(field(supply={"on_hand": 120, "per_day_limit": 20}, **{"supply.trucks": trucks}, **haul))
    assert up.most == (sum(up.pallets.values()) - 20, up.in_yard)


@pytest.mark.parametrize("run", range(3))
def test_the_most_in_the_yard_is_what_its_comings_and_goings_add_up_to(run):
    ship = {"shipments": [SHIP | {"pallets": 20, "comes": "6 h"}]}
    done = simulate(compile_plan(field(ship, supply={"on_hand": 120, "trucks": TRUCKS}, crew=crews(2))), run)
    moves = sorted(
        (step[END], -step[NUMBER] if step[KIND] == LOAD_OUT else 1)
        for step in done.site.trace
        if step[KIND] in (BRING_IN, LOAD_OUT)
    )
    standing = list(accumulate(count for _, count in moves))
    assert max(standing) == done.up.most[0] > 10
    assert moves[standing.index(max(standing))][0] == done.up.most[1]
    assert standing[-1] == done.up.standing == 0


def test_a_full_ship_sails_and_trucks_take_what_is_not_kept_for_it():
    scenario = field({"shipments": [SHIP | {"pallets": 20}]}, supply={"on_hand": 120, "trucks": TRUCKS})
    up = taken(scenario)
    by_ship = [load for load in up.off if load.hour == max(load.hour for load in up.off)]
    assert sum(len(load.pallets) for load in by_ship) == 20
    assert sum(len(load.pallets) for load in up.off) == sum(up.pallets.values())
    alone = taken(field(supply={"on_hand": 120, "trucks": TRUCKS}))
    assert up.mats == alone.mats
    assert up.gone > 72.0
    assert alone.gone < 72.0


def test_what_is_kept_for_a_ship_that_never_comes_goes_by_truck_once_that_is_known():
    ship = SHIP | {"pallets": 20, "chance": 0.5}
    scenario = field({"shipments": [ship]}, supply={"on_hand": 120, "trucks": TRUCKS})
    came = set()
    for run in range(6):
        up = taken(scenario, run)
        assert sum(len(load.pallets) for load in up.off) == sum(up.pallets.values())
        assert up.gone > 72.0
        came.add(sum(load.hour == max(load.hour for load in up.off) for load in up.off) > 1)
    assert came == {True, False}


def test_the_days_limit_holds_for_ships_as_for_whatever_else_brings_pallets_away():
    scenario = field({"shipments": [SHIP]}, supply={"on_hand": 120, "per_day_limit": 15})
    finished = simulate(compile_plan(as_taken_up(scenario)), 0)
    by_day = finished.stock.through_gate.values()
    assert sum(by_day) == sum(len(load.pallets) for load in finished.up.off)
    assert max(by_day) == 15
    finished.dismiss()


def test_ships_with_too_little_room_are_refused_where_nothing_else_brings_pallets_away():
    """By hand: 750 full mats, twelve on a pallet, and 150 half ones, twenty-four on one: 63 and 7 pallets."""
    with pytest.raises(ScenarioError, match=r"take_up\.shipments: 20 pallets find room on the ships, at least 70 come up"):
        compile_plan(field({"shipments": [SHIP | {"pallets": 20}]}))


def test_who_waits_for_handlers_at_the_end_of_a_shift_waits_no_longer_than_it_lasts():
    """Two crews by turns, with handlers who are far too slow: no crew can wait more hours than it was on shift."""
    halves = [("06:00-12:00", "early"), ("12:00-18:00", "late")]
    by_turns = [RED | {"name": name, "shift": {"hours": [hours], "lighting": True}} for hours, name in halves]
    run = run_once(field({"clean": "3 min", "loose": 20}, crew=by_turns))
    days = run.milestones["the last pallet in the yard"] / 24
    assert days > 2
    assert 0 < run.record["waited.handlers"] <= 12 * math.ceil(days)
