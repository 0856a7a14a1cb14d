"""Crews that keep different hours: an edge belongs to nobody, so the order of crews in a scenario and who slept matter little."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, kind, run, steps

from simulation.construction.actors.attendance import Attendance
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, NUMBER, START, WORK
from simulation.construction.trace.chain import hours_by_cause, is_off_shift, losses
from simulation.construction.trace.record import columns, make_record

DAY = {"hours": ["06:00-12:00", "13:00-18:00"], "lighting": True}
NIGHT = {"hours": ["18:00-00:00", "01:00-06:00"], "lighting": True}


LAYING = [kind(name) for name in ("laying rows", "key strips", "re-seating")]


def crew(name, shift, *areas, **more):
    return {"name": name, "people": 12, "areas": list(areas or ["strip"]), "shift": shift, **more}


def field(*crews, areas=(("strip", 400),), **changes):
    area = [
        {"name": name, "length": f"{length} ft", "width": "72 ft", **(more[0] if more else {})} for name, length, *more in areas
    ]
    changes.setdefault("laying", {"efficiency": 0.1})
    return strip(area=area, crew=list(crews), supply={"on_hand": 600}, **changes)


def ready(done):
    return done.site.reached[0][END]


def names(done, found):
    return {done.actors[step[ACTOR]].name for step in found}


def test_a_night_crew_lays_the_day_crews_edge_without_a_word_in_the_scenario():
    asked = run(field(crew("red", DAY), crew("blue", NIGHT, second_crew="relief")))
    silent = run(field(crew("red", DAY), crew("blue", NIGHT)))
    alone = run(field(crew("red", DAY)))
    assert ready(silent) == pytest.approx(ready(asked), abs=1e-6)
    assert ready(alone) > 1.7 * ready(silent)


@pytest.mark.parametrize("second", ["elsewhere", "relief"])
def test_the_order_in_which_crews_are_listed_does_not_matter_where_their_hours_differ(second):
    three = [crew("red", DAY, "strip", "pad"), crew("blue", NIGHT, "strip", "pad", second_crew=second, people=20)]
    three.append(crew("green", DAY, "pad", "strip", second_crew=second))
    areas = (("strip", 300, {"start": "centre-out"}), ("pad", 200))
    found = [ready(run(field(*order, areas=areas))) for order in itertools.permutations(three)]
    assert max(found) == pytest.approx(min(found), rel=0.02)


def test_a_crew_that_is_asleep_at_hour_zero_keeps_no_edge_from_those_who_are_on_shift():
    done = run(field(crew("blue", NIGHT), crew("red", DAY)))
    first = steps(done, "laying rows")[0]
    assert (done.actors[first[ACTOR]].name, first[START] < 1.0) == ("red", True)


def test_a_crew_that_is_free_at_night_takes_over_a_edge_that_was_left_in_the_evening():
    # The night crew's own pad is done in its first night; the strip has lain idle since six in the evening.
    done = run(field(crew("red", DAY, "strip"), crew("blue", NIGHT, "pad", "strip"), areas=(("strip", 400), ("pad", 40))))
    pad = max(step[END] for step in steps(done, "laying rows", "blue") if step[EDGE] == 1)
    assert 12.0 < pad < 23.0
    mine = [step for step in steps(done, "laying rows", "blue") if step[EDGE] == 0]
    assert mine[0][START] == pytest.approx(pad)
    waited = [step for step in steps(done, "laying edge waits for a crew") if step[END] <= pad + 1e-9]
    assert all(step[WORK] == 0.0 for step in waited)
    assert ready(done) < 0.75 * ready(
        run(field(crew("red", DAY, "strip"), crew("blue", NIGHT, "pad"), areas=(("strip", 400), ("pad", 40))))
    )


def test_a_crew_that_comes_on_goes_first_to_a_edge_that_nobody_on_shift_is_at():
    late = {"hours": ["12:00-22:00"], "lighting": True}
    done = run(
        field(
            crew("red", DAY, "strip", "pad"),
            crew("blue", late, "strip", "pad", second_crew="elsewhere"),
            areas=(("strip", 300), ("pad", 200)),
        )
    )
    # At noon red is at the strip, so blue goes to the pad; after six it may go on where red left off only when the pad is done.
    first = steps(done, "laying rows", "blue")[0]
    assert (first[EDGE], first[START]) == (1, pytest.approx(6.0))


def test_a_break_for_a_meal_takes_no_edge_from_a_crew():
    noon = {"hours": ["11:00-20:00"], "lighting": True}
    done = run(field(crew("red", DAY), crew("blue", noon)))
    at_noon = [step for step in steps(done, "laying rows") if 6.0 < step[START] < 7.0]
    assert names(done, at_noon) <= {"red"}


def test_connectors_begun_in_the_evening_are_finished_by_whoever_is_there_at_night():
    areas = [
        {"name": "strip", "length": "20 ft", "width": "72 ft"},
        {"name": "pad", "length": "100 ft", "width": "72 ft", "joins": {"area": "strip", "end": "high"}},
    ]
    crews = [crew("red", DAY, "strip", "pad"), crew("blue", NIGHT, "strip", "pad")]
    done = run(strip(area=areas, crew=crews, supply={"on_hand": 200}, laying={"efficiency": 0.1, "connect": "14 h"}))
    setting = steps(done, "connectors")
    assert names(done, setting) == {"red", "blue"}
    assert sum(step[WORK] for step in setting) == pytest.approx(14.0)


def test_hours_in_which_a_edge_waits_for_its_crew_are_those_off_shift_of_the_crew_that_comes():
    done = run(field(crew("red", DAY), crew("blue", {"hours": ["20:00-04:00"], "lighting": True})))
    waited = steps(done, "laying edge waits for a crew")
    assert waited
    for step in waited:
        assert sum(losses(step, done.site.clocks).values()) == pytest.approx(step[END] - step[START])
    causes = hours_by_cause(done.site.reached[0], done)
    assert causes.get("laying edge waits for a crew", 0.0) == pytest.approx(0.0, abs=1e-9)
    assert any(is_off_shift(cause) and hours > 0.0 for cause, hours in causes.items())


def test_merged_crews_part_in_the_evening_and_are_told_together_only_while_they_are():
    others = {"hours": ["18:00-06:00"], "lighting": True}
    crews = [crew("red", DAY, "strip"), crew("blue", DAY, "strip", second_crew="merge"), crew("green", others, "pad")]
    done = run(field(*crews, areas=(("strip", 400), ("pad", 100))))
    told = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    laid = sum(step[WORK] for step in done.site.trace if step[EDGE] == 0 and step[KIND] in LAYING)
    assert told["use.crew red.working"] == pytest.approx(laid)
    assert told["use.crew blue.working"] == pytest.approx(laid)
    assert len(done.crews[1].merged) > 1


def test_a_crew_walks_to_another_edge_and_sets_out_and_does_not_on_coming_back_to_its_own():
    areas = (("strip", 40), ("pad", 200))
    done = run(field(crew("red", DAY, "strip", "pad"), areas=areas, laying={"efficiency": 0.1, "move": "30 min"}))
    moved = steps(done, "moving to another laying edge")
    assert [(step[EDGE], step[WORK]) for step in moved] == [(1, 0.5)]
    rows = steps(done, "laying rows")
    assert moved[0][BECAUSE] is [step for step in rows if step[EDGE] == 0][-1]
    assert next(step for step in rows if step[EDGE] == 1)[START] >= moved[0][END]


def test_a_edge_has_the_same_luck_of_moving_whichever_crew_comes_and_in_whatever_order():
    luck = {"efficiency": 0.1, "move": {"p10": "10 min", "p90": "1 h", "scatter": 0.5}}
    areas = (("strip", 40), ("pad", 40), ("spur", 40))
    hours = []
    for order in (("strip", "pad", "spur"), ("spur", "pad", "strip"), ("pad", "strip", "spur")):
        done = run(field(crew("red", DAY, *order), areas=areas, laying=luck), 3)
        hours.append({step[EDGE]: step[WORK] for step in steps(done, "moving to another laying edge")})
    pad = {round(found[1], 12) for found in hours if 1 in found}
    assert len(pad) == 1
    assert hours[0].keys() == {1, 2}
    assert hours[0][2] == pytest.approx(hours[2][2])


def test_nobody_sets_out_for_a_edge_that_cannot_be_reached_before_the_shift_ends():
    areas = (("strip", 200), ("pad", 200))
    laying = {"efficiency": 0.1, "move": "3 h"}
    done = run(field(crew("red", DAY, "strip", "pad"), crew("blue", NIGHT, "strip"), areas=areas, laying=laying))
    for step in steps(done, "moving to another laying edge"):
        assert done.crews[0].shifts.until(step[START] + 1e-6) > step[END]


def test_attendance_is_from_the_beginning_of_a_shift_to_its_end():
    kept = Attendance(((0.0, 12.0), (24.0, 36.0)))
    assert [kept.there(moment) for moment in (0.0, 11.0, 12.0, 12.0 - 1e-9, 23.0, 24.0 - 1e-9, 24.0, 36.0)] == [
        True,
        True,
        False,
        False,
        False,
        True,
        True,
        False,
    ]
    assert [kept.comes(moment) for moment in (5.0, 12.0, 30.0, 36.0)] == [5.0, 24.0, 30.0, math.inf]
    assert kept.until(25.0) == 36.0
    assert Attendance(()).there(1e9)
    assert Attendance(()).until(3.0) == math.inf


@st.composite
def crews_and_areas(draw):
    pick = lambda *values: draw(st.sampled_from(values))  # noqa: E731
    hours = [["06:00-12:00", "13:00-18:00"], ["18:00-06:00"], ["05:00-15:00"], ["14:00-00:30"], ["00:00-24:00"]]
    areas = [("strip", 120), ("pad", 60)]
    found = []
    for name in ("red", "blue", "green", "grey")[: draw(st.integers(2, 4))]:
        shift = {"hours": pick(*hours), "lighting": True, **pick({}, {"rest_every": 3}, {"taking_over": "20 min"})}
        mine = pick(("strip", "pad"), ("pad", "strip"), ("strip",), ("pad",))
        found.append(crew(name, shift, *mine, second_crew=pick("elsewhere", "relief"), people=draw(st.integers(8, 30))))
    found[0]["areas"] = ["strip", "pad"]
    laying = {
        "efficiency": pick(0.1, 0.3),
        "move": pick("0 min", "40 min"),
        "finish_rows": pick("0 min", "0 min", "40 min"),
        "skew_found": pick(0.0, 0.3),
    }
    tables = field(*found, areas=areas, laying=laying)
    tables["area"][0]["start"] = pick("one-end", "centre-out")
    if draw(st.booleans()):
        tables["area"][1]["joins"] = {"area": "strip", "end": "high"}
    if draw(st.booleans()):
        tables["weather"] = {"wet_spell": "6 h", "dry_spell": "20 h"}
    return tables


@given(crews_and_areas(), st.integers(0, 50))
@examples(40)
def test_no_crew_is_in_two_places_or_lays_off_shift_and_the_chain_has_no_gap(tables, number):
    done = run(tables, number)
    trace = done.site.trace
    assert [step[START] for step in trace] == sorted(step[START] for step in trace)
    reached = done.site.reached[0]
    assert reached is not None
    assert math.fsum(hours_by_cause(reached, done).values()) == pytest.approx(reached[END], abs=1e-6)
    for step in trace[1:]:
        assert step[START] == step[BECAUSE][END]
    for one in done.crews:
        mine = [step for step in trace if step[ACTOR] == one.number]
        for before, after in itertools.pairwise(mine):
            assert after[START] >= before[END] - 1e-9
        for step in mine:
            if step[WORK] and not tables["laying"]["finish_rows"].startswith("40"):
                assert done.site.clocks[one.plan.clock].worked(step[START], step[END]) == pytest.approx(step[WORK], abs=1e-6)
                assert one.shifts.until(step[START] + 1e-6) >= step[END] - 1e-6
    for edge in done.site.edges:
        rows = [step[NUMBER] for step in trace if step[EDGE] == edge.index and step[KIND] == kind("laying rows")]
        assert rows == sorted(rows)
        assert rows[-1] == edge.rows == edge.laid
