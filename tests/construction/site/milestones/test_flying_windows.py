"""Use against work: from an opening on, flying windows close an area to laying, and nothing else changes."""

import math

import pytest
from scenarios import RUNWAY, USED_EARLY, changed, make_scenario, tables_of, written

from simulation.construction import compile_plan, simulate
from simulation.construction.check.closed_to_laying import closed_to_laying
from simulation.construction.plan.steps import (
    ACTOR,
    BECAUSE,
    CLOSED,
    EDGE,
    END,
    FEED,
    GRADING,
    KIND,
    NUMBER,
    RAIL,
    ROW,
    START,
    TASK,
    UNLOAD,
    WORK,
)
from simulation.construction.trace.chain import hours_by_cause, losses
from simulation.construction.trace.links import clock_of
from simulation.construction.trace.task_times import list_tasks
from simulation.scenario import parse_scenario
from simulation.scenario.types.mistakes import ScenarioError

BOTH = ["runway", "apron"]
OPENED = tables_of(USED_EARLY)["milestone"][0]
FIELD = changed(
    USED_EARLY,
    area=[RUNWAY, {"name": "apron", "length": "40 ft", "width": "48 ft"}],
    crew=[{"name": "red", "people": 14, "areas": BOTH}],
    milestone=[OPENED, {"name": "whole", "areas": BOTH, "ready": True}],
)
FLYING = {"from": "first use", "clear_before": "30 min", "clear_after": "15 min"}


def run_with(windows=None, number=0, **changes):
    flying = {} if windows is None else {"flying": {**FLYING, "windows": windows}}
    return simulate(compile_plan(make_scenario(FIELD, **flying, **changes)), number)


def ends(run):
    return [None if step is None else step[END] for step in run.site.reached]


def hours_of_day(moment):
    return (moment + 6.0) % 24.0  # the start is at 06:00


@pytest.mark.parametrize("windows", [[], ["19:00-05:00"], ["12:31-12:44"]])
def test_windows_that_close_no_hour_of_work_change_nothing_to_the_bit(windows):
    """The last lies in the midday break, with half an hour before and a quarter after it."""
    changes = {"flying": {**FLYING, "windows": windows, "clear_before": "15 min"}}
    for number in range(3):
        other = simulate(compile_plan(make_scenario(FIELD, **changes)), number)
        assert other.site.trace == run_with(None, number).site.trace


def test_nobody_lays_in_a_window_or_while_people_clear_once_the_field_is_open():
    run, plain = run_with(["08:00-11:00"]), run_with(None)
    opened, whole = ends(run)
    assert opened == ends(plain)[0]
    assert whole > ends(plain)[1]
    clock = run.site.clocks["laying between flights"]
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    late = [step for step in rows if step[START] >= opened]
    assert late
    for step in late:
        assert not 7.5 + 1e-9 < hours_of_day(step[END]) <= 11.25
    assert clock.worked(25.5, 29.25) == 0.0  # 07:30 to 11:15 on the second day
    charged = hours_by_cause(run.site.reached[1], run)
    assert math.fsum(charged.values()) == pytest.approx(whole)
    assert charged["closed for flying"] > 0.0


def test_other_areas_are_laid_while_one_is_flown_from():
    crews = [{"name": "red", "people": 14, "areas": ["runway"]}, {"name": "blue", "people": 14, "areas": ["apron"]}]
    apron = {edge for edge, plan in enumerate(run_with(None).site.plan.edges) if plan.area == 1}

    def laid(run):
        return [step[START : END + 1] for step in run.site.trace if step[KIND] == ROW and step[EDGE] in apron]

    assert laid(run_with(["00:00-24:00"], crew=crews)) == laid(run_with(None, crew=crews)) != []


def test_a_field_closed_all_day_is_laid_no_further():
    run = run_with(["00:00-24:00"])
    opened, whole = ends(run)
    assert whole is None
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    assert all(step[START] < opened or step[END] > run.site.plan.horizon for step in rows)


def test_a_crew_with_hours_of_its_own_clears_the_area_too():
    shift = {"hours": ["14:00-22:00"], "lighting": True}
    crews = [
        {"name": name, "people": 14, "areas": ["runway", "apron"], **own}
        for name, own in (("red", {}), ("blue", {"shift": shift}))
    ]
    run = run_with(["15:00-17:00"], crew=crews)
    opened = ends(run)[0]
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    late = [step for step in rows if step[START] >= opened]
    assert late and all(not 14.5 + 1e-9 < hours_of_day(step[END]) <= 17.25 for step in late)


