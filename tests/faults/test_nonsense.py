"""What cannot be is refused by its key; what no run sees, and names that look alike, are questioned."""

import pytest
from scenarios import AREA, CREW, lines, sound

from simulation.construction import find_warnings, trial_warnings
from simulation.scenario import ScenarioError, parse_scenario
from simulation.scenario.types.change import Change

WARM = '[weather.temperature]\nunit = "{}"\nlow = {}\nhigh = {}\n'
TRUCK = '[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nreturn = "1 h"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (WARM.format("degC", -199, 10), "weather.temperature.low: -199 degC {}; write -90 to 60"),
        (WARM.format("degC", 10, 300), "weather.temperature.high: 300 degC {}"),
        (WARM.format("degF", 50, 150), "weather.temperature.high: 150 degF {}; write -130 to 140"),
        (
            f'[weather.temperature]\nunit = "degC"\nby_hour = {[[10] * 23 + [99]] * 12}',
            "weather.temperature.by_hour: 99 degC {}",
        ),
        (WARM.format("degF", 50, 60) + "wet = -60", "weather.temperature.wet: -60 degF {}; write -54"),
        ('[weather.humidity]\nunit = "%"\ndry = 900', "weather.humidity.dry: 900 % {}; write 0 to 100 %"),
        ('[weather.humidity]\nunit = "share"\ndry = 0.5\nwet = 9', "weather.humidity.wet: 9 share {}"),
        ('[weather.wind]\nunit = "mph"\nmean = 9000', "weather.wind.mean: 9000 mph {}; write 0 to 100 mph"),
        ('[weather.wind]\nunit = "m/s"\ndry = 5\nwet = 50', "weather.wind.wet: 50 m/s {}; write 0 to 44.7 m/s"),
        ('[weather.rain]\nunit = "inch"\nmean = 100', "weather.rain.mean: 100 inch {}"),
        ('[shifts.all]\nbreaks = ["03:00-03:15"]', "shifts.all.breaks: 03:00-03:15 lies outside of the hours; write breaks"),
        ('[shifts.all]\nbreaks = ["11:50-12:10"]', "shifts.all.breaks: 11:50-12:10 lies outside of the hours"),
        ('[shifts.all]\nhours = ["20:00-04:00"]\nbreaks = ["12:00-12:30"]', "shifts.all.breaks: 12:00-12:30 lies outside"),
        ("[laying]\nskew_found = 99", "laying.skew_found: 99 is out of range"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_by_its_key(text, said):
    if text.startswith("[weather."):
        text = f'[weather]\nmodel = "climate"\n[weather.climate]\nwet_hours = 50\n{text}'
    said = said.replace("{}", f"is the {said.split('.')[1]} of no place on earth")
    assert said in [one[: len(said)] for one in lines(sound(text))]


@pytest.mark.parametrize(
    "text",
    [
        '[shifts.all]\nhours = ["20:00-04:00"]\nbreaks = ["23:45-00:15", "02:00-02:15"]',
        '[shifts.all]\nhours = ["22:00-24:00", "00:00-06:00"]\nbreaks = ["03:00-03:30"]',
        WARM.format("degF", -20, 120),
    ],
)
def test_what_can_be_is_read(text):
    assert lines(sound(text)) == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("laying.skew_found=x99", "laying.skew_found: 1.98 is out of range; write 1 or less"),
        ("site.latitude=x100", "site.latitude: 4000.0 is out of range; write 90 or less"),
        ("horizon=x10000", 'horizon: "28800000.0 hour" is out of range; write "3650 day" or less'),
        (f"laying.place=x1{'0' * 308}", "laying.place.p10: "),
        (f"laying.walk=x1{'0' * 400}", 'laying.walk: "inf mph" is not a speed; '),
        ("laying.walk=x0.00001", 'laying.walk: "2e-05 mph" is out of range; write "0.001 mph" or more'),
        ("laying.ramp_row=x0.5", "laying.ramp_row: 0.75 is out of range; write 1 or more"),
        (f"crew.red.from=x1{'0' * 400}", "crew.red.from: "),
        ("crew.red.people=+999999", "crew.red.people: 1000017 is out of range; write 2000 or less"),
        (f"crew.red.people=+1{'0' * 18}", "crew.red.people: a number of more than 18 digits is out of range; "),
    ],
)
def test_a_relative_change_meets_the_range_of_its_key(change, said):
    text = sound("[site]\nlatitude = 40.0\nlongitude = 5.0\n[laying]\nskew_found = 0.02")
    with pytest.raises(ScenarioError) as refused:
        parse_scenario(text, changes=[Change(*change.split("="))])
    assert str(refused.value).partition(": ")[2].startswith(said), str(refused.value)


def test_a_relative_change_within_the_range_is_made():
    text = sound('[laying]\nwalk = "2 mph"\n[stops.laying]')
    changed = parse_scenario(text, changes=[Change("laying.walk", "x1.5"), Change("stops.laying.wind", "x0.5")])
    assert changed.laying.walk == 3.0
    assert changed.stops.laying.wind == 10.0


def warned(text):
    return {str(one.key): one.wrong for one in find_warnings(parse_scenario(text))}


