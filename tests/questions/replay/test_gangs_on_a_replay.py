"""A replay leaves no kind of work out: rail gang, ramps and tie-downs are seen where and when they are at work."""

import re
from functools import cache

import pytest
from every_key_scenario import every_key
from fields import railed
from scenarios import make_scenario, strip, written

from simulation.construction import run_once
from simulation.construction.plan.steps import ACTOR, BACKFILL, DRILL, END, KIND, KINDS, MAKE_END, NUMBER, RAIL, START, TASK
from simulation.construction.trace.temporary_ends import list_ends
from simulation.questions.replay import words
from simulation.questions.replay.activities import CLOCKS
from simulation.questions.replay.page import make_record, page_of
from simulation.questions.replay.study import make_replay
from simulation.scenario import parse_scenario

STANDS = {"count": 3, "tie_downs": 4, "holes": 1, "drill": "15 min"}


@cache
def built():
    tables = railed(
        200,
        supply={"on_hand": 200},
        grading={"done": 0.5, "backfill": "3 h"},
        milestone=[{"name": "open", "areas": ["strip"], "closing": "2 h", "ready": True}],
    )
    tables["area"][0] |= {"end_ramps": True, "stands": STANDS}
    scenario = parse_scenario(written(tables))
    return scenario, run_once(scenario)


def middle(step):
    return (step[START] + step[END]) / 2


def shown(*hours):
    scenario, run = built()
    return make_replay(scenario, run, at=sorted(hours))


def steps(*kinds):
    return [step for step in built()[1].finished.site.trace if step[KIND] in kinds]


def test_whatever_somebody_on_the_ground_does_is_shown_while_it_is_done():
    run = built()[1].finished
    work = [
        step for step in run.site.trace if step[ACTOR] >= 0 and run.actors[step[ACTOR]].kind in CLOCKS and step[END] > step[START]
    ]
    assert {RAIL, DRILL, BACKFILL} <= {step[KIND] for step in work}
    replay = shown(*(middle(step) for step in work))
    for step, frame in zip(sorted(work, key=middle), replay.frames, strict=True):
        does = {(doing.name, doing.what) for doing in frame.doings}
        assert (run.actors[step[ACTOR]].name, KINDS[step[KIND]].name) in does


def test_the_rail_gang_stands_where_the_rail_ends_and_the_rail_grows_behind_it():
    sections = steps(RAIL)
    for step, frame in zip(sections, shown(*map(middle, sections)).frames, strict=True):
        (gang,) = (doing for doing in frame.doings if doing.kind == "rail gang")
        (rail,) = shown(0.0).ground.rails
        assert gang.point == rail.ends[step[NUMBER] - 1]
        assert frame.stand.railed == (step[NUMBER] - 1,)
    assert len(rail.ends) == len(sections) + 1
    assert rail.ends[-1][0] - rail.ends[0][0] == pytest.approx(200.0)


def test_ramps_and_tie_downs_are_counted_as_they_are_done_and_named_while_all_else_is():
    replay = shown(0.0, *map(middle, steps(DRILL, BACKFILL)), max(step[END] for step in steps(DRILL, BACKFILL)))
    first, *between, last = (words.further_lines(replay, frame) for frame in replay.frames)
    assert first[0].startswith("guide rail, strip: 0 of ")
    assert first[1:] == [
        "backfill, strip, low end: 0 of 1 ramp",
        "backfill, strip, high end: 0 of 1 ramp",
        "tie-downs, strip: 0 of 3 stands",
    ]
    assert last[1:] == [
        "backfill, strip, low end: 1 of 1 ramp",
        "backfill, strip, high end: 1 of 1 ramp",
        "tie-downs, strip: 3 of 3 stands",
    ]
    assert "tie-downs, strip: 1 of 3 stands" in {line for lines in between for line in lines}
    who = dict(words.actor_lines(replay, replay.frames[-2]))
    assert who["T  tie-downs"].endswith(", strip") or who["F  backfill"].endswith(", strip, high end")
    assert words.state_line(replay, replay.frames[-2]).startswith("all is laid, ")


def test_the_page_draws_what_is_set_of_a_rail_and_no_gang_twice():
    record = make_record(shown(middle(steps(RAIL)[-1]), middle(steps(DRILL)[-1])))
    first, second = record["lying"]["moving"]
    assert [len(line) for line in first["rails"]] == [4]
    assert [letters for kind, letters, *_ in first["symbols"] if kind == "rail gang"] == ["R"]
    assert [letters for kind, letters, *_ in second["symbols"] if kind == "following"].count("T") == 1


