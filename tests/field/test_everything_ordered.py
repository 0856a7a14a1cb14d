"""What is ordered: by area and in all, with spares, on pallets of its kind, and the yard that they stand on."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import take_off
from simulation.scenario import load_scenario, parse_scenario, shipped

RAILED = load_scenario(shipped("railed_strip"))
STRIP = {"length": "200 ft", "width": "72 ft"}


def needs(quantities):
    return {line.item: line.need for line in quantities.ordered.lines}


def test_what_the_areas_take_adds_up_to_what_the_field_needs():
    quantities = take_off(RAILED)
    for line in quantities.ordered.lines:
        assert line.need == sum(one.count for one in quantities.ordered.by_area if one.item == line.item)
        assert line.order >= line.need
        assert line.rule


def test_the_railed_strip_takes_what_is_counted_by_hand():
    # Strip: 18 key strips over lanes of 18 and 54 ft, each 4 × 9 and 3 × 12 ft. Taxiway 36 ft: 3, 12, 12, 9; parallel strip
    # 48 ft: 3, 12, 12, 12, 9; apron 180 ft: 3, 14 × 12, 9. Key strips: 18, 3, 9, 3. Connectors: 36 ft twice by 12, and 180 ft.
    got = needs(take_off(RAILED))
    assert got["key strip, 9 ft"] == 18 * 4 + 3 + 9 + 3
    assert got["key strip, 12 ft"] == 18 * 3 + 3 * 2 + 9 * 3 + 3 * 14
    assert got["key strip, 3 ft"] == 3 + 9 + 3
    assert got["connector"] == 3 + 3 + 15
    assert got["end connector"] == 2 * 4 + 15  # both ends of the parallel strip, the far one of the apron
    assert got["tie-down"] == 24
    assert (got["rail section, 9 ft"], got["gap gauge"]) == (1, 10)
    assert got["rail seal"] == got["rail section, 10 ft"]
    assert got["locking bar, row spacer"] == 24


def test_mats_come_by_whole_pallets_and_everything_else_with_its_spares(field_of):
    scenario = field_of(STRIP, supply={"on_hand": 1, "spares": 0.1})
    quantities = take_off(scenario)
    lines = {line.item: line for line in quantities.ordered.lines}
    assert lines["full mat"].order == quantities.order.pallets * 11
    assert lines["half mat"].order == quantities.order.pallets * 2
    assert lines["locking bar"].order == math.ceil(1.05 * lines["locking bar"].need)
    assert lines["pry bar"].order == lines["pry bar"].need == 4


@given(st.integers(1, 20), st.integers(1, 20))
@settings(max_examples=30, deadline=None)
def test_key_strips_and_bars_grow_with_the_length_and_tools_do_not(field_of, hundreds, times):
    once, longer = (
        needs(take_off(field_of({"length": f"{100 * n} ft", "width": "72 ft"}))) for n in (hundreds, hundreds * times)
    )
    for item in ("key strip, 12 ft", "key strip, 3 ft", "locking bar", "full mat", "half mat"):
        assert longer[item] == times * once[item]
    assert longer["pry bar"] == once["pry bar"]


def test_pallets_of_mass_and_kind_carry_the_whole_order():
    order = take_off(RAILED).ordered
    assert [group.what for group in order.pallets] == ["mats", "key strips", "rail", "small parts and tools"]
    for group in order.pallets:
        net = sum(line.mass for line in order.lines if line.on == group.what)
        assert group.mass == pytest.approx(net + 140 * group.pallets)
        assert net <= 1860 * group.pallets + 1e-6
    stacks = sum(math.ceil(group.pallets / 3) for group in order.pallets)
    assert (order.stacks, order.yard) == (stacks, pytest.approx(stacks * 48 / 0.4))


def test_an_end_is_closed_by_end_connectors_unless_a_ramp_or_a_junction_takes_it(field_of):
    assert needs(take_off(field_of(STRIP)))["end connector"] == 12
    assert "end connector" not in needs(take_off(field_of({**STRIP, "end_ramps": True})))
    assert needs(take_off(field_of({**STRIP, "end_connectors": 1})))["end connector"] == 6


def test_a_starter_key_strip_is_ordered_by_length(field_of):
    got = needs(take_off(field_of({**STRIP, "start": "centre-out"})))
    assert [got[f"starter key strip, {feet} ft"] for feet in (12, 9, 3)] == [5, 1, 1]


def test_holes_for_tie_downs_take_drill_hours(field_of):
    stands = {"count": 5, "tie_downs": 4, "holes": 2, "drill": "15 min"}
    (area,) = take_off(field_of({**STRIP, "stands": stands})).areas
    assert (area.stands.tie_downs, area.stands.holes, area.stands.hours) == (20, 40, 10)


@given(st.integers(1, 40), st.integers(1, 4), st.integers(1, 3))
@settings(max_examples=30, deadline=None)
def test_loads_bring_everything_and_one_load_less_would_not(field_of, pallets, positions, stacked):
    flight = {"pallets": min(pallets, 20 * positions * stacked), "positions": 20 * positions, "pallets_per_position": stacked}
    scenario = field_of(STRIP, supply={"on_hand": 1})
    text = scenario.source.text + "\n[[supply.flights]]\n" + "\n".join(f"{key} = {value}" for key, value in flight.items())
    quantities = take_off(parse_scenario(text))
    (load,) = quantities.loads.by
    assert load.pallets * load.loads >= quantities.loads.pallets > load.pallets * (load.loads - 1)
    assert quantities.loads.pallets == quantities.ordered.total_pallets - 1
