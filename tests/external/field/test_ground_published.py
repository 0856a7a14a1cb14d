"""Published values and practice for rail, ramps, junctions, masses and loads, through the take-off of a scenario.

Checks F5 to F9, P1 to P4, X3 and X4.
"""

from itertools import pairwise

import pytest

from simulation.field import lanes, make_rows, take_off
from simulation.scenario import ScenarioError, parse_scenario

FIELD = """
[[area]]
name = "strip"
length = "{length} ft"
width = "72 ft"
{area}
{more}
[[crew]]
name = "red"
people = 18
areas = {areas}
[supply]
on_hand = 1
{supply}
"""


def field(length=1800, area="", more="", supply="", areas='["strip"]'):
    return parse_scenario(FIELD.format(length=length, area=area, more=more, supply=supply, areas=areas))


def railed(length=1800, rail=""):
    quantities = take_off(field(length, f"guide_rail = true\n[area.rail]\n{rail}"))
    return quantities.areas[0].rail


def between_strips(apart, rows):
    more = (
        f'[[area]]\nname = "other"\nlength = "1800 ft"\nwidth = "72 ft"\nbeside = {{ area = "strip", apart = "{apart}" }}\n'
        f'[[area]]\nname = "taxiway"\nlength = "{2 * rows} ft"\nwidth = "36 ft"\nmeets = "other"\n'
        'joins = { area = "strip", station = "900 ft", side = "left" }\n'
    )
    return take_off(field(more=more, areas='["strip", "other", "taxiway"]'))


@pytest.mark.parametrize(("apart", "gap", "told"), [("240 ft", 0, False), ("2882 in", 2, False), ("2883 in", 3, True)])
def test_f5_at_most_2_in_may_be_left_between_a_taxiway_and_the_strips_it_joins(apart, gap, told):
    # NAVEDTRA 14251 ch. 11, read in the source.
    quantities = between_strips(apart, 120)
    far = quantities.junctions[1]
    assert 12 * far.gap == pytest.approx(gap, abs=1e-6)
    assert bool(quantities.warnings) == bool(far.warning) == told
    assert far.connectors == (0 if told else 3)


def test_f5_the_module_of_2_ft_can_leave_almost_1_ft_that_no_whole_row_closes():
    # NAVEDTRA 14251 ch. 11, read in the source: so far are two strips from the nearest distance that whole rows fill.
    moves = [abs(between_strips(f"{2880 + inches} in", 120).junctions[1].move) for inches in range(24)]
    assert max(moves) == pytest.approx(1.0)
    far = between_strips("2891 in", 120).junctions[1]
    assert 12 * far.gap == pytest.approx(11.0)
    assert "240 ft or 242 ft apart" in far.warning


def test_f6_and_p4_the_depth_of_the_handbook_and_the_slope_of_practice_disagree_and_both_are_shown():
    # F6: NAVEDTRA 14251 ch. 11, read in the source: 18 to 24 in. P4: common practice: five rows, four buried, 15 to 30 degrees.
    ramps = take_off(field(area="end_ramps = true")).areas[0].ramps
    assert (ramps.rows, ramps.buried, 12 * ramps.drop) == (5, 4, pytest.approx(24))
    # Five rows are 10 ft: 18 and 24 in are the sines .15 and .2; the sines of 15 and 30 degrees are .2588 and .5.
    assert ramps.by_handbook == (pytest.approx(8.627, abs=1e-3), pytest.approx(11.537, abs=1e-3))
    assert ramps.by_practice == (pytest.approx(2.588, abs=1e-3), pytest.approx(5.0))
    assert "meets the handbook and not practice" in ramps.remarks[0]
    assert "cannot both be met" in ramps.remarks[1]
    steep = take_off(field(area='end_ramps = true\nramp = { slope = "15 degree" }')).areas[0].ramps
    assert (steep.slope, steep.drop) == (pytest.approx(15), pytest.approx(2.588, abs=1e-3))
    assert "meets practice and not the handbook" in steep.remarks[0]


@pytest.mark.parametrize("inches", [18, 24])
def test_f6_both_ends_of_the_published_range_meet_the_handbook(inches):
    ramps = take_off(field(area=f'end_ramps = true\nramp = {{ drop = "{inches} in" }}')).areas[0].ramps
    assert 12 * ramps.drop == pytest.approx(inches)
    assert "meets the handbook" in ramps.remarks[0]


def test_f7_a_rail_begins_with_9_ft_and_goes_on_by_10_ft_with_a_seal_of_an_eighth_between():
    # NAVEDTRA 14251 ch. 11, read in the source.
    rail = railed()
    assert rail.joints[0] == 9
    assert {round(after - before, 9) for before, after in pairwise(rail.joints)} == {round(10 + 1 / 96, 9)}
    assert rail.seals == rail.sections - 1 == len(rail.joints)


def test_f7_seals_alone_use_up_nine_inches_in_720_ft_of_sections():
    # Arithmetic from F7: 72 sections of 10 ft with 1/8 in each are 720 ft and 9 in, which leaves 3 of the 12.
    (seals,) = [one for one in railed().budget if one.of == "seals alone"]
    assert seals.used_up == pytest.approx(9 + 73 * (10 + 1 / 96))  # the first joint after those 72
    shorter = next(one for one in railed(738).budget if one.of == "seals alone")
    assert (shorter.used_up, 12 * shorter.least) == (None, pytest.approx(3.0))


