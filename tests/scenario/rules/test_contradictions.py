import re

import pytest
from scenarios import AREA, CREW, keys, line, lines, sound

from simulation.scenario import parse_scenario, shipped
from simulation.scenario.types.uncertainty.distributions import Constant

APRON = AREA.replace("strip", "apron")
READY = '[[milestone]]\nname = "ready"\nareas = ["strip"]\n'


def test_every_mistake_in_a_file_is_told_in_one_go():
    text = shipped().read_text(encoding="utf-8")
    for old, new in (
        ('width = "36 ft"', 'width = "36 kg"'),
        ('length = "240 ft"', 'length = "241 ft"'),
        ("people = 20", "people = 4"),
        ("spares = 0.03", "spares = 3"),
        ("lock = ", "loc = "),
        ('areas = ["runway", "apron"]', 'areas = ["runway", "aprn"]'),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    assert keys(text) == [
        "area.taxiway.width",
        "laying.loc",
        "supply.spares",
        "area.taxiway.length",
        "crew.A.people",
        "crew.B.areas",
    ]


@pytest.mark.parametrize("key", ["name", "length", "width"])
def test_what_cannot_be_read_gives_rise_to_no_complaint_of_its_own(key):
    for value in ("5", '"5 kg"' if key != "name" else '""', "[]", "{}", "nan", "true"):
        text = re.sub(rf"^{key} = .*", f"{key} = {value}", AREA, flags=re.M)
        more = READY + '[supply.yard]\narea = "strip"\nstation = "10 ft"\n'
        assert [one.split(".")[2].split(":")[0] for one in lines(sound(more, area=text))] == [key]


def test_a_bad_half_mat_does_not_make_every_width_wrong():
    assert keys(sound('[mat]\nhalf = "7 kg"', area=AREA.replace("72 ft", "70 ft"))) == ["mat.half"]
    assert keys(sound('[mat]\nhlaf = "7 ft"\nfull = "14 ft"', area=AREA.replace("72 ft", "70 ft"))) == ["mat.hlaf"]


def test_a_bad_value_hides_no_contradiction_elsewhere():
    bad = sound(area=AREA.replace("72 ft", "72 kg") + APRON.replace("300 ft", "301 ft"), crew=CREW.replace("18", "2"))
    assert keys(bad) == ["area.strip.width", "area.apron.length", "area.apron", "crew.red.people"]


def test_an_area_without_a_name_is_still_checked_and_told_by_its_number():
    assert keys(sound(area=AREA + APRON.replace('name = "apron"', "").replace("300 ft", "301 ft"))) == [
        "area.2.name",
        "area.2.length",
    ]


def test_an_area_that_no_crew_works_is_refused():
    assert line(sound(area=AREA + APRON)) == "area.apron: no crew works this area; add it to the areas of a crew"


def test_an_area_misspelt_in_a_crews_list_is_one_mistake_not_two():
    assert line(sound(crew=CREW.replace('"strip"', '"strp"'))) == ('crew.red.areas: there is no area "strp"; did you mean strip?')


def test_a_crew_too_small_to_carry_a_mat_is_refused_with_the_least():
    assert line(sound(crew=CREW.replace("18", "5"))) == (
        "crew.red.people: 5 are too few to carry a mat: 3 are overhead, a team is 2 and one locks; write at least 6"
    )
    assert lines(sound(crew=CREW.replace("18", "6"))) == []


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (sound(area=AREA * 3), "area.strip: 3 areas bear this name; give each its own"),
        (sound(crew=CREW * 2), "crew.red: 2 crews bear this name; give each its own"),
        (sound(READY + "ready = true\n" + READY), "milestone.ready: 2 milestones bear this name; give each its own"),
        (
            sound(crew=CREW.replace('["strip"]', '["strip", "strip"]')),
            'crew.red.areas: "strip" stands in the list twice; write each area once',
        ),
        (sound('[mat]\nfull = "11 ft"'), "mat.full: a full mat is not as long as two half mats; write full = 2 × half"),
        (
            sound("[mat]\npallet_full = 0\npallet_half = 0"),
            "mat: a pallet holds no mats; write pallet_full or pallet_half above 0",
        ),
        (
            sound("[laying]\noverhead = 2\nopeners = 3"),
            "laying.openers: 3 are more than the 2 of overhead that they belong to; write at most 2",
        ),
        (
            sound("[laying]\nefficiency = 1.1"),
            "laying.efficiency: can rise above 1; write a number, or low, mode and high, up to 1",
        ),
        (
            sound("[laying]\nefficiency = { p10 = 0.4, p90 = 0.8 }"),
            "laying.efficiency: can rise above 1; write a number, or low, mode and high, up to 1",
        ),
        (
            sound("[laying]\nefficiency = 0"),
            "laying.efficiency: can fall to zero, and a row would never end; write a lowest value above 0",
        ),
        (
            sound("[laying]\nefficiency = { mean = 0.5, scatter = 0.1 }"),
            "laying.efficiency.scatter: a share has no scatter here; leave it out",
        ),
        (
            sound("[laying]\ndamaged_mats = 0.6"),
            "laying.damaged_mats: can rise above 0.5; write a number, or low, mode and high, up to 0.5",
        ),
        (
            sound('[laying]\nplace = "0 s"'),
            "laying.place: can fall to zero, and a row would take no time; write a lowest value above 0",
        ),
        (
            sound("[forklifts]\nefficiency = { low = 0, mode = 0.5, high = 0.9 }"),
            "forklifts.efficiency: can fall to zero, and a trip would never end; write a lowest value above 0",
        ),
        (
            sound("[grading]\nefficiency = 1.2"),
            "grading.efficiency: can rise above 1; write a number, or low, mode and high, up to 1",
        ),
        (
            sound('[forklifts]\nbreakdown_every = { low = "0 h", mode = "1 h", high = "2 h" }'),
            "forklifts.breakdown_every: can fall to zero, and a forklift would never work; write a lowest value above 0",
        ),
        (
            sound('[grading]\nrate = "0 ft**2/h"'),
            "grading.rate: can fall to zero, and the ground would never be ready; write a lowest value above 0",
        ),
        (
            sound('[weather]\nstep = "1 day"\ndry_spell = "3 day"'),
            "weather.wet_spell: is shorter than a step of the chain, and every spell lasts at least one; "
            "write a longer spell or a shorter step",
        ),
        (
            sound("total = 100"),
            "supply: 20 pallets are to come, but nothing brings them; "
            "add [[supply.trucks]], [[supply.flights]] or [[supply.shipments]], or raise on_hand",
        ),
        (
            sound("total = 70"),
            "supply.total: 70 is less than the 80 on hand, which it includes; write at least 80",
        ),
        (
            sound("per_day_limit = 10", "[[supply.flights]]\npallets = 12"),
            "supply.per_day_limit: 10 pallets a day let no load of 12 through; write at least 12",
        ),
        (
            sound('[supply.yard]\narea = "aprn"', area=AREA + APRON, crew=CREW.replace('["', '["apron", "')),
            'supply.yard.area: there is no area "aprn"; did you mean apron?',
        ),
        (
            sound('[[milestone]]\nname = "open"'),
            "milestone.open: has none of areas, stretch, usable and tasks; write what it asks for",
        ),
        (
            sound(READY + 'stretch = { area = "strip", to = "20 ft" }'),
            "milestone.ready: has more than one of areas, stretch and usable; write one of them",
        ),
        (
            sound('[[milestone]]\nname = "half"\nstretch = { area = "strip", from = "200 ft", to = "100 ft" }'),
            'milestone.half.stretch: 200 to 100 ft is no stretch of strip; write from and to, rising, within "0 ft" and "300 ft"',
        ),
        (
            sound('[[milestone]]\nname = "half"\nstretch = { area = "strp", to = "100 ft" }'),
            'milestone.half.stretch.area: there is no area "strp"; did you mean strip?',
        ),
        (
            sound(READY.replace('["strip"]', '["srip"]')),
            'milestone.ready.areas: there is no area "srip"; did you mean strip?',
        ),
        (
            sound(READY, READY.replace('"ready"', '"open"')),
            "milestone: 0 milestones say ready = true; let exactly one say it",
        ),
    ],
)
def test_two_things_that_cannot_both_be_true_are_refused(text, complaint):
    assert line(text) == complaint


