"""What can be tried in a scenario, and what is left out of it with which reason?"""

import pytest
from fields import TRUCK, bound
from scenarios import LEAST, make_scenario

from simulation.construction import run_once
from simulation.construction.planning import as_taken_up
from simulation.questions.bottlenecks.idea import Kind
from simulation.questions.bottlenecks.ideas import HALF_MATS_SHORT, governed_by_half_mats
from simulation.questions.bottlenecks.what_ifs import list_what_ifs
from simulation.scenario import Change, load_scenario, parse_scenario, shipped, vary

MIX = "two half mats for one full on each pallet"


def by_name(scenario):
    tried, _ = list_what_ifs(scenario)
    return {one.name: one for one in tried}


def left_out(scenario):
    return {one.name: one.why for one in list_what_ifs(scenario)[1]}


def test_the_shipped_scenario_has_nearly_everything_to_try():
    scenario = load_scenario(shipped())
    assert left_out(scenario) == {
        "lights on shift": "all work in the dark is lit already",
        MIX: "supply.total: 1120 pallets come, 28 too few: full mats ask for 1148",  # laying edges wait for half mats in it
    }
    found = by_name(scenario)
    assert found["one more forklift"].scenario.forklifts.count == 4
    assert found["one more truck"].scenario.supply.trucks[0].count == 7
    assert found["one more grading gang"].scenario.grading.gangs == 2
    assert [crew.people for crew in found["10 more people in the crews"].scenario.crew] == [25, 25]
    assert found["no rain"].scenario.weather.model == "none"
    assert found["day and night under lights"].scenario.shifts.all.lighting


@pytest.mark.parametrize("name", ["first_look", "relief_strip"])
def test_each_is_what_its_changes_make_of_the_scenario(name):
    scenario = load_scenario(shipped(name))
    for one in by_name(scenario).values():
        assert one.changes
        assert vary(scenario, one.changes) == one.scenario != scenario


def test_one_more_crew_is_like_the_one_with_most_people_and_leaves_the_others_as_they_are():
    scenario = load_scenario(shipped())
    more = by_name(scenario)["one more crew of 20 like B"].scenario
    assert more.crew[:2] == scenario.crew
    assert more.crew[2].model_dump() == {**scenario.crew[1].model_dump(), "name": "B 2"}


def test_names_of_any_kind_can_be_repeated_and_are_never_borne_twice():
    crews = [
        f"[[crew]]\nname = '{name}'\npeople = {people}\nareas = [\"strip\"]\nfrom = '3 h'\n"
        for name, people in (("2", 12), ('blue \\ "b".1', 14), ('blue \\ "b".1 2', 14 - 1), ("x" * 60, 30))
    ]
    area = '[[area]]\nname = "strip"\nlength = "96 ft"\nwidth = "72 ft"\n'
    scenario = parse_scenario(area + "".join(crews) + "[supply]\non_hand = 40\n")
    found = by_name(scenario)
    (most,) = [one for name, one in found.items() if name.startswith("one more crew")]
    assert most.scenario.crew[:4] == scenario.crew
    assert len({crew.name for crew in most.scenario.crew}) == 5
    assert most.scenario.crew[4].model_dump() == {**scenario.crew[3].model_dump(), "name": most.scenario.crew[4].name}
    people = [crew.people for crew in found["10 more people in the crews"].scenario.crew]
    assert people == [12 + 3, 14 + 3, 13 + 2, 30 + 2]


def test_what_a_scenario_does_not_have_is_left_out_with_the_reason():
    assert left_out(bound()) == {
        "one more truck": "no truck drives",
        "one more grading gang": "no ground is left to grade",
        "haul 10 % shorter both ways": "no truck drives",
        "key strips 10 % quicker": "it is so already",
        "no breakdowns": "it is so already",
        "no rain": "the scenario has none",
        "no daily limit": "the scenario has none",
        "lights on shift": "all work in the dark is lit already",
        "day and night under lights": "work goes on day and night already",
    }


def test_a_change_that_is_refused_is_left_out_with_what_is_wrong():
    # There cannot be more forklifts than so many.
    scenario = bound(forklifts={"count": 200})
    assert "forklifts.count" in left_out(scenario)["one more forklift"]


def test_every_fleet_and_every_timetable_is_tried():
    flights = [{"pallets": 12, "every": "10 h"}]
    found = by_name(bound(supply={"on_hand": 0}, supply__trucks=[TRUCK, {**TRUCK, "count": 3}], supply__flights=flights))
    assert [fleet.count for fleet in found["one more truck of fleet 2"].scenario.supply.trucks] == [1, 4]
    assert found["10 % less time between flights"].scenario.supply.flights[0].every == pytest.approx(9.0)
    way = found["haul 10 % shorter both ways"].scenario.supply.trucks[1]
    assert (way.haul.level.value, way.back.level.value) == pytest.approx((1.8, 1.35))


def test_lights_are_tried_where_somebody_is_on_shift_in_the_dark_and_so_is_each_shift_of_its_own():
    site = {"latitude": 31.4, "longitude": -30.0, "utc_offset": "-2 h"}
    found = by_name(bound(site=site, shifts__laying={"hours": ["16:00-02:00"]}))
    assert "lights on shift" in found
    lit = found["lights on shift"].scenario.shifts
    assert lit.all.lighting and lit.laying.lighting and lit.laying.hours == ((16.0, 26.0),)
    assert found["day and night under lights"].scenario.shifts.laying.hours == ((0.0, 24.0),)


