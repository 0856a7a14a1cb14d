import pytest
from scenarios import AREA, CREW, SUPPLY, keys, line, lines, sound

TRUCKS = '[[supply.trucks]]\ncount = 2\nhaul = "1 h"\nreturn = "1 h"\n'


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (sound(top="sede = 3"), "sede: unknown key; did you mean seed?"),
        (sound("[mat]\nhaf = 1"), "mat.haf: unknown key; did you mean half?"),
        (sound("[forklift]\ncount = 1"), "forklift: unknown key; did you mean forklifts?"),
        (sound("[shifts.all]\nhors = []"), "shifts.all.hors: unknown key; did you mean hours?"),
        (sound(TRUCKS, "pallts = 3"), "supply.trucks.1.pallts: unknown key; did you mean pallets?"),
        (sound(area=AREA + "end_ramp = true"), "area.strip.end_ramp: unknown key; did you mean end_ramps?"),
        (
            sound(area=AREA + 'joins = { area = "strip", end = "low", att = "0 ft" }'),
            "area.strip.joins.att: unknown key; did you mean at?",
        ),
        (sound("[site]\nlatitude = 1\nlongitude = 1\nzzz = 1"), "site.zzz: unknown key; use one of: bearing, latit"),
        (sound("seed = 3"), "supply.seed: unknown key; it belongs at the top of the file, above the first table"),
        (sound(crew=CREW + "walk = 3"), "crew.red.walk: unknown key; it belongs in [laying]"),
        (
            sound(crew=CREW + "efficiency = 1"),
            "crew.red.efficiency: unknown key; it belongs in [laying] or in [forklifts] or in [",
        ),
        (sound('"two\\nlines" = 1'), 'supply."two\\nlines": unknown key; '),
    ],
)
def test_an_unknown_key_is_told_at_every_level_with_what_was_meant(text, complaint):
    assert complaint in [said[: len(complaint)] for said in lines(text)]


@pytest.mark.parametrize(
    ("text", "key", "offered"),
    [
        (sound(area=AREA + 'start_from = "low"'), "area.strip.start_from", None),
        (sound(TRUCKS.replace("return", "back")), "supply.trucks.1.back", "return"),
        (
            sound('[[milestone]]\nname = "a"\nstretch = { area = "strip", start = "0 ft", to = "20 ft" }'),
            "milestone.a.stretch.start",
            None,
        ),
    ],
)
def test_a_key_has_one_name_and_it_is_the_one_in_the_file(text, key, offered):
    said = next(one for one in lines(text) if one.startswith(f"{key}: unknown key; "))
    assert "start_from" not in said.split("; ")[1]
    assert offered is None or offered in said


def test_a_key_that_is_also_a_word_of_the_language_is_told_by_its_own_name():
    assert keys(sound(TRUCKS.replace('return = "1 h"', ""))) == ["supply.trucks.1.return"]
    assert keys(sound(TRUCKS.replace('return = "1 h"', 'return = "1 ft"'))) == ["supply.trucks.1.return"]
    assert keys(sound(area=AREA + 'from = "middle"')) == ["area.strip.from"]
    assert keys(sound('[[milestone]]\nname = "a"\nstretch = { area = "strip", from = 0, to = "20 ft" }')) == [
        "milestone.a.stretch.from"
    ]


