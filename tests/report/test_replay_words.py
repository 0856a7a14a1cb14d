"""What is said of an hour of a build is so by its trace: who waits says for what, and why it does not come."""

from small_scenarios import strip, written

from simulation import build_once
from simulation.analysis.replay import replay_of
from simulation.report import replay_words as words
from simulation.scenario import parse_scenario

NIGHT = {"hours": ["18:00-24:00", "00:00-06:00"], "lighting": True}
DAY = {"hours": ["06:00-18:00"], "lighting": True}


def told(tables, hour):
    scenario = parse_scenario(written(tables))
    replay = replay_of(scenario, build_once(scenario), at=[hour])
    frame = replay.frames[0]
    return words.state_line(replay, frame), dict(words.actor_lines(replay, frame))


def by_night(**changes):
    crews = [
        {"name": "red", "people": 12, "areas": ["strip"], "shift": DAY},
        {"name": "blue", "people": 12, "areas": ["strip"], "shift": NIGHT, "second_crew": "relief"},
    ]
    area = [{"name": "strip", "length": "900 ft", "width": "72 ft"}]
    return strip(area=area, crew=crews, supply={"on_hand": 300}, laying={"efficiency": 0.1}, **changes)


def test_a_night_crew_that_waits_for_forklifts_is_not_said_to_rest_or_to_lay():
    state, who = told(by_night(shifts__forklift=DAY), 20.0)  # two in the morning
    assert state == "on shift, nobody lays: waits for full mats"
    crews = {name.partition("crew ")[2]: does for name, does in who.items() if "crew" in name}
    assert crews["blue"].startswith("waits for full mats, strip") and crews["blue"].endswith("(forklifts off shift)")
    assert crews["red"].startswith("off shift")


def test_with_forklifts_by_night_it_lays():
    state, who = told(by_night(), 20.0)
    assert state == "laying on shift"
    assert any("crew blue" in name and does.startswith("lays rows") for name, does in who.items())


def test_an_empty_yard_is_named_as_what_holds_the_mats_up():
    flights = [{"pallets": 24, "first": "30 h"}]
    state, who = told(strip(supply={"on_hand": 0, "total": 24}, supply__flights=flights), 20.0)
    assert state == "on shift, nobody lays: waits for full mats"
    assert any(does.endswith("(none in the yard)") for does in who.values())


def test_a_day_of_rest_is_not_called_a_night():
    calendar = {**DAY, "rest_every": 7}
    state, _ = told(strip(shifts__all=calendar, laying={"efficiency": 0.02}, supply={"on_hand": 300}), 6 * 24 + 4.0)
    assert state.startswith("nobody on shift until ")
