"""What is said of an hour of a run is so by its trace: who waits says for what, and why it does not come."""

from scenarios import strip, written

from simulation import run_once
from simulation.construction.plan.steps import END, KIND, KINDS, START
from simulation.construction.trace.links import clock_of
from simulation.questions.replay import words
from simulation.questions.replay.study import make_replay
from simulation.scenario import parse_scenario

NIGHT = {"hours": ["18:00-24:00", "00:00-06:00"], "lighting": True}
DAY = {"hours": ["06:00-18:00"], "lighting": True}


def told(tables, hour):
    scenario = parse_scenario(written(tables))
    return told_of(scenario, run_once(scenario), hour)


def told_of(scenario, run, hour):
    replay = make_replay(scenario, run, at=[hour])
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


def test_a_day_of_rest_is_not_said_to_be_a_night():
    # 2031-04-02 is a Wednesday; nobody is on from Saturday evening to Monday morning.
    shift = {"hours": ["06:00-18:00"], "rest_on": ["Sunday"]}
    tables = strip(
        area=[{"name": "strip", "length": "2000 ft", "width": "72 ft"}],
        shifts__all=shift,
        laying={"efficiency": 0.05},
        supply={"on_hand": 600},
    )
    for hour, said in (
        (24.0 * 3 + 15, "nobody on shift until Mon 06:00"),  # Saturday 21:00
        (24.0 * 4 + 4, "day of rest: nobody on shift until Mon 06:00"),  # Sunday 10:00, in daylight
        (24.0 * 4 + 20, "nobody on shift until Mon 06:00"),  # Monday 02:00
        (24.0 + 15, "nobody on shift until Fri 06:00"),
    ):
        assert told(tables, hour)[0] == said


def test_where_all_is_laid_the_closing_work_is_told_and_when_it_goes_on():
    milestone = [{"name": "open", "areas": ["strip"], "closing": "14 h", "ready": True}]
    crew = [{"name": "red", "people": 12, "areas": ["strip"], "shift": DAY}]
    scenario = parse_scenario(written(strip(crew=crew, milestone=milestone, shifts__laying=NIGHT, shifts__forklift=DAY)))
    run = run_once(scenario)
    (closing,) = [step for step in run.finished.site.trace if KINDS[step[KIND]].name == "final sweep, inspection and marking"]
    clock = clock_of(closing, run.finished.site.clocks)
    hours = [closing[START] + (closing[END] - closing[START]) * part / 40 for part in range(40)]
    said = [(clock.worked(hour, hour + 1e-6) > 0.0, told_of(scenario, run, hour)[0]) for hour in hours]
    assert {words for works, words in said if works} == {"all is laid, final sweep, inspection and marking"}
    stopped = {words for works, words in said if not works}
    assert stopped and all(words.startswith("all is laid, final sweep, inspection and marking goes on ") for words in stopped)
    assert all(words.endswith(" 06:00") for words in stopped)


def test_no_truck_is_said_to_be_unloaded_while_every_forklift_is_off_shift():
    trucks = [{"count": 4, "pallets": 60, "load": "10 min", "haul": "30 min", "return": "30 min"}]
    everyone = {"hours": ["00:00-24:00"], "lighting": True}
    tables = strip(
        supply={"on_hand": 0, "total": 400}, supply__trucks=trucks, forklifts={"count": 2},
        shifts__all=everyone, shifts__forklift=DAY,
    )  # fmt: skip
    by_night, by_day = (told(tables, hour)[1]["4 trucks"] for hour in (16.0, 3.0))
    assert "at the yard (unloading off shift)" in by_night and "being unloaded" not in by_night
    assert "being unloaded" in by_day
