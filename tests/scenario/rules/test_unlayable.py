import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import AREA, CREW, keys, line, lines, sound

from simulation.scenario import parse_scenario

JOINED = '[[area]]\nname = "taxiway"\nlength = "240 ft"\nwidth = "36 ft"\n'
CREW_OF_BOTH = CREW.replace('["strip"]', '["strip", "taxiway"]')


def strip(**changes):
    text = AREA
    for key, value in changes.items():
        text = re.sub(rf"^{key} = .*\n", "", text, flags=re.M) + f"{key} = {value}\n"
    return sound(area=text)


def joined(joins, more=""):
    return sound(area=AREA + JOINED + f"joins = {joins}\n{more}", crew=CREW_OF_BOTH)


def test_a_width_that_is_no_whole_number_of_half_mats_names_the_two_nearest():
    assert line(strip(width='"75 ft"')) == (
        'area.strip.width: 75 ft is no whole number of half mats (6 ft); the nearest are "72 ft" (21.95 m) and "78 ft" (23.77 m)'
    )


def test_a_width_below_one_half_mat_names_one_half_mat():
    assert line(strip(width='"5 ft"')).endswith('the nearest is "6 ft" (1.83 m)')


def test_a_length_that_is_no_whole_number_of_rows_names_the_two_nearest():
    assert line(strip(length='"301 ft"')) == (
        'area.strip.length: 301 ft is no whole number of rows (2 ft); the nearest are "300 ft" (91.44 m) and "302 ft" (92.05 m)'
    )


@given(st.decimals("0.5", "400", places=2), st.sampled_from(["ft", "m"]), st.sampled_from(["6 ft", "1.8 m", "2 yd"]))
def test_a_planner_who_writes_the_width_that_is_offered_is_not_refused_again(width, unit, half):
    mat = f'[mat]\nhalf = "{half}"\nfull = "{float(half.split()[0]) * 2:g} {half.split()[1]}"'
    for said in lines(sound(mat, area=AREA.replace("72 ft", f"{width} {unit}"))):
        for offered in re.findall(r'"([^"]+)"', said.split("; ")[1]):
            assert lines(sound(mat, area=AREA.replace("72 ft", offered))) == []


def test_metric_sizes_that_are_whole_modules_are_accepted():
    assert lines(strip(width='"21.9456 m"', length='"91.44 m"')) == []


def test_a_starter_key_strip_is_never_used_together_with_a_guide_rail():
    """NAVEDTRA 14251 ch. 11 (read in the source's text)."""
    said = line(strip(start='"centre-out"', guide_rail="true"))
    assert said.startswith("area.strip.start: a starter key strip is never used together with a guide rail")
    assert said.endswith('write start = "one-end", or guide_rail = false')


def test_a_centre_out_start_begins_at_no_end():
    assert lines(strip(start='"centre-out"')) == []
    assert keys(sound(area=AREA + 'start = "centre-out"\nfrom = "low"\n')) == ["area.strip.from"]
    assert lines(sound(area=AREA + 'start = "one-end"\nfrom = "high"\n')) == []


def test_one_row_has_no_centre():
    assert keys(strip(start='"centre-out"', length='"2 ft"')) == ["area.strip.start"]


def test_two_end_ramps_need_room():
    assert line(strip(end_ramps="true", length='"38 ft"')) == (
        'area.strip.end_ramps: 38 ft is too short for two end ramps; write a length of at least "40 ft", or end_ramps = false'
    )
    assert lines(strip(end_ramps="true", length='"40 ft"')) == []


def test_key_strips_stand_a_row_apart_at_least():
    assert keys(strip(key_strips_every='"1 ft"')) == ["area.strip.key_strips_every"]


@pytest.mark.parametrize(
    ("changes", "complaint"),
    [
        ({"length": '"1e9 ft"'}, "area.strip.length: the field would have 500,000,000 rows, more than the 200,000 that"),
        ({"width": '"600000 ft"'}, "area.strip.width: the field would have 7,500,000 full mats, more than the 2,000,000"),
    ],
)
def test_a_field_that_nobody_can_mean_is_refused_with_the_reason(changes, complaint):
    assert complaint in [said[: len(complaint)] for said in lines(strip(**changes))]


@pytest.mark.parametrize(
    ("joins", "complaint"),
    [
        ('{ area = "strip" }', "area.taxiway.joins: has neither or both of station and end; write one of the two"),
        (
            '{ area = "strip", station = "10 ft", end = "low" }',
            "area.taxiway.joins: has neither or both of station and end; write one of the two",
        ),
        (
            '{ area = "strip", station = "310 ft" }',
            'area.taxiway.joins.station: 310 ft lies outside strip; write "0 ft" to "300 ft"',
        ),
        (
            '{ area = "strip", end = "low", at = "-1 ft" }',
            'area.taxiway.joins.at: -1 ft lies outside taxiway; write "0 ft" to "240 ft"',
        ),
        ('{ area = "strp", end = "low" }', 'area.taxiway.joins.area: there is no area "strp"; did you mean strip?'),
        (
            '{ area = "taxiway", end = "low" }',
            "area.taxiway.joins: the junctions run in a ring, so none of these areas could ever open; "
            "let one of them join nothing",
        ),
    ],
)
def test_a_junction_lies_at_one_place_of_both_its_areas(joins, complaint):
    assert line(joined(joins)) == complaint


def test_two_areas_that_join_each_other_could_never_open():
    ring = AREA + 'joins = { area = "taxiway", end = "low" }\n' + JOINED + 'joins = { area = "strip", end = "low" }\n'
    assert keys(sound(area=ring, crew=CREW_OF_BOTH)) == ["area.strip.joins", "area.taxiway.joins"]


def test_a_metric_length_rounded_to_the_centimetre_is_the_number_of_mats_it_means():
    assert parse_scenario(strip(width='"21.95 m"', length='"91.44 m"')).area[0].width == pytest.approx(72, abs=0.02)
    assert '"72 ft" (21.95 m)' in line(strip(width='"22 m"'))


@pytest.mark.parametrize(
    ("zones", "said"),
    [
        (
            '[{ to = "400 ft", every = "50 ft" }]',
            "area.strip.key_strip_zones.1: 0 to 400 ft is no stretch of strip; "
            'write from and to, rising, within "0 ft" and "300 ft"',
        ),
        (
            '[{ to = "100 ft", every = "1 ft" }]',
            'area.strip.key_strip_zones.1.every: key strips would stand closer than rows; write at least "2 ft"',
        ),
        (
            '[{ to = "100 ft", every = "50 ft" }, { from = "90 ft", to = "200 ft", every = "50 ft" }]',
            "area.strip.key_strip_zones.2: lies over key_strip_zones.1; let each station have one distance between key strips",
        ),
    ],
)
def test_zones_of_key_strips_lie_in_their_area_beside_each_other(zones, said):
    assert line(strip(key_strip_zones=zones)) == said
    assert (
        lines(strip(key_strip_zones='[{ to = "100 ft", every = "50 ft" }, { from = "100 ft", to = "200 ft", every = "60 ft" }]'))
        == []
    )