def test_f8_a_bundle_of_mats_weighs_1860_lb_and_p1_a_pallet_about_2000():
    # F8: service news articles 2009-2014, read; the sum reproduced. P1: common practice.
    quantities = take_off(parse_scenario(FIELD.format(length=4, area="", more="", areas='["strip"]', supply="spares = 0")))
    mats = quantities.ordered.pallets[0]
    net = sum(line.mass for line in quantities.ordered.lines if line.on == "mats")
    assert (mats.pallets, net, mats.mass) == (1, 1860, 2000)


def test_f9_a_recovered_field_of_77000_mats_is_about_12_million_lb():
    # Service news 2011, read; the products reproduced: 77,000 × 24 sq ft = 1.848 million, × 155 lb = 11.94 million.
    # 12,832 rows of 72 ft take as many mats, a half one counted as half.
    quantities = take_off(field(12834 * 2))
    full, half = (next(line.need for line in quantities.ordered.lines if line.item == item) for item in ("full mat", "half mat"))
    assert full + half / 2 == pytest.approx(77_000, rel=1e-3)
    assert quantities.total("square_feet") == pytest.approx(1.848e6, rel=1e-3)
    assert (full + half / 2) * 155 == pytest.approx(11.94e6, rel=1e-3)


def test_p2_a_rail_lies_18_ft_from_one_edge_of_a_72_ft_strip_and_54_from_the_other():
    # Common practice.
    assert [(lane.side, lane.width) for lane in railed().lanes] == [("left", 18), ("right", 54)]
    assert [lane.width for lane in railed(rail='edge = "right"').lanes] == [54, 18]


def test_p3_nominal_joints_stay_12_in_apart_and_ten_gauges_are_in_place():
    # Common practice: a first section of 9 ft; 3 in or more from a rail joint; ten or more gauges.
    rail = railed()
    assert (rail.budget[0].of, 12 * rail.budget[0].least, rail.budget[0].used_up) == ("nominal pitch", pytest.approx(12), None)
    assert rail.gauges == 10


def test_p3_sides_more_than_3_in_apart_are_told_with_the_station():
    # Common practice. A hundredth of an inch a row is 3 in after 300 rows, 600 ft.
    rail = railed(rail='uneven = "0.01 in"')
    assert 12 * rail.sides.mean == pytest.approx(9.0)
    assert rail.sides.beyond == pytest.approx(602)
    assert any("one side of the rail" in line for line in rail.warnings)


def test_x3_a_forklift_of_4000_lb_lifts_two_nominal_pallets_at_its_limit():
    # NAVEDTRA 14081 ch. 8, read in the source.
    loads = take_off(field()).loads
    assert (loads.gross, loads.per_lift, loads.at_its_limit) == (2000, 2, True)
    with pytest.raises(
        ScenarioError, match=r'forklifts.capacity: 1,900 lb do not lift a pallet of 2,000 lb; write at least "2000 lb"'
    ):
        field(supply='[forklifts]\ncapacity = "1900 lb"')


@pytest.mark.parametrize(
    ("flight", "governs", "payload"),
    [
        ('pallets = 18\npositions = 18\npayload = "90000 lb"', "floor positions", 45),
        ('pallets = 6\npositions = 6\npayload = "24000 lb"', "floor positions", 12),
        ('pallets = 12\npositions = 6\npallets_per_position = 3\npayload = "24000 lb"', "payload", 12),
    ],
)
def test_x4_floor_positions_govern_a_load_by_air_unless_pallets_stand_on_each_other(flight, governs, payload):
    # 18 and 6 pallet positions read in published tables; 45 and 12 short tons from memory.
    (load,) = take_off(field(supply=f"[[supply.flights]]\n{flight}")).loads.by
    assert load.governed_by == governs
    assert load.limits["payload"] == payload
    assert load.pallets == load.limits[governs]


def test_a_load_of_more_than_payload_or_positions_is_refused():
    with pytest.raises(ScenarioError, match=r"supply.flights.1.pallets: 19 pallets do not stand on 18 floor positions"):
        field(supply="[[supply.flights]]\npallets = 19\npositions = 18")
    with pytest.raises(ScenarioError, match=r"13 pallets of 2,000 lb are more than the payload of 24,000 lb; write at most 12"):
        field(supply='[[supply.flights]]\npallets = 13\npayload = "24000 lb"')


def test_a_rail_parts_72_ft_so_that_half_mats_govern():
    # Counted by hand: lanes of 3 and 9 half mats; every row 5 full and 2 half mats, so 100 ft take 250 and 100.
    assert [(row.full, row.half) for row in lanes(3, 9)] == [(5, 2), (5, 2)]
    quantities = take_off(field(100, "guide_rail = true"))
    assert (quantities.areas[0].full, quantities.areas[0].half) == (250, 100)
    assert (quantities.need.pallets, quantities.need.governed_by) == (50, "half mats")
    assert quantities.areas[0].rail.halves_beyond_the_mix == pytest.approx(100 - 250 / 11 * 2)
    assert len(make_rows(field(100, "guide_rail = true").area[0], field().mat).patterns[0].joints) == 5