def test_a_misspelt_key_that_has_to_be_there_is_one_mistake_not_two():
    assert line(sound(area=AREA.replace("width", "widht"))) == "area.strip.widht: unknown key; did you mean width?"


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (sound(area=""), "area: is missing; it has no default: write [[area]]"),
        (sound(crew=""), "crew: is missing; it has no default: write [[crew]]"),
        (sound(supply=""), "supply: is missing; it has no default: write [supply]"),
        (sound(crew=CREW.replace('areas = ["strip"]', "")), "crew.red.areas: is missing; it has no default: write areas"),
        (sound(area=AREA.replace('name = "strip"', "")), "area.1.name: is missing; it has no default: write name = …"),
        (sound(area="area = []", crew="crew = []\n" + CREW.replace("[[crew]]", "[x]")), "area: is empty; write at least one"),
        (sound(area="area = 5"), "area: 5 is not a list; write [[area]]"),
        (sound(area=AREA.replace("[[area]]", "[area]")), "area: a table is not a list; write [[area]]"),
        (sound(supply=SUPPLY.replace("[supply]", "[[supply]]")), "supply: a list is not a table; write its keys under"),
        (sound(supply=SUPPLY, top="laying = 3"), "laying: 3 is not a table; write its keys under [laying]"),
        (sound("[supply.trucks]\ncount = 1"), "supply.trucks: a table is not a list; write [[supply.trucks]]"),
        (sound(top='milestone = ["all"]'), 'milestone.1: "all" is not a table; write its keys under [[milestone]]'),
        (sound(area=AREA + 'joins = "runway"'), 'area.strip.joins: "runway" is not a table; write its keys under [area.joins'),
        (sound(crew=CREW.replace('["strip"]', '"strip"')), 'crew.red.areas: "strip" is not a list; write areas = ["strip"]'),
        (sound(crew=CREW.replace('["strip"]', "5")), 'crew.red.areas: 5 is not a list; write areas = ["…", "…"]'),
        (
            sound('[temporary_end]\nmilestones = "first use"'),
            'temporary_end.milestones: "first use" is not a list; write milestones = ["first use"]',
        ),
        (
            sound('[flying]\nwindows = "07:00-09:00"'),
            'flying.windows: "07:00-09:00" is not a list of hours; write ["07:00-09:00"]',
        ),
        (
            sound("[flying]\nwindows = 7"),
            'flying.windows: 7 is not a list of hours; write such as ["06:00-12:00", "13:00-18:00"]',
        ),
        (sound('[flying]\nmovements = "07:30"'), 'flying.movements: "07:30" is not a list of times; write ["07:30"]'),
        (
            sound('[[supply.shipments]]\npallets = 4\ncomes = "8 h"\nchance = 80'),
            "supply.shipments.1.chance: 80 is out of range; write 1 or less; 80 % is 0.8",
        ),
        (
            sound(area=AREA.replace('"72 ft"', '"0 m"'), top='units = "metric"'),
            'area.strip.width: "0 m" is out of range; write "0.0254 m" or more',
        ),
        (
            sound(area=AREA.replace('"72 ft"', '"2 h"'), top='units = "metric"'),
            'area.strip.width: "2 h" is not a length; write a length as a number and its unit in quotes, such as "22 m"',
        ),
        (  # a field whose lengths stand in metres is told in metric without the key
            sound(area=AREA.replace(' ft"', ' m"').replace('"72 m"', '"21.95 m"') + "key_strips_every = 9"),
            'area.strip.key_strips_every: 9 has no unit; write a length as a number and its unit in quotes, such as "22 m"',
        ),
        (sound(crew=CREW.replace('["strip"]', "[5]")), "crew.red.areas.1: 5 is not text; write it in quotes"),
        (sound(crew=CREW.replace("18", '"18"')), 'crew.red.people: "18" is not a whole number; write a whole number, such'),
        (sound(crew=CREW.replace("18", "18.0")), "crew.red.people: 18.0 is not a whole number; "),
        (sound(crew=CREW.replace("18", "true")), "crew.red.people: true is not a whole number; "),
        (sound(crew=CREW.replace("18", "-18")), "crew.red.people: -18 is out of range; write 1 or more"),
        (sound(crew=CREW.replace("18", "1" + "0" * 400)), "crew.red.people: a number of more than 18 digits"),
        (
            sound(crew=CREW + "second_crew = 'wait'"),
            'crew.red.second_crew: "wait" is not one of the choices; write "elsewhere"',
        ),
        (sound(area=AREA + "end_ramps = 1"), "area.strip.end_ramps: 1 is neither true nor false; write true or false"),
        (sound(area=AREA + 'end_ramps = "yes"'), 'area.strip.end_ramps: "yes" is neither true nor false'),
        (sound(area=AREA.replace('"72 ft"', '"-72 ft"')), 'area.strip.width: "-72 ft" is out of range; write "1 in" or more'),
        (sound(area=AREA.replace('"72 ft"', '"0 ft"')), 'area.strip.width: "0 ft" is out of range; write "1 in" or more'),
        (sound(area=AREA.replace('"72 ft"', "72")), "area.strip.width: 72 has no unit; write a length as a number and"),
        (sound(area=AREA.replace('"72 ft"', '["72 ft"]')), "area.strip.width: a list is not a length; "),
        (sound("spares = nan"), "supply.spares: nan is not a finite number; write a number, such as 0.5"),
        (sound("spares = inf"), "supply.spares: inf is not a finite number; "),
        (sound("spares = -0.1"), "supply.spares: -0.1 is out of range; write 0 or more"),
        (sound('spares = "3 %"'), 'supply.spares: "3 %" is not a number; write a number, such as 0.5, without quotes'),
        (sound("spares = true"), "supply.spares: true is not a number; "),
        (sound('[site]\nlatitude = 91\nlongitude = "5"'), "site.latitude: 91 is out of range; write 90 or less"),
        (sound('[site]\nlatitude = 9\nlongitude = "5"'), 'site.longitude: "5" is not a number; '),
        (
            sound('[site]\nlatitude = 9\nlongitude = 5\nutc_offset = "25 h"'),
            'site.utc_offset: "25 h" is out of range; write "24 h"',
        ),
        (sound('[weather]\nstep = "1 s"'), 'weather.step: "1 s" is out of range; write "1 min" or more'),
        (sound('[weather]\nrain_stops = ["laying", "mess"]'), 'weather.rain_stops.2: "mess" is not one of the choices; '),
        (sound(top='horizon = "1e9 day"'), 'horizon: "1e9 day" is out of range; write "3650 day" or less'),
        (sound(top="seed = -1"), "seed: -1 is out of range; write 0 or more"),
        (sound(top="seed = 0x" + "f" * 5000), "seed: a number of more than 18 digits is out of range; "),
        (sound(top="title = 5"), "title: 5 is not text; write it in quotes"),
        (sound(top='title = ""'), "title: is empty; write a name"),
        (sound(top="starts = 2031-04-02T06:00:00Z"), "starts: 2031-04-02 06:00:00+00:00 is not a local date and time; write"),
        (sound(top="starts = 2031-04-02"), "starts: 2031-04-02 is not a local date and time; write 2031-04-02T06:00:00"),
        (sound(top='starts = "2031-04-02T06:00:00"'), 'starts: "2031-04-02T06:00:00" is not a local date and time; '),
        (sound(top="starts = 9999-12-31T06:00:00"), "starts: the year 9999 is out of range; write a year from 1900"),
    ],
)
def test_a_value_of_the_wrong_kind_is_told_with_what_would_be_right(text, complaint):
    assert complaint in [said[: len(complaint)] for said in lines(text)]