@pytest.mark.parametrize(
    ("hours", "follow"),
    [
        ('["06:00-12:00", "13:00-18:00"]', True),
        ('["06:00-12:00", "12:00-18:00"]', True),
        ('["18:00-02:00"]', True),
        ('["18:00-02:00", "02:00-06:00"]', True),
        ('["00:00-24:00"]', True),
        ('["06:00-06:00"]', True),
        ('["06:00-12:00", "11:59-18:00"]', False),
        ('["18:00-02:00", "01:00-06:00"]', False),
        ('["06:00-06:00", "07:00-08:00"]', False),
        ('["06:00-12:00", "06:00-12:00"]', False),
        ('["08:00-09:00", "22:00-08:30"]', False),
    ],
)
def test_spans_of_a_shift_follow_each_other_around_the_clock(hours, follow):
    assert keys(sound(f"[shifts.haul]\nhours = {hours}")) == ([] if follow else ["shifts.haul.hours"])


def test_a_span_past_midnight_ends_after_it_begins():
    shifts = parse_scenario(sound('[shifts.laying]\nhours = ["18:30-02:00"]')).shifts
    assert shifts.of("laying").hours == ((18.5, 26.0),)
    assert shifts.of("haul").hours == ((6.0, 12.0), (13.0, 18.0))


def test_a_single_milestone_is_readiness_whether_it_says_so_or_not():
    (only,) = parse_scenario(sound(READY)).milestones
    assert only.ready and only.areas == ("strip",)


def test_without_a_milestone_readiness_is_every_area():
    (only,) = parse_scenario(sound()).milestones
    assert (only.name, only.areas, only.ready) == ("operational readiness", ("strip",), True)


def test_a_known_level_is_both_its_lowest_and_its_highest():
    from simulation.scenario.rules.contradictions import lowest
    from simulation.scenario.rules.shares import highest
    from simulation.scenario.types.uncertainty.uncertain import Uncertain

    assert lowest(Uncertain(Constant(3.0))) == highest(Uncertain(Constant(3.0))) == 3.0