def test_whoever_comes_after_the_last_day_simulated_is_named():
    found = warned(
        sound(
            '[grading]\ndone = 0.5\nfrom = "12 day"',
            '[forklifts]\nfrom = "11 day"',
            '[supply.key_strips]\nfrom = "15 day"',
            TRUCK + 'from = "13 day"',
            '[[supply.flights]]\npallets = 5\nfirst = "14 day"',
            crew=CREW + CREW.replace("red", "late") + 'from = "10 day"\n',
            top='horizon = "10 day"',
        )
    )
    late = {"crew.late.from", "grading.from", "forklifts.from", "supply.trucks.1.from", "supply.flights.1.first"}
    assert late | {"supply.key_strips.from"} == {key for key, wrong in found.items() if "after the last day simulated" in wrong}
    assert found["forklifts.from"] == "11 days is after the last day simulated, 10 (horizon), so no run sees it"


def test_a_run_of_which_all_rows_lie_is_not_told_to_have_none_of_the_field_left():
    after = '[[task]]\nname = "paint"\neach = "1000 day"\nafter = [{ area = "strip" }]\n'
    after += '[[milestone]]\nname = "open"\nareas = ["strip"]\ntasks = ["paint"]\n'
    _, found = trial_warnings(parse_scenario(sound(after, top='horizon = "40 day"')))
    (one,) = [mistake for mistake in found if mistake.key == "horizon"]
    assert one.wrong.startswith("the first drawn run is not ready within 40 days: no row is left")


def test_a_run_that_never_ends_is_told_with_what_held_it_up():
    hours, found = trial_warnings(parse_scenario(sound('[laying]\nplace = "40 h"', top='horizon = "20 day"')))
    assert hours == float("inf")
    (one,) = [mistake for mistake in found if mistake.key == "horizon"]
    assert one.wrong.startswith("the first drawn run is not ready within 20 days: ")
    assert "% of the field is left" in one.wrong
    assert "laying rows" in one.wrong


@pytest.mark.parametrize(
    ("name", "like"),
    [("Strip", "strip"), ("apron", "\N{CYRILLIC SMALL LETTER A}pron"), ("lane 1", "lane l"), ("a-b", "a\N{EN DASH}b")],
)
def test_names_that_look_alike_are_named(name, like):
    areas = AREA.replace("strip", name) + AREA.replace("strip", like)
    found = warned(sound(area=areas, crew=CREW.replace('"strip"', f'"{name}", "{like}"')))
    assert [key for key, wrong in found.items() if "looks like" in wrong] == [f"area.{like}.name"] or "–" in like
    assert any(f'"{like}"' in wrong and f'looks like "{name}"' in wrong for wrong in found.values())


@pytest.mark.parametrize(("name", "other"), [("lane 1", "lane 2"), ("east", "west"), ("red", "red 2"), ("10", "100")])
def test_names_that_differ_are_not_named(name, other):
    areas = AREA.replace("strip", name) + AREA.replace("strip", other)
    found = warned(sound(area=areas, crew=CREW.replace('"strip"', f'"{name}", "{other}"')))
    assert not [wrong for wrong in found.values() if "looks like" in wrong]


def test_a_yard_miles_off_is_questioned():
    assert "supply.yard.offset" in warned(sound('[supply.yard]\narea = "strip"\noffset = "3 mile"'))
    assert not {"supply.yard.offset", "supply.yard.station"} & warned(sound('[supply.yard]\narea = "strip"')).keys()


@pytest.mark.parametrize("kind", ["full", "half"])
def test_a_pallet_without_a_kind_of_mat_that_the_rows_take_is_refused(keystrip, tmp_path, kind):
    (tmp_path / "mine.toml").write_text(sound(f"[mat]\npallet_{kind} = 0"))
    for command in ("check", "takeoff"):
        code, _, err = keystrip(command, "mine.toml")
        assert code == 2
        assert f"mat.pallet_{kind}: the field needs {kind} mats and a pallet holds none; write 1 or more" in err


@pytest.mark.parametrize(
    "first",
    [
        "root:x:0:0:root:/root:/bin/sh",
        "hunter2,name,salary",
        "-----BEGIN KEY-----;a",
        "id,patient name;x",
        "hunter2 rain_mm,time;b",
    ],
)
@pytest.mark.parametrize(
    "table",
    [
        '[laying]\nplace = { data = "other.csv", unit = "s" }',
        '[laying]\nplace = { data = "other.csv", column = "seconds", unit = "s" }',
        '[weather]\nmodel = "records"\nrecords = { file = "other.csv" }',
        '[weather]\nmodel = "records"\nrecords = { file = "other.csv", columns = "time=when,rain=wet:mm" }',
        '[weather]\nmodel = "records"\nrecords = { file = "other.csv", columns = "time=time,rain=r:mm", only = { at = "x" } }',
    ],
)
def test_the_first_line_of_a_file_that_is_no_record_is_not_quoted(tmp_path, first, table):
    (tmp_path / "other.csv").write_text(f"{first}\n1,2,3\n4,5,6\n")
    said = " ".join(lines(sound(table), folder=tmp_path))
    assert said
    for word in ("root:", "hunter2", "BEGIN", "salary", "patient"):
        assert word not in said


def test_of_the_first_line_of_a_record_only_what_it_plainly_holds_is_quoted(tmp_path):
    (tmp_path / "station.csv").write_text("when it was,rain_mm,secret\n1,2,3\n")
    (said,) = lines(sound('[weather]\nmodel = "records"\nrecords = { file = "station.csv" }'), folder=tmp_path)
    assert said.endswith("the file has 3 columns, and only rain_mm says by name what is in it")
