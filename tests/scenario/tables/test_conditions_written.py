"""What of shifts, stops, heat, ground and roads is refused, and with which words."""

import pytest
from scenarios import keys, line, lines, sound

from simulation.construction import compile_plan
from simulation.scenario import ScenarioError, parse_scenario
from simulation.study.people import count_people

SITE = "[site]\nlatitude = 31.4\nlongitude = -30.0\n"
RED = '[[crew]]\nname = "red"\npeople = 18\nareas = ["strip"]\n'
WARM = 'temperature = { low = 60, high = 90, unit = "degF" }\n'


def refused(text):
    """Return what is said of a scenario that is sound by itself and cannot be built."""
    with pytest.raises(ScenarioError) as error:
        compile_plan(parse_scenario(text))
    return [str(mistake) for mistake in error.value.mistakes]


def test_a_crew_may_keep_hours_of_its_own():
    scenario = parse_scenario(sound(crew=RED + 'shift = { hours = ["18:00-06:00"], lighting = true, rest_every = 7 }\n'))
    assert scenario.crew[0].shift.hours == ((18.0, 30.0),)
    assert scenario.shifts.of("laying").hours == ((6.0, 12.0), (13.0, 18.0))


def test_hours_and_breaks_of_a_crew_must_not_overlap():
    shift = "shift = {{ {} }}\n"
    overlapping = sound(crew=RED + shift.format('hours = ["06:00-12:00", "11:00-18:00"]'))
    assert line(overlapping) == "crew.red.shift.hours: two spans of hours overlap; write spans that follow each other"
    breaks = sound(crew=RED + shift.format('breaks = ["09:00-09:30", "09:15-09:45"]'))
    assert keys(breaks) == ["crew.red.shift.breaks"]


def test_hand_overs_that_leave_nothing_of_a_shift_are_refused():
    said = line(sound('[shifts.all]\nhours = ["06:00-07:00"]\ntaking_over = "40 min"\nhanding_over = "20 min"'))
    assert said.startswith("shifts.all: breaks and hand-overs of 1 h leave nothing of 1 h; ")


def test_crews_that_merge_keep_the_same_hours():
    night = RED.replace("red", "blue") + 'second_crew = "merge"\nshift = { hours = ["18:00-06:00"] }\n'
    assert keys(sound(crew=RED + night)) == ["crew.blue.second_crew"]
    assert lines(sound(crew=RED + night.replace("merge", "relief"))) == []


def test_more_than_half_a_crew_away_is_a_slip_of_the_pen():
    assert keys(sound("[laying]\nabsence = 0.6")) == ["laying.absence"]


def test_heat_and_drying_ask_where_the_sun_stands():
    assert line(sound("[heat]")) == "heat: goes by the height of the sun, and where that is nothing says; write [site]"
    assert keys(sound("[soil]")) == ["soil.evaporation"]
    assert lines(sound('[soil]\nevaporation = "5 mm"')) == []


def test_ground_whose_readily_evaporable_water_is_all_of_it_is_refused():
    assert keys(sound('[soil]\nevaporation = "5 mm"\nreadily = "20 mm"')) == ["soil.readily"]


def test_a_wind_is_a_speed_or_never_and_a_temperature_has_its_unit():
    stops = parse_scenario(sound('[stops.laying]\nwind = "never"\ngust = "15 m/s"')).stops
    assert stops.laying.wind == float("inf")
    assert stops.laying.gust == pytest.approx(33.554, abs=1e-3)
    assert "write a speed" in line(sound("[stops.laying]\nwind = 20"))
    assert keys(sound('[cold]\nstop_below = "-25"')) == ["cold.stop_below"]
    assert parse_scenario(sound('[cold]\nstop_below = "-25 degF"')).cold.stop_below == pytest.approx(-31.667, abs=1e-3)


@pytest.mark.parametrize(
    ("asks", "key", "answers"),
    [
        ("[stops.laying]", "stops.laying.rain", "rain"),
        ("[stops.laying]", "stops.laying.wind", "wind"),
        ('[stops.forklift]\nwind = "never"\nrain = "any"', "stops.forklift.gust", "wind"),
        ("[stops.lifting]", "stops.lifting.wind", "wind"),
        ("[heat]", "heat", "temperature"),
        ("[cold]", "cold", "temperature"),
        ("[soil]", "soil", "temperature"),
        ("[roads]", "roads", "rain"),
        ("[grading]\nundone = 0.1", "grading.undone", "rain"),
    ],
)
def test_what_asks_for_weather_that_nothing_states_is_refused_by_its_key(asks, key, answers):
    said = refused(sound(asks, SITE, "[weather]"))
    assert any(one.startswith(f"{key}: asks for ") and f"write [weather.{answers}]" in one for one in said), said


def test_a_wind_that_a_default_asks_for_is_called_so_with_the_keys_that_do_without_it():
    weather = '[weather]\nrain = { mean = 2, unit = "mm" }\n'
    (said,) = refused(sound('[stops.laying]\nrain = "moderate"', SITE, weather))
    assert said.startswith("stops.laying.wind: asks for wind by default, of which the weather says nothing; write [weather.wind]")
    assert said.endswith('; or write wind = "never" and gust = "never" under [stops.laying]')
    compile_plan(parse_scenario(sound('[stops.laying]\nrain = "moderate"\nwind = "never"\ngust = "never"', SITE, weather)))
    (said,) = refused(sound('[stops.laying]\nwind = "15 mph"', SITE, weather))
    assert "by default" not in said and "never" not in said


def test_with_that_weather_stated_the_same_scenario_is_built():
    weather = '[weather]\nrain = { mean = 2, unit = "mm" }\nwind = { mean = 10, unit = "mph" }\n' + WARM
    asks = "[stops.laying]\n[stops.lifting]\n[heat]\n[cold]\n[soil]\n[roads]\n[grading]\nundone = 0.1\n"
    assert compile_plan(parse_scenario(sound(asks, SITE, weather))).clocks["laying"].limits.wind == 20.0


def test_dry_weather_needs_no_amounts_of_rain():
    assert compile_plan(parse_scenario(sound('[stops.laying]\nwind = "never"\ngust = "never"'))).clocks["laying"].rain is False


def test_a_night_crew_without_lamps_is_told_by_its_own_key():
    night = RED + 'shift = { hours = ["22:00-02:00"] }\n'
    (said,) = refused(sound(SITE, crew=night))
    assert said.startswith("crew.red.shift.hours: every hour up to the last day simulated is in the dark")


def test_gangs_that_only_grade_what_rain_undoes_are_people_on_site_too():
    plain, undone = (parse_scenario(sound(more)) for more in ("", "[grading]\nundone = 0.1"))
    assert count_people(undone).total == count_people(plain).total + 6
