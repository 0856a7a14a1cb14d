"""What is more than any field has had, or cannot be, is refused at once and by its key."""

import pytest
from scenarios import AREA, CREW, lines, sound

TRUCK = '[[supply.trucks]]\ncount = {}\nhaul = "1 h"\nreturn = "1 h"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (sound("[forklifts]\ncount = 201"), "forklifts.count: 201 is out of range; write 200 or less"),
        (sound(TRUCK.format(2001)), "supply.trucks.1.count: 2001 is out of range; write 2000 or less"),
        (sound("[grading]\ngangs = 1000000"), "grading.gangs: 1000000 is out of range; write 200 or less"),
        (
            sound('[[milestone]]\nname = "open"\nareas = ["strip"]\nclosing = "3650 day"'),
            'milestone.open.closing: "3650 day" is out of range; write "90 day" or less',
        ),
        (sound(crew=CREW.replace("18", "2001")), "crew.red.people: 2001 is out of range; write 2000 or less"),
        (sound(area=AREA + "".join(AREA.replace("strip", f"s{n}") for n in range(64))), "area: has 65; write at most 64"),
        (sound(crew=CREW + "".join(CREW.replace("red", f"c{n}") for n in range(64))), "crew: has 65; write at most 64"),
        (sound(TRUCK.format(1) * 65), "supply.trucks: has 65; write at most 64"),
        (sound(TRUCK.format(1000) * 3), "supply.trucks: 3,000 in all are more than the 2,000 that one scenario can hold; "),
        (sound('[[milestone]]\nname = "open"\nareas = ["strip"]\n' * 65), "milestone: has 65; write at most 64"),
        (sound(crew=CREW.replace('"strip"', '"strip",' * 65)), "crew.red.areas: has 65; write at most 64"),
        (sound(f"[shifts.all]\nhours = {['06:00-07:00'] * 33}"), "shifts.all.hours: has 33 spans; write at most 32"),
        (sound(f"[shifts.all]\nrest_on = {['Sunday'] * 33}"), "shifts.all.rest_on: has 33 days; write each once"),
        (sound(f"[weather]\nrain_stops = {['laying'] * 33}"), "weather.rain_stops: has 33; write at most 32"),
        (sound(area=AREA + "stands = { count = 501 }"), "area.strip.stands.count: 501 is out of range; write 500 or less"),
        (sound(area=AREA + "stands = { count = 1, holes = 21 }"), "area.strip.stands.holes: 21 is out of range; write 20 or"),
        (sound(area=AREA.replace("300 ft", "0.9 in")), 'area.strip.length: "0.9 in" is out of range; write "1 in" or more'),
        (sound(area=AREA + 'key_strips_every = "1e-9 ft"'), 'area.strip.key_strips_every: "1e-9 ft" is out of range; write'),
        (
            sound(area=AREA + 'guide_rail = true\nrail = { section = "1 in" }'),
            'area.strip.rail.section: "1 in" is out of range; ',
        ),
        (
            sound(area=AREA + 'guide_rail = true\nrail = { seal = "1 mile" }'),
            'area.strip.rail.seal: "1 mile" is out of range; ',
        ),
        (
            sound(area=AREA + 'guide_rail = true\nrail = { creep = "1e6 mm" }'),
            'area.strip.rail.creep: is more than mats ever lie apart; write "1 ft" or less',
        ),
        (
            sound(area=AREA + 'guide_rail = true\nrail = { uneven = { low = "0 mm", mode = "1 mm", high = "1 mile" } }'),
            "area.strip.rail.uneven: is more than mats ever lie apart; write",
        ),
        (sound('[stops]\nall_clear = "1e9 h"'), 'stops.all_clear: "1e9 h" is out of range; write "24 h" or less'),
        (sound('[key_strips]\nwidth = "1 mile"'), 'key_strips.width: "1 mile" is out of range; write "2 ft" or less'),
        (sound('[laying]\nstaged_every = "1e-9 ft"'), 'laying.staged_every: "1e-9 ft" is out of range; write "1 in" or more'),
        (sound('[laying]\nwalk = "1e9 mph"'), 'laying.walk: "1e9 mph" is out of range; write "1000000 mph" or less'),
        (sound('[laying]\nwalk = "1e-9 mph"'), 'laying.walk: "1e-9 mph" is out of range; write "0.001 mph" or more'),
        (sound('[supply.yard]\narea = "strip"\noffset = "1000 mile"'), 'supply.yard.offset: "1000 mile" is out of range; '),
        (
            sound(area=AREA.replace("72 ft", "300000 ft")),
            "area.strip.width: the field would have 25,000 full mats side by side",
        ),
        (
            sound('[weather]\nwet_spell = "9 day"\ndry_spell = "1 h"'),
            "weather.wet_spell: it would rain in 99.5 % of all hours; ",
        ),
        (
            sound('[weather]\nstep = "1 min"\nwet_spell = "1 min"\ndry_spell = "1 min"'),
            "weather.dry_spell: up to the last day simulated it would begin to rain 86,400 times; write longer spells, or an",
        ),
    ],
)
def test_what_no_field_has_is_refused_by_its_key(text, said):
    assert said in [one[: len(said)] for one in lines(text)]


def test_the_most_there_may_be_is_read():
    assert lines(sound("[forklifts]\ncount = 200", TRUCK.format(31) * 64)) == []
