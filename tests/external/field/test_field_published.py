"""Published values for the field, through the program's own take-off of a scenario: F1, F2, F3 and F4 of the checks."""

from itertools import pairwise

import pytest

from simulation.field import make_edges, make_rows, take_off
from simulation.scenario import ScenarioError, parse_scenario

FIELD = """
[[area]]
name = "strip"
length = "{length} ft"
width = "{width} ft"
{more}
[[crew]]
name = "red"
people = 18
areas = ["strip"]
[supply]
on_hand = 1
"""


def strip(length, width, more=""):
    return parse_scenario(FIELD.format(length=length, width=width, more=more))


def test_f1_a_bundle_of_11_full_and_2_half_mats_surfaces_288_sq_ft():
    # UFC 3-270-07 (2002) 2-4.2.8.3, read in the source. Two rows of 72 ft are 288 sq ft and take exactly that bundle.
    quantities = take_off(strip(4, 72))
    (area,) = quantities.areas
    assert (area.square_feet, area.full, area.half) == (288, 11, 2)
    need = quantities.need
    assert (need.pallets, need.surplus_full, need.surplus_half, quantities.by_area_alone) == (1, 0, 0, 1)


@pytest.mark.parametrize(
    ("width", "pallets", "by_area"),
    [(54, 25, 18.75), (72, 25, 25), (78, 27.27, 27.08), (96, 34.09, 33.33), (102, 36.36, 35.42)],
)
def test_f2_pallets_per_100_ft_by_width_are_the_published_table(width, pallets, by_area):
    # Arithmetic from F1, reproduced. Over 1,100 ft every need is a whole number of pallets, so a hundred feet's is exact.
    quantities = take_off(strip(1100, width))
    assert round(quantities.need.pallets / 11, 2) == pallets
    assert round(quantities.by_area_alone / 11, 2) == by_area
    assert quantities.need.governed_by == ("half mats" if width == 54 else "full mats")
    assert (quantities.need.surplus_full == 0) == (width != 54)
    assert (quantities.need.surplus_half == 0) == (width in (54, 72))


@pytest.mark.parametrize("more", ["", 'from = "high"', 'start = "centre-out"'])
def test_f3_key_strips_stand_every_100_ft_after_the_first_five_rows(more):
    # NAVEDTRA 14251 ch. 11, read in the source.
    scenario = strip(3000, 72, more)
    (area,) = scenario.area
    rows = make_rows(area, scenario.mat)
    stations = [row * rows.depth for row in rows.key_strips]
    assert len(stations) == 30
    assert {after - before for before, after in pairwise(stations)} == {100}
    assert (3000 - stations[-1] if "high" in more else stations[0]) == 10
    assert sum(len(edge.key_strips) for edge in make_edges(area, rows)) == take_off(scenario).areas[0].key_strips == 30


def test_f4_a_starter_key_strip_is_never_used_together_with_a_guide_rail():
    # NAVEDTRA 14251 ch. 11, read in the source.
    with pytest.raises(ScenarioError) as refusal:
        strip(3000, 72, 'start = "centre-out"\nguide_rail = true')
    (mistake,) = refusal.value.mistakes
    assert mistake.key == "area.strip.start"
    assert "starter key strip is never used together with a guide rail" in mistake.wrong
    assert "guide_rail = false" in mistake.right
    assert strip(3000, 72, 'start = "centre-out"\nguide_rail = false').area[0].start == "centre-out"