@pytest.mark.parametrize(
    ("flying", "said"),
    [
        ('windows = ["06:00-10:00"]', "flying.windows: is written, but nothing says from when on the field is flown from; "),
        ('from = "first us"', 'flying.from: there is no milestone "first us"; did you mean first use?'),
        (
            'from = "first use"\n[temporary_end]\nmilestones = ["first us"]',
            'temporary_end.milestones: there is no milestone "first us"; did you mean first use?',
        ),
        (
            'from = "first use"\n[temporary_end]\nmilestones = ["whole"]',
            "temporary_end.milestones: whole asks for no usable length, and the field is not flown from since then; ",
        ),
        ('from = "first use"\narea = "aprn"', 'flying.area: there is no area "aprn"; did you mean apron?'),
    ],
)
def test_flying_that_could_not_be_is_refused(flying, said):
    with pytest.raises(ScenarioError) as error:
        parse_scenario(f"{written(FIELD)}[flying]\n{flying}\n")
    assert str(error.value.mistakes[0]).startswith(said)


def test_windows_that_leave_no_hour_for_laying_are_warned_of():
    closed = make_scenario(FIELD, flying={**FLYING, "windows": ["05:00-19:00"]})
    assert [str(one) for one in closed_to_laying(closed)] == [
        "flying.windows: close every hour of the crews, so from first use on no row of runway is laid; "
        "write shorter windows, or hours for the crews between them"
    ]
    assert not list(closed_to_laying(make_scenario(FIELD, flying={**FLYING, "windows": ["08:00-11:00"]})))


BUSY = {
    "grading": {"done": 0.3, "rate": "2000 ft**2/h"},
    "supply": {"on_hand": 6, "total": 90, "trucks": [{"count": 2, "haul": "40 min", "return": "30 min"}]},
    "task": [
        {"name": "anchors", "after": [{"area": "runway", "to": "60 ft"}], "pieces": 40, "each": "30 min"},
        {"name": "masts", "area": "runway", "pieces": 60, "each": "20 min", "from": "5 h"},
        {"name": "shelters", "pieces": 60, "each": "20 min"},
    ],
}


def worked_at(run, area):
    """Yield kind of step and from when to when it was worked at, of all that was done at an area."""
    site = run.site
    tasks = {n for n, one in list_tasks(run).items() if one.area == area}
    for step in site.trace:
        at_edge = step[EDGE] >= 0 and site.plan.edges[step[EDGE]].area == area and step[KIND] != CLOSED
        if (at_edge or step[ACTOR] in tasks) and step[WORK] > 0.0:
            clock, at = clock_of(step, site.clocks), step[START]
            while at < step[END] - 1e-9:
                low, at = clock.stretch(at)
                if low < step[END]:
                    yield step[KIND], low, min(at, step[END])


@pytest.mark.parametrize("number", range(4))
@pytest.mark.parametrize("windows", [["08:00-11:00"], ["07:00-07:30", "10:00-12:30", "15:00-16:00"]])
def test_nobody_drives_grades_lays_or_does_a_task_on_an_area_while_aircraft_use_it(windows, number):
    run, plain = run_with(windows, number, **BUSY), run_with(None, number, **BUSY)
    opened, whole = ends(run)
    assert opened == ends(plain)[0] and whole > ends(plain)[1]
    spans = [tuple(int(text[:2]) + int(text[3:]) / 60 for text in window.split("-")) for window in windows]
    kinds = set()
    for kind, low, high in worked_at(run, 0):
        if low >= opened - 1e-9:
            kinds.add(kind)
            middle = hours_of_day((low + high) / 2)
            assert not any(start < middle < end for start, end in spans), (kind, low, high)
    assert {ROW, FEED, TASK} <= kinds
    assert math.fsum(hours_by_cause(run.site.reached[1], run).values()) == pytest.approx(whole)


def test_the_yard_other_areas_and_work_beside_the_field_go_on_in_windows():
    run = run_with(["06:30-17:45"], **BUSY)
    opened = ends(run)[0]
    kinds = {kind for kind, low, _ in worked_at(run, 0) if low >= opened + 1e-9}
    assert kinds <= {FEED}  # a trip that was under way is brought to its end, of a few minutes
    late = [step for step in run.site.trace if step[START] > opened + 1.0 and step[END] < run.site.plan.horizon]
    assert {run.actors[step[ACTOR]].name for step in late if step[KIND] == TASK} == {"shelters"}
    assert UNLOAD in {step[KIND] for step in late}


def test_a_forklift_that_was_sent_away_comes_back_as_the_window_ends_and_the_window_is_the_cause():
    """All pallets come in the window, so the first that is brought afterwards waited for its end."""
    late = {"supply": {"on_hand": 36, "total": 90, "flights": [{"pallets": 54, "first": "20 h", "every": "200 h"}]}}
    run = run_with(["08:00-14:00"], **late)
    windows = [step for step in run.site.trace if step[KIND] == CLOSED]
    assert windows and all(step[BECAUSE][END] == step[START] for step in windows)
    called = [step for step in run.site.trace if step[KIND] == FEED and step[BECAUSE] in windows]
    assert called and all(hours_of_day(step[START]) == pytest.approx(14.25) for step in called)
    assert hours_by_cause(run.site.reached[1], run)["closed for flying"] > 5.0


