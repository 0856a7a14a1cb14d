"""A ramp or tapered edge at an open laying edge: made in time, taken up before the next row, and what that costs by hand."""

import math
import random

import pytest
from scenarios import RUNWAY, USED_EARLY, changed, make_scenario, written
from small_runs import opened_early, random_fields

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import (
    ACTOR,
    CLOSING,
    EDGE,
    END,
    END_STANDS,
    FEED,
    KEY_STRIP,
    KIND,
    MAKE_END,
    NUMBER,
    RESEAT,
    ROW,
    START,
    TAKE_END_UP,
    TASK,
    WORK,
)
from simulation.construction.site.edges.shift_handover import TurnsByShift
from simulation.construction.site.milestones.temporary_ends import TemporaryEnds
from simulation.construction.trace.chain import hours_by_cause
from simulation.construction.trace.temporary_ends import list_ends
from simulation.scenario import parse_scenario

#: Constant times, one shift, everything at hand: only laying and the ends take time.
STRIP = changed(
    USED_EARLY,
    area=[{**RUNWAY, "start": "one-end"}],
    shifts__all={"hours": ["06:00-18:00"]},
    forklifts={"count": 6, "breakdown_every": "1000 day"},
    laying={
        "pick_up": "60 s",
        "open_pallet": "1 s",
        "place": "120 s",
        "lock": "1 s",
        "check": "3 min",
        "damaged_mats": 0.0,
        "efficiency": 0.5,
    },
    milestone=[
        {"name": "first use", "usable": {"area": "runway", "length": "80 ft"}, "closing": "1 h"},
        {"name": "whole", "areas": ["runway"], "closing": "0 min", "ready": True},
    ],
)
FLYING = {"from": "first use", "clear_before": "30 min", "clear_after": "15 min"}
ENDS = {"make": "50 min", "take_up": "25 min"}
AT_EDGE = (ROW, KEY_STRIP, RESEAT, MAKE_END, TAKE_END_UP)


def run_of(number=0, text=STRIP, **changes):
    return simulate(compile_plan(make_scenario(text, **changes)), number)


def ends(run):
    return [None if step is None else step[END] for step in run.site.reached]


def worked(moment, hours):
    """Return when so many hours of work end that begin at a moment, in shifts of twelve hours from the start on."""
    while hours > 1e-12:
        day, hour = divmod(moment, 24.0)
        if hour >= 12.0:
            moment = 24.0 * (day + 1)
            continue
        done = min(hours, 12.0 - hour)
        moment, hours = moment + done, hours - done
    return moment


