"""A run in frames: at which hours, what everybody does at them, and that they agree with the run."""

import math

import pytest
from hypothesis import given
from scenarios import strip, written
from small_runs import examples, scenarios

from simulation.construction import run_once
from simulation.construction.plan.steps import FEED, KIND, KINDS, UNLOAD
from simulation.field import distance
from simulation.questions.replay.activities import BEING_UNLOADED, DONE, GROUND, MATS, RAIL_AHEAD, STRIPS, TURN, WAITS
from simulation.questions.replay.on_the_ground import along, lay_out_ground, length
from simulation.questions.replay.study import ENOUGH, MOST_FRAMES, TooMany, end_of, make_replay
from simulation.scenario import ScenarioError, parse_scenario
from simulation.study.asked_hours import NoHour, read_duration, read_hour
from simulation.study.calendar import Calendar, make_calendar

DAYS = {"shifts.all": {"hours": ["06:00-12:00", "13:00-18:00"], "lighting": True}}


RAILED = {"name": "strip", "length": "80 ft", "width": "72 ft", "guide_rail": True}


def replayed(tables, run_number=0, **how):
    scenario = parse_scenario(tables if isinstance(tables, str) else written(tables))
    run = run_once(scenario, run_number)
    return run, make_replay(scenario, run, **how)


def test_frames_stand_at_multiples_of_the_step_and_at_the_end():
    run, replay = replayed(strip(), every=0.5)
    hours = [frame.hour for frame in replay.frames]
    assert hours[:-1] == [0.5 * number for number in range(len(hours) - 1)]
    assert hours[-1] == replay.end == max(run.milestones.values())


def test_a_night_has_one_frame_and_a_meal_is_no_night():
    tables = strip(area=[{"name": "strip", "length": "400 ft", "width": "72 ft"}], supply={"on_hand": 200}, **DAYS)
    _, replay = replayed(tables, every=1.0)
    assert replay.end > 24.0
    assert replay.nights[0] == (12.0, 24.0)
    hours = [frame.hour for frame in replay.frames if frame.hour < 26.0]
    assert hours == [*map(float, range(13)), 24.0, 25.0]
    dark = [frame for frame in replay.frames if frame.night_until is not None]
    assert [frame.night_until for frame in dark] == [night[1] for night in replay.nights if night[0] < replay.end]
    noon = next(frame for frame in replay.frames if frame.hour == 6.0)
    assert noon.stopped == "off shift"
    assert noon.night_until is None


@examples(15)
@given(scenarios())
def test_milestones_and_the_last_rows_agree_with_the_run(text):
    try:
        run, replay = replayed(text)
    except ScenarioError:
        return
    assert len(replay.frames) <= ENOUGH + 1 or replay.every == 24.0
    for frame in replay.frames:
        assert set(frame.reached) == {name for name, hour in run.milestones.items() if hour <= frame.hour}
        crews = [doing for doing in frame.doings if doing.kind == "crew"]
        assert len(crews) == len(replay.scenario.crew)
        assert sum(doing.kind == "forklift" for doing in frame.doings) == replay.scenario.forklifts.count
    if math.isfinite(max(run.milestones.values())):
        assert set(replay.frames[-1].reached) == set(run.milestones)


def test_rain_in_the_frames_is_the_rain_of_the_trace():
    scenario = parse_scenario(written(strip(weather={"wet_spell": "3 h", "dry_spell": "4 h"})))
    run = run_once(scenario)
    replay = make_replay(scenario, run, every=0.25)
    steps = run.steps
    spells = steps[steps["work"] == "wet spell"]
    assert replay.wet
    for frame in replay.frames:
        raining = ((spells["start"] <= frame.hour) & (frame.hour < spells["end"])).any()
        assert frame.rain == raining
        if raining:
            assert frame.stopped == "rain"


def test_a_forklift_that_unloads_at_the_yard_is_drawn_there():
    trucks = [{"count": 2, "pallets": 4, "haul": "30 min", "return": "30 min", "load": "10 min"}]
    run, replay = replayed(strip(supply={"on_hand": 4}, **{"supply.trucks": trucks}), every=0.1)
    yard = lay_out_ground(replay.scenario, run.finished.site.plan).yard
    there = [doing.point for frame in replay.frames for doing in frame.doings if doing.what == KINDS[UNLOAD].name]
    assert set(there) == {yard}


def test_a_forklift_is_where_its_way_leads_it():
    tables = strip(area=[{"name": "strip", "length": "400 ft", "width": "72 ft"}], supply={"on_hand": 200})
    scenario = parse_scenario(written(tables))
    run = run_once(scenario)
    site, ground = run.finished.site, lay_out_ground(scenario, run.finished.site.plan)
    feeds = [step for step in site.trace if step[KIND] == FEED]
    for edge, plan in enumerate(site.plan.edges):
        for row, feet in enumerate(plan.travel):
            assert length(ground.way(edge, row)) == pytest.approx(feet)
    first = feeds[0]
    replay = make_replay(scenario, run, at=[first[0], (first[0] + first[1]) / 2, first[1]])
    start, middle, end = (next(one.point for one in frame.doings if one.kind == "forklift") for frame in replay.frames)
    assert start == ground.yard
    way = ground.way(0, 0)
    assert middle == pytest.approx(along(way, 0.5))
    assert distance(end, way[-1]) < distance(middle, way[-1])