@pytest.mark.parametrize("name", ["", " ", " strip", "strip ", "a\\nb", "a\\u0000b", "\\u202eb", "x" * 61])
def test_a_name_that_cannot_be_shown_on_one_line_as_it_is_is_refused(name):
    said = lines(sound(area=AREA.replace('"strip"', f'"{name}"')))
    assert [one for one in said if one.split(": ")[0].endswith(".name")]


@pytest.mark.parametrize("name", ["a.b", "<script>", "Rollbahn Süd", "06/24", "crew #1", "'", "{x}", "%s"])
def test_any_other_name_goes_through_as_it_is(name):
    assert lines(sound(area=AREA.replace("strip", name), crew=CREW.replace("strip", name))) == []
    said = line(sound(area=AREA.replace("strip", name).replace("72", "73"), crew=CREW.replace("strip", name)))
    assert "73 ft is no whole number of half mats" in said


@pytest.mark.parametrize(
    "hours", ['"06:00-12:00"', "[]", "[6, 12]", '["6-12"]', '["06:60-12:00"]', '["06:00-24:30"]', '["24:00-06:00"]', "[[6, 12]]"]
)
def test_hours_that_are_no_spans_of_the_day_are_refused_with_an_example(hours):
    said = line(sound(f"[shifts.all]\nhours = {hours}"))
    assert said.startswith("shifts.all.hours: ") and said.endswith(
        ('"06:00-12:00"]', '"06:00-12:00", "13:00-18:00"]', '"24:00"', "at least one")
    )


def test_a_bad_value_in_the_only_block_of_its_kind_hides_nothing_else_in_it():
    said = lines(sound(crew='[[crew]]\nname = "red"\npeople = -3\nareas = ["strip", "pda"]\n'))
    assert [line.split(":")[0] for line in said] == ["crew.red.people", "crew.red.areas"]