def test_a_way_that_takes_a_tenth_less_time_is_walked_a_ninth_faster():
    found = by_name(load_scenario(shipped()))["carrying 10 % quicker"]
    assert found.scenario.laying.walk == pytest.approx(2.0 / 0.9)


def two_areas(green, more=""):
    areas = "".join(f'[[area]]\nname = "{name}"\nlength = "300 ft"\nwidth = "72 ft"\n' for name in ("strip", "pad"))
    day, night = (f'shift = {{ hours = ["{hours}"], lighting = true }}' for hours in ("06:00-18:00", "18:00-06:00"))
    crews = "".join(
        f'[[crew]]\nname = "{name}"\npeople = 12\nareas = {areas}\n{shift}\n'
        for name, areas, shift in (("red", '["strip"]', day), ("green", green, day), ("blue", '["pad"]', night))
    )
    return parse_scenario(f"{areas}{crews}[supply]\non_hand = 400\n[laying]\nefficiency = 0.1\n{more}")


def test_a_crew_that_has_no_edge_while_an_area_stands_idle_is_tried_on_it_and_the_run_is_ready_sooner():
    scenario = two_areas('["strip"]')
    found = by_name(scenario)
    as_well = {name for name in found if name.endswith(" as well")}
    assert as_well == {"red lays pad as well", "green lays pad as well"}  # red when the strip is done
    assert found["green lays pad as well"].scenario == two_areas('["strip", "pad"]')
    before, after = (max(run_once(one).milestones.values()) for one in (scenario, two_areas('["strip", "pad"]')))
    assert after < before - 8
    assert "green lays pad as well" not in by_name(two_areas('["strip", "pad"]'))


def test_more_half_mats_on_a_pallet_are_tried_where_edges_wait_for_them_though_full_ones_govern():
    scenario = vary(load_scenario(shipped()), [Change("supply.total", "1300")])
    assert not governed_by_half_mats(scenario)
    assert run_once(scenario).record["waited.half mats"] >= HALF_MATS_SHORT
    mat = by_name(scenario)[MIX].scenario.mat
    assert (mat.pallet_full, mat.pallet_half) == (scenario.mat.pallet_full - 1, scenario.mat.pallet_half + 2)
    assert run_once(load_scenario(shipped("first_look"))).record["waited.half mats"] < HALF_MATS_SHORT
    assert MIX not in by_name(load_scenario(shipped("first_look")))


def test_without_weather_nothing_that_asks_for_it_is_left():
    weather = {"wet_spell": "4 h", "dry_spell": "40 h", "wind": {"unit": "mph", "mean": 12}}
    scenario = bound(weather=weather, stops__laying={"wind": "15 mph", "rain": "any"})
    found = by_name(scenario)["no rain, wind, heat or cold"].scenario
    assert found.weather.model == "none"
    assert found.stops.laying is None


def test_of_a_take_up_what_is_tried_is_of_taking_up_and_nothing_of_laying():
    crew = [{"name": "red", "people": 20, "areas": ["strip"]}]
    scenario = as_taken_up(make_scenario(LEAST, crew=crew))
    found = by_name(scenario)
    assert {"one more forklift", "lifting rows 10 % quicker", "banding 10 % quicker", "no key strip that sticks"} <= found.keys()
    assert found["2 of each crew handle mats, not lift"].scenario.take_up.handlers == (
        scenario.take_up.handlers_of(scenario.crew[0].people) + 2
    )
    assert found["taken up along the direction of assembly"].scenario.take_up.direction == "along"
    assert not [name for name in found if "lock" in name or "placing" in name or "lays" in name or name == MIX]
    assert left_out(scenario)["one more grading gang"] == "no end ramp is dug out"


def test_a_shipment_is_tried_a_whole_day_earlier_so_that_it_does_not_only_move_within_a_night():
    barge = {"name": "barge", "pallets": 6, "comes": "5 day", "chance": 0.7, "again": "3 day"}
    (ship,) = by_name(bound(supply__shipments=[barge]))["shipment barge one day earlier"].scenario.supply.shipments
    assert ship.comes.mean == pytest.approx(4 * 24.0, abs=1e-6)
    tug = {"pallets": 6, "comes": {"p10": "50 h", "p90": "90 h"}}
    scenario = bound(supply__shipments=[barge, tug])
    earlier = by_name(scenario)["every shipment one day earlier on average"].scenario.supply.shipments
    for before, after in zip(scenario.supply.shipments, earlier, strict=True):
        assert before.comes.mean - after.comes.mean == pytest.approx(24.0, abs=1e-6)
    soon = left_out(bound(supply__shipments=[{**barge, "comes": "20 h"}]))
    assert soon["shipment barge one day earlier"] == "it comes within the first day"


def test_flying_windows_are_tried_away_where_there_are_any():
    scenario = load_scenario(shipped("early_opening"))
    assert scenario.flying.windows
    without = by_name(scenario)["no flying windows"]
    assert without.kind is Kind.WITHOUT and not without.scenario.flying.closes
    assert without.scenario.flying.since == scenario.flying.since  # its ramps stand as before
    assert not [name for name in by_name(load_scenario(shipped())) if "flying" in name]