def left(moment, until):
    """Return the hours of those shifts between two moments."""
    days = range(int(moment // 24), int(until // 24) + 1)
    return sum(max(0.0, min(until, 24 * day + 12) - max(moment, 24 * day)) for day in days)


def by_hand(plain, windows, make, take_up):
    """Return when first use and the whole are reached, worked out row by row from the run without windows and ends."""
    edge, trace = plain.site.edges[0], plain.site.trace
    swept = next(step for step in trace if step[KIND] == CLOSING)[END]
    under_way = next(step for step in trace if step[KIND] == ROW and step[END] >= swept)
    spans = [(24 * day + low - 0.5 - 6, 24 * day + high + 0.25 - 6) for day in range(20) for low, high in windows]
    now = first = worked(under_way[END], make)
    stands, work = True, []
    for row in range(under_way[NUMBER], edge.rows):
        if row in edge.plan.strips:
            work.append(edge.area.luck.key_strips[edge.plan.strips[row]])
        work.append(edge.hours[row] + (float(edge.checks[row]) if row + 1 in edge.plan.checks else 0.0))
    while work:
        again = 0.0 if len(work) == 1 else make
        low, high = next(((low, high) for low, high in spans if high > now), (math.inf, math.inf))
        need = work[0] + again + (take_up if stands else 0.0)
        room = math.inf if low == math.inf else left(now, low)
        if room + 1e-9 < need:
            if not stands:
                now, stands = worked(now, make), True
            now = high
        else:
            now = worked(now, need - again)
            stands, work = False, work[1:]
    return first, now


@pytest.mark.parametrize(
    "windows", [[], [(9, 10)], [(6, 9)], [(9, 10), (13, 14)], [(8, 9), (11, 12), (14, 15)], [(10, 16)], [(17, 23)]]
)
def test_what_temporary_ends_cost_the_whole_is_what_it_comes_to_by_hand(windows):
    flying = {**FLYING, "windows": [f"{low:02}:00-{high:02}:00" for low, high in windows]}
    plain, run = run_of(), run_of(flying=flying, temporary_end=ENDS)
    first, whole = by_hand(plain, windows, 50 / 60, 25 / 60)
    assert ends(run) == pytest.approx([first, whole], abs=1e-6)
    assert first > ends(plain)[0] and whole > ends(plain)[1]
    assert run.site.ends.late == []
    charged = hours_by_cause(run.site.reached[1], run)
    assert math.fsum(charged.values()) == pytest.approx(whole)
    made = [step for step in run.site.trace if step[KIND] == MAKE_END]
    assert charged["making temporary ends"] == pytest.approx(len(made) * 50 / 60)
    assert charged["taking temporary ends up"] == pytest.approx(len(made) * 25 / 60)


def test_ends_that_take_no_time_leave_the_whole_where_it_is_without_windows():
    none = {"make": "0 h", "take_up": "0 h"}
    for start in ("one-end", "centre-out"):
        changes = {"area": [{**RUNWAY, "start": start}]}
        with_them = run_of(**changes, temporary_end=none)
        assert ends(with_them)[1] == pytest.approx(ends(run_of(**changes))[1], abs=1e-9)
        assert with_them.site.ends.made == (1 if start == "one-end" else 2)


def test_nothing_is_made_where_nobody_asks_for_it_and_nothing_else_changes_to_the_bit():
    whole = {"milestone": [{"name": "whole", "areas": ["runway"], "ready": True}]}
    with_them, plain = run_of(**whole, temporary_end=ENDS), run_of(**whole)
    assert with_them.site.trace == plain.site.trace


def test_both_open_ends_of_a_field_laid_from_its_centre_stand_at_first_use_whoever_is_there():
    """One crew lays one laying edge after the other, so it makes the end of the one that nobody has come to as well."""
    for crews in (1, 2):
        crew = [{"name": f"crew {n}", "people": 14, "areas": ["runway"]} for n in range(crews)]
        run = run_of(area=[{**RUNWAY, "start": "centre-out"}], crew=crew, temporary_end=ENDS)
        made = [step for step in run.site.trace if step[KIND] == MAKE_END]
        up = [step for step in run.site.trace if step[KIND] == TAKE_END_UP]
        assert sorted(step[NUMBER] for step in made) == sorted(step[NUMBER] for step in up) == [0, 1]
        assert max(step[END] for step in made) == ends(run)[0] <= min(step[START] for step in up)
        assert len({step[ACTOR] for step in made}) == crews


def test_an_end_at_the_end_of_its_area_needs_none():
    """The second crew comes so late that the first one's laying edge is whole before 210 ft lie: only the other end is open."""
    crew = [{"name": "red", "people": 14, "areas": ["runway"]}]
    crew.append({"name": "blue", "people": 14, "areas": ["runway"], "from": "5 h"})
    use = {"name": "first use", "usable": {"area": "runway", "length": "210 ft"}, "closing": "1 h"}
    whole = {"name": "whole", "areas": ["runway"], "closing": "0 h", "ready": True}
    area = [{**RUNWAY, "start": "centre-out"}]
    run = run_of(area=area, crew=crew, milestone=[use, whole], temporary_end=ENDS)
    last = {step[EDGE]: step[END] for step in run.site.trace if step[KIND] == ROW}
    made = [step for step in run.site.trace if step[KIND] == MAKE_END]
    assert [step[NUMBER] for step in made] == [max(last, key=last.get)]
    assert min(last.values()) <= made[0][START]


def test_a_gap_too_short_leaves_the_end_standing_and_says_so():
    run = run_of(flying={**FLYING, "windows": ["08:00-09:00", "10:30-11:30"]}, temporary_end=ENDS)
    waits = [step for step in run.site.trace if step[KIND] == END_STANDS]
    assert waits
    for step in run.site.trace:
        if step[KIND] in AT_EDGE and step[START] > ends(run)[0]:  # between 09:15 and 10:00 there is no time
            assert not 3.25 <= step[START] % 24.0 < 5.75
    assert hours_by_cause(run.site.reached[1], run)["waiting for temporary ends"] > 0.5


def test_a_crew_that_comes_on_shift_takes_up_the_end_that_the_one_before_had_no_time_for():
    """The day crews have 45 minutes after the window, the night crew all night: it lays, and makes the end again by morning."""
    night = {"name": "blue", "people": 14, "areas": ["runway"], "shift": {"hours": ["19:00-04:00"], "lighting": True}}
    flying = {**FLYING, "windows": ["05:30-07:00", "16:00-17:00"]}
    crew = [*({"name": name, "people": 14, "areas": ["runway"]} for name in ("red", "green")), night]
    area, ends_of = [{**RUNWAY, "length": "480 ft", "start": "centre-out"}], {"make": "50 min", "take_up": "40 min"}
    run = run_of(area=area, supply={"on_hand": 180}, flying=flying, temporary_end=ends_of, crew=crew)
    after = [step for step in run.site.trace if step[KIND] == TAKE_END_UP and step[START] > ends(run)[0]]
    assert {run.actors[step[ACTOR]].name for step in after if step[START] % 24.0 > 12.0} == {"blue"}
    assert not [step for step in after if 11.0 < step[START] % 24.0 < 12.0]
    spans = list(list_ends(run))
    for low, high in run.site.plan.flying.spans:
        inside = low > ends(run)[0] and high < ends(run)[1]
        assert not inside or any(stood <= low and gone >= high for _, stood, gone in spans)


def test_rain_that_makes_an_end_late_lets_its_crew_go_on_into_the_window():
    rain = {"wet_spell": "2 h", "dry_spell": "5 h"}
    flying = {**FLYING, "windows": ["09:00-12:00", "14:00-17:00"]}
    late = 0
    for number in range(6):
        run = run_of(number, flying=flying, temporary_end=ENDS, weather=rain)
        for _, low, stood in run.site.ends.late:
            late += 1
            inside = [step for step in run.site.trace if step[KIND] in AT_EDGE and step[START] < stood and step[END] > low]
            assert inside and stood > low
    assert late > 3


def test_a_window_in_which_nobody_flies_yet_stops_no_task_and_no_forklift_until_the_end_stands():
    """Masts go on at their own hours until the end stands that rain has made late, to the minute, and forklifts drive."""
    flying = {**FLYING, "windows": ["09:00-12:00", "14:00-17:00"]}
    task = [{"name": "masts", "area": "runway", "pieces": 1, "each": "200 h", "stops": "none", "from": "2 h"}]
    late = driven = 0
    for number in range(6):
        run = run_of(number, flying=flying, temporary_end=ENDS, weather={"wet_spell": "2 h", "dry_spell": "5 h"}, task=task)
        site = run.site
        masts = [step for step in site.trace if step[KIND] == TASK]
        done = max(step[END] for step in masts)
        up = [step for step in site.trace if step[KIND] == TAKE_END_UP]
        for _, low, stood in site.ends.late:
            if stood > done or any(step[START] < low < step[END] for step in up):  # one that is taken up stands until it is gone
                continue
            late += 1
            at_it = [(max(step[START], low), min(step[END], stood)) for step in masts if step[START] < stood and step[END] > low]
            assert sum(high - begun for begun, high in at_it) == pytest.approx(stood - low)
            high = next(high for _, high in site.plan.flying.spans if high > low)
            between = site.clocks["laying between flights"]
            assert all(between.worked(max(step[START], stood), high) == 0.0 for step in masts if stood <= step[START] < high)
            driven += sum(step[KIND] == FEED and low < step[START] < stood for step in site.trace)
        assert sum(step[WORK] for step in masts) == pytest.approx(200.0)
        assert math.fsum(hours_by_cause(site.reached[1], run).values()) == pytest.approx(ends(run)[1])
    assert late > 10 and driven > 3


def test_usable_length_never_shrinks_except_by_a_temporary_end_being_taken_up():
    """Of any field: what is made is taken up or stands, none stands when its area is whole, no row is laid behind one."""
    made = 0
    for number, text in enumerate(random_fields()[:16]):
        run = simulate(compile_plan(parse_scenario(written(opened_early(text, random.Random(number))))), 0)
        site, spans = run.site, list(list_ends(run))
        usable = {}
        for edge, stood, gone in sorted(spans, key=lambda span: span[1]):
            laid = [step for step in site.trace if step[KIND] == ROW and step[EDGE] == edge]
            assert not [step for step in laid if step[START] < gone and step[END] > stood + 1e-9], (number, edge)
            rows = max((step[NUMBER] for step in laid if step[END] <= stood), default=0)
            assert rows >= usable.get(edge, 0)
            usable[edge] = rows
        made += len(spans)
        stands = [edge for edge, _, gone in spans if gone == math.inf]
        assert site.ends.made == len(spans)
        assert site.ends.made - site.ends.taken_up == len(stands) == sum(edge.end_stands for edge in site.edges)
        assert not any(edge.end_stands and edge.done.triggered for edge in site.edges)
        if site.reached[1] is not None:
            assert not stands
            assert math.fsum(hours_by_cause(site.reached[1], run).values()) == pytest.approx(site.reached[1][END])
    assert made > 10


def test_beside_a_field_in_use_rows_are_laid_on_without_looking_each_time_who_is_there_and_what_fits(monkeypatch):
    looked = {"work": 0, "rows_that_fit": 0}

    def count(of, name):
        plain = getattr(of, name)

        def counted(*asked, **named):
            looked[name] += 1
            return plain(*asked, **named)

        monkeypatch.setattr(of, name, counted)

    count(TurnsByShift, "work")
    count(TemporaryEnds, "rows_that_fit")
    shifts = {"red": ["06:00-14:00"], "blue": ["14:00-22:00"]}
    crews = [{"name": name, "people": 14, "areas": ["runway"], "shift": {"hours": hours}} for name, hours in shifts.items()]
    area = [{**RUNWAY, "length": "600 ft", "start": "one-end"}]
    flying = {**FLYING, "windows": ["09:00-09:30"]}
    done = run_of(area=area, flying=flying, temporary_end=ENDS, crew=crews, supply={"on_hand": 300})
    rows = [step for step in done.site.trace if step[KIND] == ROW]
    assert looked["work"] < 0.5 * len(rows)
    assert looked["rows_that_fit"] < 1.5 * len(rows)


def test_an_open_laying_edge_farther_off_than_people_stand_back_needs_no_end():
    """80 ft are in use; 100 ft beyond them laying goes on in windows, and aircraft meet no open end."""
    flying = {**FLYING, "windows": ["09:00-10:00", "13:00-14:00"]}
    near, whole = (run_of(flying={**flying, **back}, temporary_end=ENDS) for back in ({"stand_back": "100 ft"}, {}))
    first, last = near.site.plan.flying.rows[0], near.site.areas[0].used[1]
    assert (first, last) == (0, 40)
    rows = [step for step in near.site.trace if step[KIND] == ROW]
    laid = [max(step[NUMBER] for step in rows if step[END] <= stood) for _, stood, _ in list_ends(near)]
    assert len(laid) > 1 and max(laid) < 40 + 50 < 120
    assert len(laid) < len(list(list_ends(whole))) and ends(near)[1] < ends(whole)[1]


def test_a_crew_that_takes_an_end_up_past_its_shift_lays_the_next_row_when_it_comes_back():
    """The end falls due while a key strip is set, and is taken up by 16:41; the shift ended at 16:30, others come at 20:00."""
    crew = [{"name": "red", "people": 14, "areas": ["runway"]}]
    crew.append({**crew[0], "name": "blue", "shift": {"hours": ["20:00-22:00"], "lighting": True}})
    first, whole = STRIP["milestone"]
    text = changed(STRIP, shifts__all={"hours": ["06:00-16:30"]}, milestone=[{**first, "closing": "150 min"}, whole])
    run = run_of(text=text, laying={"finish_rows": "30 min"}, temporary_end=ENDS, crew=crew)
    gone = max(step[END] for step in run.site.trace if step[KIND] == TAKE_END_UP)
    first = next(step for step in run.site.trace if step[KIND] == ROW and step[START] >= gone)
    assert 10.5 < gone < 11.0
    assert (first[START], run.actors[first[ACTOR]].name) == (14.0, "blue")
