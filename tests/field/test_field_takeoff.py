"""What must be ordered: quantities of a whole field, pools, spares, weights, and what falls short."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.field import pallets_for, shortfall, take_off
from simulation.scenario import load_scenario
from simulation.scenario.tables.ground import Mat

shapes = st.lists(st.tuples(st.integers(1, 200), st.integers(1, 40)), min_size=1, max_size=4)


def field(field_of, shape, **supply):
    areas = ({"length": f"{2 * rows} ft", "width": f"{6 * halves} ft"} for rows, halves in shape)
    return field_of(*areas, supply={"on_hand": 1, **supply})


@given(shapes)
def test_mats_of_a_field_cover_its_square_feet(field_of, shape):
    quantities = take_off(field(field_of, shape))
    square_feet = sum(12 * rows * halves for rows, halves in shape)
    assert quantities.total("square_feet") == square_feet
    assert quantities.total("full") * 24 + quantities.total("half") * 12 == square_feet
    assert quantities.total("rows") == sum(rows for rows, _ in shape)
    assert quantities.by_area_alone == pytest.approx(square_feet / 288)


@given(shapes, st.integers(0, 20))
def test_a_pooled_field_never_takes_more_pallets_than_its_areas_one_by_one(field_of, shape, percent):
    spares = percent / 100
    pooled, apart = (take_off(field(field_of, shape, spares=spares, pools=pools)) for pools in ("field", "areas"))
    assert pooled.need.pallets <= apart.need.pallets
    assert pooled.order.pallets <= apart.order.pallets
    assert apart.need.pallets == sum(area.alone.pallets for area in apart.areas)
    assert pooled.need == pallets_for(pooled.total("full"), pooled.total("half"), Mat())
    assert pooled.order == pallets_for(pooled.total("full"), pooled.total("half"), Mat(), spares)
    for quantities in (pooled, apart):
        assert quantities.need.pallets * 11 - quantities.need.surplus_full == quantities.total("full")
        assert quantities.need.pallets * 2 - quantities.need.surplus_half == quantities.total("half")


def test_mats_left_over_at_one_area_serve_another_only_where_pallets_are_pooled(field_of):
    # 50 rows of 54 ft leave 75 full mats over; 50 rows of 102 ft leave 24 half mats over: counted by hand from the pattern.
    shape = [(50, 9), (50, 17)]
    apart = take_off(field(field_of, shape, pools="areas"))
    assert [(area.full, area.half, area.alone.pallets) for area in apart.areas] == [(200, 50, 25), (400, 50, 37)]
    assert apart.need.pallets == 62
    assert take_off(field(field_of, shape)).need.pallets == 55  # 600 full by 11, 100 half by 2


def test_quantities_of_the_shipped_field_are_those_counted_by_hand():
    # Runway 1,500 rows of 72 ft: 6 full, or 5 with 2 half; 5 and 6 joints. Taxiway 120 rows of 36 ft: 3, or 2 with 2 half;
    # 2 and 3 joints. Apron 150 rows of 240 ft: 20, or 19 with 2 half; 19 and 20 joints. Key strips at rows 5, 55, ….
    scenario = load_scenario()
    quantities = take_off(scenario)
    got = [(a.name, a.rows, a.ramp_rows, a.full, a.half, a.joints, a.key_strips) for a in quantities.areas]
    assert got == [
        ("runway", 1500, 10, 8250, 1500, 8250, 30),
        ("taxiway", 120, 0, 300, 120, 300, 3),
        ("apron", 150, 0, 2925, 150, 2925, 3),
    ]
    assert [a.starter_key_strips for a in quantities.areas] == [int(a.start == "centre-out") for a in scenario.area]
    full, half = 8250 + 300 + 2925, 1500 + 120 + 150
    assert quantities.need.pallets == max(-(-full // 11), -(-half // 2)) == 1044
    assert pallets_for(full, half, scenario.mat, 0.03).pallets == -(-full * 103 // 1100) == 1075
    assert quantities.order == pallets_for(full, half, scenario.mat, scenario.supply.spares)
    assert quantities.comes == scenario.supply.total


def test_a_nominal_pallet_weighs_2000_lb_of_which_1860_are_mats(field_of):
    # F8: 11 × 155 + 2 × 77.5 (service news 2009-2014, T; sum R). P1: about 2,000 lb (common practice, P).
    one = take_off(field(field_of, [(2, 12)], spares=0.0))
    assert (one.comes, one.mass) == (1, 2000)
    bare = take_off(field_of({"length": "4 ft", "width": "72 ft"}, supply={"spares": 0.0}, mat={"dunnage": "0.001 lb"}))
    assert bare.mass == pytest.approx(1860, abs=0.01)


def test_what_comes_is_the_order_unless_the_scenario_says_or_more_is_on_hand(field_of):
    shape = [(50, 12)]  # 25 pallets, 26 with spares of 3 %
    assert take_off(field(field_of, shape)).comes == 26
    assert take_off(field(field_of, shape, on_hand=40)).comes == 40
    assert take_off(field(field_of, shape, on_hand=25, total=25)).comes == 25


def test_too_few_pallets_are_refused_naming_how_many_and_which_mats_govern(field_of):
    # 50 rows of 54 ft: 200 full and 50 half mats, so half mats ask for 25 pallets; with 3 % spares 51.5 half mats for 26.
    (mistake,) = shortfall(field(field_of, [(50, 9)], on_hand=22, total=22))
    assert mistake.key == "supply.total"
    assert "22 pallets come, 3 too few" in mistake.wrong
    assert "half mats ask for 25" in mistake.wrong
    assert "at least 25" in mistake.right
    assert "26 with spares" in mistake.right


@given(shapes, st.integers(-3, 3), st.sampled_from(["field", "areas"]))
def test_a_field_is_refused_exactly_when_fewer_pallets_come_than_it_needs(field_of, shape, off, pools):
    need = take_off(field(field_of, shape, pools=pools)).need.pallets
    comes = max(1, need + off)
    found = shortfall(field(field_of, shape, pools=pools, on_hand=comes, total=comes))
    assert bool(found) == (comes < need)
    if found:
        assert f"{need - comes} too few" in found[0].wrong


def test_an_order_that_nothing_brings_is_refused(field_of):
    (mistake,) = shortfall(field(field_of, [(50, 12)], on_hand=20))
    assert (mistake.key, "on_hand = 26" in mistake.right) == ("supply.on_hand", True)


@pytest.mark.parametrize(("mat", "key"), [({"pallet_half": 0}, "mat.pallet_half"), ({"pallet_full": 0}, "mat.pallet_full")])
def test_a_pallet_without_a_kind_of_mat_that_the_field_needs_is_refused(field_of, mat, key):
    scenario = field_of({"length": "100 ft", "width": "72 ft"}, supply={"on_hand": 500, "total": 500}, mat=mat)
    assert [mistake.key for mistake in shortfall(scenario)] == [key]


def test_the_shipped_field_falls_short_of_nothing():
    assert shortfall(load_scenario()) == []
