"""Rails, ramps and places of areas that are refused, each in one clear line."""

import pytest
from scenarios import AREA, CREW, line, lines, sound

OTHER = '[[area]]\nname = "other"\nlength = "300 ft"\nwidth = "72 ft"\n'
TAXIWAY = '[[area]]\nname = "taxiway"\nlength = "240 ft"\nwidth = "36 ft"\n'
THREE = CREW.replace('["strip"]', '["strip", "other", "taxiway"]')


def railed(rail="", more=""):
    return sound(area=AREA + f"guide_rail = true\nrail = {{ {rail} }}\n{more}")


def ramped(ramp):
    return sound(area=AREA + f"end_ramps = true\nramp = {{ {ramp} }}\n")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (railed('offset = "72 ft"'), 'rail.offset: 72 ft lies outside strip, 72 ft wide; write "6 ft" to "66 ft"'),
        (railed('offset = "100 ft"'), 'rail.offset: 100 ft lies outside strip, 72 ft wide; write "6 ft" to "66 ft"'),
        (
            railed('offset = "20 ft"'),
            'rail.offset: 20 ft is off the module of half mats (6 ft); the nearest are "18 ft" and "24 ft"',
        ),
        (railed('offset = "2 ft"'), 'rail.offset: 2 ft is off the module of half mats (6 ft); the nearest is "6 ft"'),
        (railed('clearance = "13 in"'), "rail.clearance: 13 in is more than half a row, and no joint can be farther from both"),
        (
            railed("", 'start = "centre-out"'),
            "start: a starter key strip is never used together with a guide rail (NAVEDTRA 14251",
        ),
        (
            sound(area=AREA + 'rail = { offset = "18 ft" }\n'),
            "rail: is written, but guide_rail is false; write guide_rail = true",
        ),
        (ramped('slope = "0 degree"'), 'ramp.slope: a slope of 0 degrees is no ramp; write more than "0 degree" and less than'),
        (ramped('slope = "90 degree"'), "ramp.slope: a slope of 90 degrees is no ramp"),
        (ramped('drop = "10 ft"'), "ramp.drop: 10 ft is as deep as the 5 rows in the trench are long"),
        (ramped('drop = "2 ft", slope = "12 degree"'), "ramp: has both slope and drop, and one follows from the other"),
        (ramped("buried = 6"), "ramp.buried: 6 are more than the 5 rows in the trench; write at most 5"),
        (sound(area=AREA + 'ramp = { drop = "2 ft" }\n'), "ramp: is written, but end_ramps is false"),
    ],
)
def test_a_rail_or_ramp_that_cannot_be_is_refused_in_one_line(text, said):
    assert line(text).startswith(f"area.strip.{said}")


def test_a_rail_at_any_whole_number_of_half_mats_within_the_width_is_sound():
    assert [lines(railed(f'offset = "{6 * halves} ft"')) for halves in range(1, 12)] == [[]] * 11


def test_an_area_of_one_half_mat_has_no_room_for_a_rail():
    assert "too narrow for two lanes" in line(sound(area=AREA.replace("72 ft", "6 ft") + "guide_rail = true\n"))


@pytest.mark.parametrize(
    ("taxiway", "said"),
    [
        ('meets = "other"', "taxiway.meets: an area meets another with its far end, and this one joins none with an end"),
        (
            'meets = "strip"\njoins = { area = "strip", station = "9 ft" }',
            'taxiway.meets: it cannot meet "strip" with its far end',
        ),
        (
            'meets = "othr"\njoins = { area = "strip", station = "9 ft" }',
            'taxiway.meets: there is no area "othr"; did you mean other?',
        ),
        (
            'joins = { area = "strip", station = "9 ft" }\nbeside = { area = "other", apart = "9 ft" }',
            "taxiway.beside: joins an area as well, which says where it lies; write one of the two",
        ),
        ('beside = { area = "taxiway", apart = "9 ft" }', "taxiway.beside: lies beside an area that lies by its own place"),
        ('beside = { area = "strp", apart = "9 ft" }', 'taxiway.beside.area: there is no area "strp"; did you mean strip?'),
    ],
)
def test_a_place_between_or_beside_areas_that_cannot_be_is_refused_in_one_line(taxiway, said):
    assert line(sound(area=AREA + OTHER + TAXIWAY + taxiway + "\n", crew=THREE)).startswith(f"area.{said}")


def test_a_ring_through_a_junction_and_a_place_beside_is_told_at_both():
    ring = AREA + 'beside = { area = "taxiway", apart = "9 ft" }\n' + TAXIWAY + 'joins = { area = "strip", end = "low" }\n'
    said = lines(sound(area=ring, crew=CREW.replace('["strip"]', '["strip", "taxiway"]')))
    assert [one.split(": ")[0] for one in said] == ["area.strip.beside", "area.taxiway.joins"]
