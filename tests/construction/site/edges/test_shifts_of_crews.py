"""Crews with hours of their own: day and night on one edge, rows finished late, people away, and nothing lost between them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, kind, run, steps

from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, KINDS, NUMBER, START, WORK
from simulation.construction.site.edges.shift_handover import TurnsByShift, away
from simulation.construction.trace.chain import hours_by_cause, is_off_shift, losses
from simulation.construction.trace.record import columns, make_record

DAY = {"hours": ["06:00-18:00"], "lighting": True}
NIGHT = {"hours": ["18:00-06:00"], "lighting": True}


def crew(name, shift=None, **more):
    return {"name": name, "people": 12, "areas": ["strip"], **({"shift": shift} if shift else {}), **more}


def long_strip(*crews, length="800 ft", **changes):
    # Everything but the crews is never off, and the people are few, so that laying lasts for days.
    area = [{"name": "strip", "length": length, "width": "72 ft"}]
    changes.setdefault("laying", {"efficiency": 0.1})
    return strip(area=area, crew=list(crews), supply={"on_hand": 400}, **changes)


def record(done):
    return dict(zip(columns(done.site.plan), make_record(done), strict=True))


def local_hours(done, step):
    """Return the hours of the day (start is 6 in the morning) at which a step begins and ends."""
    return (step[START] + 6) % 24, (step[END] + 6) % 24


def test_a_day_and_a_night_crew_lay_one_edge_round_the_clock():
    alone = run(long_strip(crew("red", DAY)))
    both = run(long_strip(crew("red", DAY), crew("blue", NIGHT, second_crew="relief")))
    always = run(long_strip(crew("red", {"hours": ["00:00-24:00"], "lighting": True})))
    assert both.site.reached[0][END] == pytest.approx(always.site.reached[0][END], abs=1e-6)
    assert alone.site.reached[0][END] > 1.7 * both.site.reached[0][END]
    off = [hours for cause, hours in hours_by_cause(both.site.reached[0], both).items() if is_off_shift(cause)]
    assert math.fsum(off) == pytest.approx(0.0, abs=1e-9)


def test_each_of_them_lays_in_its_own_hours_alone():
    done = run(long_strip(crew("red", DAY), crew("blue", NIGHT, second_crew="relief")))
    for name, opens in (("red", 6.0), ("blue", 18.0)):
        mine = steps(done, "laying rows", name)
        assert mine
        for step in mine:
            start = (step[START] + 6 - opens) % 24
            assert start < 12 + 1e-6 or start > 24 - 1e-6
            assert step[END] - step[START] == pytest.approx(step[WORK])
    laid = [(step[END], step[NUMBER]) for step in steps(done, "laying rows")]
    assert [number for _, number in laid] == sorted(number for _, number in laid)
    assert laid[-1][1] == 400


def test_a_row_begun_before_the_night_is_the_night_crews_to_finish_at_its_own_pace():
    # Twelve people in the day and thirty at night: what is left of a row at six takes the bigger crew less time.
    small, big = crew("red", DAY), crew("blue", NIGHT, second_crew="relief", people=30)
    done = run(long_strip(small, big))
    parts = [step for step in steps(done, "laying rows", "red") if local_hours(done, step)[1] == pytest.approx(18.0)]
    split = [(one, next(step for step in steps(done, "laying rows", "blue") if step[BECAUSE] is one)) for one in parts]
    assert split
    pace = [run(long_strip(crew("red", people=people))).site.edges[0].hours for people in (12, 30)]
    ratio = pace[0][0] / pace[1][0]
    assert ratio > 1.3
    rows = steps(done, "laying rows")
    for one, other in split:
        assert other[START] == one[END]
        begun = rows[rows.index(one) - 1][NUMBER]
        check = 0.05 / 0.1 if other[NUMBER] % 10 == 0 else 0.0
        assert one[WORK] + ratio * other[WORK] == pytest.approx(
            sum(pace[0][begun : other[NUMBER]]) + check * ratio, abs=check + 1e-6
        )


def test_crews_that_overlap_take_turns_while_both_are_there():
    early, late = {"hours": ["06:00-16:00"]}, {"hours": ["12:00-22:00"]}
    done = run(long_strip(crew("red", early), crew("blue", late, second_crew="relief"), laying={"efficiency": 0.1}))
    noon_to_four = [step for step in steps(done, "laying rows") if 12.5 < local_hours(done, step)[0] < 15.5]
    names = {done.actors[step[ACTOR]].name for step in noon_to_four}
    assert names == {"red", "blue"}
    morning = [step for step in steps(done, "laying rows") if 6.0 <= local_hours(done, step)[0] < 11.9]
    assert {done.actors[step[ACTOR]].name for step in morning} == {"red"}


def test_hours_at_work_and_on_shift_are_told_of_each_crew_by_its_own_hours():
    told = record(run(long_strip(crew("red", DAY), crew("blue", NIGHT, second_crew="relief"))))
    ready = told["milestone.operational readiness"]
    assert told["use.crew red.on shift"] + told["use.crew blue.on shift"] == pytest.approx(ready)
    assert told["laying hours"] == pytest.approx(ready)
    for name in ("red", "blue"):
        assert (
            0.9 * told[f"use.crew {name}.on shift"] < told[f"use.crew {name}.working"] <= told[f"use.crew {name}.on shift"] + 1e-6
        )
    assert told["day.2.crews.on shift"] == pytest.approx(24.0)
    assert told["day.2.crews.working"] == pytest.approx(24.0, abs=0.5)


def test_a_crew_finishes_the_row_it_has_begun_if_that_takes_no_longer_than_it_stays():
    hours = {"hours": ["06:00-12:00"]}
    leaves = run(long_strip(crew("red", hours)))
    stays = run(long_strip(crew("red", hours), laying={"efficiency": 0.1, "finish_rows": "2 h"}))
    late = [step for step in steps(stays, "laying rows") if local_hours(stays, step)[1] > 12 + 1e-6]
    assert late
    for step in late:
        assert local_hours(stays, step)[1] <= 14 + 1e-6
        assert step[END] - step[START] == pytest.approx(step[WORK])
        assert losses(step, stays.site.clocks) == {}
    assert stays.site.reached[0][END] < leaves.site.reached[0][END]
    overnight = [step for step in steps(leaves, "laying rows") if step[END] - step[START] > step[WORK] + 1e-6]
    assert len(overnight) > len([step for step in late if step[END] - step[START] > step[WORK] + 1e-6])


def test_a_row_that_would_take_longer_than_the_crew_stays_waits_for_the_morning():
    hours = {"hours": ["06:00-12:00"]}
    stays = run(long_strip(crew("red", hours), laying={"efficiency": 0.1, "finish_rows": "1 min"}))
    leaves = run(long_strip(crew("red", hours)))
    assert stays.site.reached[0][END] == pytest.approx(leaves.site.reached[0][END], abs=0.2)
    assert max(local_hours(stays, step)[1] for step in steps(stays, "laying rows")) < 12 + 1 / 60 + 1e-6


def test_no_crew_works_on_its_day_of_rest():
    done = run(long_strip(crew("red", {"hours": ["06:00-18:00"], "rest_every": 2})))
    for step in steps(done, "laying rows"):
        days = {int((moment + 6 - 1e-9) // 24) for moment in (step[START] + 2e-9, step[END])}
        assert all(day % 2 == 0 for day in days if step[END] - step[START] == pytest.approx(step[WORK]))


def test_people_who_are_away_slow_a_crew_and_nobody_else():
    full = run(long_strip(crew("red")))
    thin = run(long_strip(crew("red"), laying={"efficiency": 0.1, "absence": 0.25}))
    assert thin.site.reached[0][END] > 1.05 * full.site.reached[0][END]
    days = {}
    for step in steps(thin, "laying rows"):
        if step[NUMBER] % 10:
            days.setdefault(int((step[START] + 6) // 24), set()).add(round(step[WORK], 9))
    assert len(set().union(*days.values())) > 3  # who is there changes from day to day


def test_the_share_of_a_crew_that_is_away_is_binomial():
    luck = [(place + 0.5) / 2000 for place in range(2000)]
    counts = [away(one, 20, 0.1) for one in luck]
    assert sum(counts) / 2000 == pytest.approx(2.0, abs=0.01)
    assert counts.count(0) / 2000 == pytest.approx(0.9**20, abs=1e-3)
    assert sum((count - 2) ** 2 for count in counts) / 2000 == pytest.approx(20 * 0.1 * 0.9, rel=0.02)
    assert away(1 - 1e-12, 5, 0.5) <= 5


@st.composite
def many_shifts(draw):
    pick = lambda *values: draw(st.sampled_from(values))  # noqa: E731
    hours = [["06:00-12:00", "13:00-18:00"], ["18:00-06:00"], ["00:00-24:00"], ["05:00-15:00"], ["14:00-00:30"]]
    crews = []
    for name in ("red", "blue", "green")[: draw(st.integers(1, 3))]:
        shift = {"hours": pick(*hours), "lighting": True}
        within = "22:00-22:30" if shift["hours"][0] in ("18:00-06:00", "14:00-00:30") else "09:00-09:30"
        shift |= pick({}, {"rest_every": 3}, {"breaks": [within]}, {"fatigue": 0.1, "fatigue_after": "4 h"})
        shift |= pick({}, {"taking_over": "20 min", "handing_over": "10 min"})
        second = pick("elsewhere", "relief")
        crews.append(crew(name, pick(None, shift, shift), second_crew=second, people=draw(st.integers(8, 30))))
    laying = {
        "efficiency": pick(0.1, 0.3),
        "finish_rows": pick("0 min", "0 min", "40 min"),
        "absence": pick(0.0, 0.2, {"low": 0.0, "mode": 0.1, "high": 0.3}),
        "skew_found": pick(0.0, 0.3),
        "learning": pick(1.0, 0.8),
    }
    tables = long_strip(*crews, length=pick("80 ft", "200 ft"), laying=laying)
    tables["area"][0]["start"] = pick("one-end", "centre-out")
    if draw(st.booleans()):
        tables["weather"] = {"wet_spell": "3 h", "dry_spell": "20 h"}
    return tables


@given(many_shifts(), st.integers(0, 50))
@examples(40)
def test_under_any_shifts_the_causes_of_a_milestone_are_its_time_and_every_row_is_laid_once(tables, number):
    done = run(tables, number)
    for reached in done.site.reached:
        assert reached is not None
        hours = hours_by_cause(reached, done)
        assert math.fsum(hours.values()) == pytest.approx(reached[END], abs=1e-6)
        assert min(hours.values()) > -1e-8
    for step in done.site.trace[1:]:
        assert step[START] == step[BECAUSE][END]
        lost = math.fsum(losses(step, done.site.clocks).values())
        if KINDS[step[KIND]].clock and step[END] < done.site.plan.horizon:
            assert step[WORK] + lost == pytest.approx(step[END] - step[START], abs=1e-6)
    for edge in done.site.edges:
        rows = [step[NUMBER] for step in done.site.trace if step[KIND] == kind("laying rows") and step[EDGE] == edge.index]
        assert rows == sorted(rows)
        assert rows[-1] == edge.rows == edge.laid
    assert all(value >= 0 for name, value in record(done).items() if name.startswith("use."))


def looking_each_time(tables, number):
    """Return a run in which it is looked before every step who is there, and until when."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(TurnsByShift, "lay_on", lambda *asked: None)
        return run(tables, number)


@given(many_shifts(), st.integers(0, 50))
@examples(20)
def test_rows_that_are_laid_on_without_looking_end_when_they_would_with_looking(tables, number):
    once, each_time = run(tables, number), looking_each_time(tables, number)
    assert make_record(once) == make_record(each_time)
    assert [step[:2] + step[3:] for step in once.site.trace[1:]] == [step[:2] + step[3:] for step in each_time.site.trace[1:]]


def test_most_rows_of_a_shift_are_laid_without_looking_who_is_there(monkeypatch):
    looked = []
    work = TurnsByShift.work
    monkeypatch.setattr(TurnsByShift, "work", lambda *asked: looked.append(asked) or work(*asked))
    laid = steps(run(long_strip(crew("red", DAY), crew("blue", NIGHT), laying={"efficiency": 0.3})), "laying rows")
    assert len(looked) < 0.4 * len(laid)