def test_a_forklift_that_drives_on_rows_goes_to_where_the_edge_began_first():
    scenario = parse_scenario(written(strip(forklifts={"drive_on": "rows"})))
    run = run_once(scenario)
    plan = run.finished.site.plan
    ground = lay_out_ground(scenario, plan)
    for row, feet in enumerate(plan.edges[0].travel):
        assert length(ground.way(0, row)) == pytest.approx(feet)


def test_who_waits_is_said_to_wait_for_what_wakes_it():
    tables = strip(
        area=[{"name": "strip", "length": "160 ft", "width": "72 ft"}],
        supply={"on_hand": 2, "total": 40},
        supply__trucks=[{"count": 1, "pallets": 4, "load": "1 h", "haul": "1 h", "return": "1 h"}],
    )
    _, replay = replayed(tables, every=0.1)
    seen = {doing.what for frame in replay.frames for doing in frame.doings if doing.kind == "crew"}
    assert {"waits for full mats", "laying rows", DONE} <= seen
    assert GROUND not in seen
    trucks = {doing.what for frame in replay.frames for doing in frame.doings if doing.kind == "truck"}
    assert {"loading at the port", "haul", "trucks returning", BEING_UNLOADED} <= trucks
    _, replay = replayed(strip(grading={"done": 0.05, "rate": "900 ft**2/h"}), every=0.1)
    assert any(doing.what == GROUND for frame in replay.frames for doing in frame.doings)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"area": [RAILED], "rail_gang": {"section": "3 h"}}, RAIL_AHEAD),
        ({"supply": {"key_strips": {"from": "30 h"}}}, STRIPS),
    ],
)
def test_a_crew_is_said_to_wait_for_the_rail_and_for_key_strips(changes, what):
    _, replay = replayed(strip(**changes), every=0.5)
    waits = [doing for frame in replay.frames for doing in frame.doings if doing.what == what]
    assert len(waits) > 20
    assert {(doing.kind, doing.edge) for doing in waits} == {("crew", 0)}


def test_both_of_two_crews_in_turns_wait_where_the_edge_does_and_none_rests_for_the_other_then():
    crews = [{"name": name, "people": 12, "areas": ["strip"], "second_crew": "relief"} for name in ("red", "blue")]
    flights = [{"pallets": 4, "first": "0 h", "every": "5 h"}]
    _, replay = replayed(strip(crew=crews, supply={"on_hand": 0, "total": 24}, supply__flights=flights), every=0.1)
    waiting = 0
    for frame in replay.frames:
        does = {doing.what for doing in frame.doings if doing.kind == "crew"}
        if does & set(MATS):
            waiting += 1
            assert len(does) == 1
        if TURN in does:
            assert not any(what.startswith(WAITS) for what in does)
    assert waiting > 20


def test_a_crew_that_lacks_half_mats_among_full_ones_says_so():
    # A pallet holds one half mat, and every other row of so narrow a strip ends in two.
    tables = strip(
        area=[{"name": "strip", "length": "200 ft", "width": "24 ft"}],
        mat={"pallet_full": 20, "pallet_half": 1},
        supply={"on_hand": 0, "total": 200, "spares": 0.0},
        supply__flights=[{"pallets": 1, "first": "0 h", "every": "2 h"}],
        top={"starts": "2031-04-02T06:00:00", "horizon": "60 day"},
    )
    _, replay = replayed(tables, every=0.5)
    for frame in replay.frames:
        for doing in frame.doings:
            if doing.kind == "crew" and doing.what.startswith(WAITS) and frame.stand.hour > 1.0:
                assert doing.what == "waits for half mats"
                assert frame.stand.full.at_edges > 10
    assert any(doing.what == "waits for half mats" for frame in replay.frames for doing in frame.doings)


def test_crews_that_relieve_each_other_rest_in_turn():
    crews = [{"name": name, "people": 12, "areas": ["strip"], "second_crew": "relief"} for name in ("red", "blue")]
    _, replay = replayed(strip(crew=crews), every=0.1)
    both = [{doing.what for doing in frame.doings if doing.kind == "crew"} for frame in replay.frames]
    assert {"laying rows", TURN} in both


def test_crews_that_merge_are_at_one_edge():
    crews = [{"name": name, "people": 12, "areas": ["strip"], "second_crew": "merge"} for name in ("red", "blue")]
    _, replay = replayed(strip(crew=crews), every=0.1)
    frame = replay.frames[3]
    points = {doing.point for doing in frame.doings if doing.kind == "crew"}
    assert len(points) == 1


def test_so_short_a_step_is_refused_and_the_one_that_is_named_does():
    scenario = parse_scenario(written(strip()))
    run = run_once(scenario)
    with pytest.raises(TooMany) as refused:
        make_replay(scenario, run, every=end_of(run) / 5000)
    assert len(make_replay(scenario, run, every=refused.value.right).frames) <= MOST_FRAMES + 1


def test_a_duration_may_have_several_parts():
    assert read_duration("3 d 4 h") == 76.0
    assert read_duration("3 d, 4 h 30 min") == 76.5
    assert read_duration("0 h") == 0.0
    for wrong in ("", "3", "3 d 4", "d", "-1 h", "3 ft", "3 d; 4 h"):
        with pytest.raises(NoHour):
            read_duration(wrong)


def test_an_hour_may_be_a_local_time():
    calendar = make_calendar(parse_scenario(written(strip())))
    assert isinstance(calendar, Calendar)
    assert read_hour("2031-04-05T10:00", calendar) == 76.0
    for wrong in ("2031-04-02T05:00", "2031-04-05T10:00Z", "2031-13-05"):
        with pytest.raises(NoHour):
            read_hour(wrong, calendar)