def test_nobody_is_held_up_by_flying_before_the_first_use():
    milestones = [
        {"name": "first use", "usable": {"area": "strip", "length": "60 ft"}, "closing": "0 h"},
        {"name": "whole", "areas": ["strip"], "ready": True},
    ]
    flying = {"from": "first use", "windows": ["08:00-09:00"], "clear_before": "1 min"}
    scenario = make_scenario(strip(milestone=milestones, flying=flying))
    run = run_once(scenario)
    opened = run.milestones["first use"]
    in_windows = [2.5 + 24.0 * day for day in range(3)]  # the start is at 06:00
    assert any(hour < opened for hour in in_windows) and any(hour > opened for hour in in_windows)
    for frame in make_replay(scenario, run, at=in_windows).frames:
        assert ("closed for flying" in frame.held_up) == (frame.stand.hour > opened)


def test_a_task_is_told_with_whose_people_do_it():
    crew = [{"name": "red", "people": 18, "areas": ["strip"]}]
    tasks = [
        {"name": "paint", "each": "3 h", "gang": "from crew red", "people": 4},
        {"name": "lamps", "each": "3 h", "gang": "riggers"},
    ]
    scenario = make_scenario(strip(crew=crew, task=tasks, gang=[{"name": "riggers", "people": 2}]))
    replay = make_replay(scenario, run_once(scenario), at=[1.0])
    does = {who.split("  ")[1]: what for who, what in words.actor_lines(replay, replay.frames[0])}
    assert does["paint"] == "at a task beside laying, 4 of crew red"
    assert does["lamps"] == "at a task beside laying, gang riggers"


def test_a_temporary_end_is_seen_at_its_laying_edge_while_it_stands_and_whoever_waits_for_it_says_so():
    scenario = make_scenario(
        strip(
            area=[{"name": "strip", "length": "200 ft", "width": "72 ft"}],
            supply={"on_hand": 200},
            milestone=[
                {"name": "use", "usable": {"area": "strip", "length": "40 ft"}, "closing": "0 h"},
                {"name": "all", "areas": ["strip"], "ready": True},
            ],
        ),
        flying={"from": "use", "windows": ["11:00-12:00", "14:30-15:30"]},
        temporary_end={"make": "1 h", "take_up": "30 min"},
    )
    run = run_once(scenario)
    spans = list(list_ends(run.finished))
    assert len(spans) > 1
    for _, stood, gone in spans:
        before, while_it_stands, after = make_replay(scenario, run, at=[stood - 0.1, (stood + gone) / 2, gone + 0.1]).frames
        assert (before.stand.ends, while_it_stands.stand.ends, after.stand.ends) == (frozenset(), frozenset({0}), frozenset())
        replay = make_replay(scenario, run, at=[(stood + gone) / 2])
        assert len(make_record(replay)["lying"]["moving"][0]["ends"]) == 1
        assert "temporary end: strip" in words.further_lines(replay, replay.frames[0])
    making = next(step for step in run.finished.site.trace if step[KIND] == MAKE_END)
    replay = make_replay(scenario, run, at=[middle(making)])
    assert "makes a temporary end, strip" in [line for _, line in words.actor_lines(replay, replay.frames[0])]


def test_a_task_is_counted_in_its_pieces_however_many_of_them_one_step_does():
    tasks = [{"name": "edge anchors", "each": "6 min", "people": 8, "team": 2, "pieces": 163}]
    scenario = make_scenario(strip(task=tasks, top={"horizon": "60 day"}))
    run = run_once(scenario, 0)
    done = [step for step in run.finished.site.trace if step[KIND] == TASK]
    assert len(done) < 163
    replay = make_replay(scenario, run, at=[0.0, done[0][END], max(step[END] for step in done)])
    said = [line for frame in replay.frames for line in words.further_lines(replay, frame)]
    first = run.finished.site.plan.follows[-1].counts[0]
    assert first > 1
    assert said == [f"edge anchors: {count} of 163 pieces" for count in (0, first, 163)]


def test_the_page_explains_the_shapes_that_the_run_has_and_no_others():
    plain = make_scenario(strip())
    caption = caption_of(make_replay(plain, run_once(plain), at=[1.0]))
    assert "Hexagon: G grading." in caption and "temporary end" not in caption and "rail gang" not in caption
    scenario = every_key()
    caption = caption_of(make_replay(scenario, run_once(scenario), at=[1.0]))
    assert "Hexagon: G grading, F backfilling, T tie-downs, K tasks." in caption
    assert "thicker and broken: temporary end" in caption and "Open disc R: rail gang" in caption


def caption_of(replay):
    (caption,) = re.findall(r"<figcaption>(.*?)</figcaption>", page_of(replay), re.S)
    return caption