def test_beyond_the_distance_to_stand_back_laying_goes_on_in_windows():
    def whole(**back):
        return ends(run_with(None, **quick, flying={**FLYING, "windows": ["07:00-11:00", "13:00-16:00"], **back}))[1]

    milestones = FIELD["milestone"]
    quick = {"milestone": [{**one, "closing": "0 h"} for one in milestones]}  # a sweep of the whole stops in windows too
    never, always = ends(run_with(None, **quick))[1], whole()
    assert never == whole(stand_back="0 ft") < whole(stand_back="60 ft") < always
    closed = run_with(None, flying={**FLYING, "windows": ["06:00-18:00"], "stand_back": "60 ft"})
    assert ends(closed)[1] is None  # nobody ever lays the rows that lead so far off


def test_movements_close_an_area_as_windows_of_their_length_do():
    one = run_with(None, **BUSY, flying={**FLYING, "movements": ["09:00", "15:30"], "movement": "15 min"})
    other = run_with(["09:00-09:15", "15:30-15:45"], **BUSY)
    assert one.site.trace == other.site.trace


@pytest.mark.parametrize("packed", ["on every pallet", "first"])
def test_no_forklift_stands_with_a_pallet_through_a_window_that_begins_with_its_shift(packed):
    """Else nobody would unload what comes in it."""
    run = run_with(["06:00-09:00", "13:00-15:00"], 1, **(BUSY | {"supply": BUSY["supply"] | {"half_mats": packed}}))
    trips = [step for step in run.site.trace if step[KIND] == FEED and step[START] > ends(run)[0]]
    assert len(trips) > 15
    assert not [step for step in trips if losses(step, run.site.clocks).get("closed for flying", 0.0) > 0.0]


def test_people_clear_the_strip_from_what_is_under_way_at_first_use_and_finish_it_after_the_window():
    """A row, and a piece of a task that takes hours, go on to the hour when the area is closed, and no further."""
    tasks = [{"name": "masts", "area": "runway", "pieces": 3, "each": "7 h"}]
    open_now = [{**milestone, "closing": "0 h"} for milestone in FIELD["milestone"]]
    for clear_before in ("30 min", "3 h"):
        flying = {**FLYING, "windows": ["06:00-18:00"], "clear_before": clear_before}
        plain, run = (run_with(None, task=tasks, milestone=open_now, **more) for more in ({}, {"flying": flying}))
        opened = ends(run)[0]
        assert opened == ends(plain)[0]
        late = [one for one in worked_at(run, 0) if one[1] >= opened - 1e-9 and one[1] < 11.9]
        assert {kind for kind, _, _ in late} <= {FEED}  # it is closed at once, until after the crews' shift
        of_task = [step for step in run.site.trace if step[KIND] == TASK]
        assert of_task[0][END] == opened and of_task[1][START] == opened
        assert of_task[0][WORK] + of_task[1][WORK] == pytest.approx(7.0)
        assert of_task[1][BECAUSE] is of_task[0] and of_task[1][END] > 24.0
        assert [step[NUMBER] for step in of_task[:2]] == [0, 1]  # it is not done with until the second ends


RAILED = {
    **RUNWAY,
    "guide_rail": True,
    "rail": {"offset": "12 ft", "first_section": "20 ft", "section": "20 ft", "seal": "0.02 in"},
}


@pytest.mark.parametrize(
    ("kind", "slow"),
    [
        (GRADING, {"grading": {"done": 0.3, "rate": "70 ft**2/h", "gangs": 1}}),
        (RAIL, {"area": [RAILED, FIELD["area"][1]], "rail_gang": {"section": "6 h"}, "supply": {"on_hand": 150}}),
    ],
)
def test_a_slice_of_ground_and_a_rail_section_under_way_at_first_use_stop_for_the_window_and_go_on_after_it(kind, slow):
    """Closed at once until 18:15: what was done by first use stands, and the rest is worked at from the next morning on."""
    milestones = [{**one, "closing": "0 h"} for one in FIELD["milestone"]]
    flying = {**FLYING, "windows": ["06:00-18:00"], "clear_before": "3 h"}
    plain, run = (run_with(None, 1, milestone=milestones, **slow, **more) for more in ({}, {"flying": flying}))
    opened = ends(run)[0]
    assert opened == ends(plain)[0]
    (whole,) = [step for step in plain.site.trace if step[KIND] == kind and step[START] < opened < step[END]]
    parts = [
        step for step in run.site.trace if step[KIND] == kind and step[EDGE] == whole[EDGE] and step[NUMBER] == whole[NUMBER]
    ]
    assert [part[START] for part in parts] == [whole[START], opened]
    assert sum(part[WORK] for part in parts) == pytest.approx(whole[WORK])
    assert parts[0][END] == opened
    late = [(low, high) for one, low, high in worked_at(run, 0) if one == kind and low >= opened]
    assert all(hours_of_day(low) >= 18.25 - 1e-9 or hours_of_day(low) < 3.0 for low, _ in late)
