"""What do rows laid, hours and counts of a log teach of the levels? Held against runs whose levels are known."""

import math
import pickle
import re
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, plan_of

from simulation.chance import Streams, draw_levels
from simulation.construction import simulate
from simulation.construction.at_work import shares_at_work
from simulation.construction.learning.lessons import learn, what_was_learned
from simulation.construction.learning.row_moments import NAMES, RowMoments
from simulation.construction.plan.steps import KEY_STRIP, RESEAT, ROW, STARTER
from simulation.construction.site.edges.area_draws import AreaLuck
from simulation.construction.site.edges.rowtime import RowLuck, best_split
from simulation.scenario.site_log.evidence import Evidence, RowsLaid

Z90 = 1.2815515655446004

UNCERTAIN = {
    "pick_up": {"p10": "15 s", "p90": "35 s", "scatter": 0.3, "shared_by": "crews"},
    "place": {"p10": "30 s", "p90": "60 s", "scatter": 0.3, "shared_by": "crews"},
    "efficiency": {"low": 0.10, "mode": 0.38, "high": 0.80},
}


def long_plan(rows=400, **more):
    area = [{"name": "strip", "length": f"{2 * rows} ft", "width": "72 ft"}]
    tables = {"laying": UNCERTAIN, "weather": {"model": "none"}, "forklifts": {"count": 4}, "supply": {"on_hand": 4000}}
    return plan_of(strip(area=area, **{key: {**tables.get(key, {}), **more.get(key, {})} for key in tables | more}))


def log_of(plan, run, days, hours=True):
    """Return the rows of a run as a log has them, day by day, with the hours at work or without any."""
    rows, laid = [], 0
    for day in range(days):
        done = [
            step
            for step in run.site.trace
            if step[4] in (ROW, KEY_STRIP, STARTER, RESEAT) and 24.0 * day < step[1] <= 24.0 * (day + 1)
        ]
        upto = max((step[7] for step in done if step[4] == ROW), default=laid)
        worked = sum(step[3] for step in done) if hours else None
        rows.append(RowsLaid(day + 2, 24.0 * day, 24.0 * day + 24.0, 0, None, "strip", "", 0, laid, upto, worked, (), 0, None))
        laid = upto
    return Evidence(24.0 * days, tuple(rows))


def hours_a_row(plan, drawn):
    """Return the hours that a row takes on average, at each of some drawn levels."""
    people = plan.crews[0].people
    area = RowMoments(plan.areas[0], plan.laying, people, tuple(plan.scatters[f"laying.{name}"] for name in NAMES))
    return area.of({key: np.array([levels[key] for levels in drawn]) for key in drawn[0]})[0].mean(axis=0)


def row_hours(plan, levels):
    (hours,) = hours_a_row(plan, [levels])
    return hours


def test_a_row_has_the_mean_and_the_scatter_that_runs_give_it():
    plan = long_plan(6000)
    streams = Streams(5, 0)
    levels = draw_levels(plan.levels, streams)
    hours = np.array(AreaLuck(plan, plan.areas[0], levels, streams).row_hours(plan.edges[0], 12))
    moments = RowMoments(plan.areas[0], plan.laying, 12, tuple(plan.scatters[f"laying.{name}"] for name in NAMES))
    means, variances = moments.of({key: np.array([value]) for key, value in levels.items()})
    for parity in (0, 1):
        some = hours[parity::2]
        assert means[parity, 0] == pytest.approx(some.mean(), abs=4 * some.std() / math.sqrt(len(some)))
        assert math.sqrt(variances[parity, 0]) == pytest.approx(some.std(), rel=0.08)


@pytest.fixture(scope="module")
def short_plan():
    return long_plan(20)


@examples(200)
@given(st.integers(6, 60), *(st.floats(5, 200) for _ in range(3)))
def test_crews_split_up_as_they_do_in_a_run(short_plan, people, pick_up, place, lock):
    plan = short_plan
    moments = RowMoments(plan.areas[0], plan.laying, people, (0.0,) * 4)
    teams, lockers = moments._split({"pick_up": np.array([pick_up]), "place": np.array([place]), "lock": np.array([lock])})
    assert (teams[0], lockers[0]) == best_split(people, plan.areas[0], plan.laying, RowLuck(pick_up, place, lock, 0.0, 1.0))


@pytest.mark.parametrize("hours", [True, False], ids=["hours written", "rows alone"])
def test_four_days_of_rows_tell_how_fast_the_crew_is_whoever_it_is(hours):
    plan = long_plan(1200, shifts__all={"hours": ["06:00-18:00"], "lighting": True})
    inside = []
    for number in range(5):
        run = simulate(plan, number, seed=99)
        evidence = log_of(plan, run, 4, hours)
        truth = row_hours(plan, run.site.levels)
        learned = learn(plan, evidence)
        speeds = hours_a_row(plan, [learned.draw(plan.levels, Streams(1, one), "random") for one in range(60)])
        assert np.median(speeds) == pytest.approx(truth, rel=0.05)
        held = hours_a_row(plan, [draw_levels(plan.levels, Streams(1, one)) for one in range(60)])
        assert np.std(speeds) < 0.25 * np.std(held)
        inside.append(np.quantile(speeds, 0.02) < truth < np.quantile(speeds, 0.98))
        run.dismiss()
    assert sum(inside) >= 4


def test_rows_that_may_have_waited_teach_only_that_the_crew_is_no_slower():
    plan = long_plan(400, supply={"on_hand": 40, "total": 500, "flights": [{"pallets": 40, "every": "24 h"}]})
    rows = (RowsLaid(2, 0.0, 24.0, 0, None, "strip", "", 0, 0, 70, None, (), 0, None),)
    few = replace(rows[0], worked=8.0)
    middle = {}
    for name, evidence in (("may have waited", rows), ("hours written", (few,))):
        told = what_was_learned(replace(plan, learned=learn(plan, Evidence(24.0, evidence))), Evidence(24.0, evidence), 200)
        middle[name] = next(one for one in told.levels if one.key == "laying.efficiency")
    assert middle["may have waited"].now[1] == pytest.approx(middle["may have waited"].before[1], abs=0.05)
    assert middle["may have waited"].now[2] == pytest.approx(middle["may have waited"].before[2], rel=0.12)
    assert middle["hours written"].now[2] - middle["hours written"].now[0] < 0.7 * (
        middle["may have waited"].now[2] - middle["may have waited"].now[0]
    )


def test_mats_rejected_teach_their_share_and_nothing_else():
    plan = long_plan(laying={**UNCERTAIN, "damaged_mats": {"low": 0.0, "mode": 0.01, "high": 0.03}})
    row = RowsLaid(2, 0.0, 24.0, 0, None, "strip", "", 0, 0, 0, None, (), 0, None)
    evidence = Evidence(24.0, (replace(row, upto=200, rejected=26),))
    learned = learn(plan, evidence)
    share = np.mean([learned.draw(plan.levels, Streams(1, one), "random")["laying.damaged_mats"] for one in range(300)])
    assert share == pytest.approx(0.018, abs=0.0025)


@pytest.mark.parametrize("slower", [0.2, 1.0, 12.0])
def test_a_log_that_contradicts_the_scenario_is_told_with_what_to_widen(slower):
    plan = long_plan(400)
    usual = 200 * row_hours(plan, {level.key: level.level.quantile(0.0) for level in plan.levels})
    row = RowsLaid(2, 0.0, 24.0, 0, None, "strip", "", 0, 0, 200, slower * usual, (), 0, None)
    evidence = Evidence(24.0, (row,))
    told = what_was_learned(replace(plan, learned=learn(plan, evidence)), evidence, 60)
    if slower == 1.0:
        assert not told.conflicts
    else:
        assert [one.key for one in told.conflicts] == ["laying.efficiency"]
        assert "make its range wider" in str(told.conflicts[0])
        assert float(re.search(r"with ([0-9.]+) times", str(told.conflicts[0]))[1]) == pytest.approx(1 / slower, rel=0.3)


def test_rejected_mats_where_the_scenario_has_none_are_told_too():
    plan = long_plan(400)  # no mat is damaged in it
    row = RowsLaid(2, 0.0, 24.0, 0, None, "strip", "", 0, 0, 200, None, (), 0, 9)
    evidence = Evidence(24.0, (row,))
    told = what_was_learned(replace(plan, learned=learn(plan, evidence)), evidence, 60)
    assert "laying.damaged_mats" in [one.key for one in told.conflicts]


def test_chains_agree_and_forget_and_a_posterior_travels_in_little():
    plan = long_plan(1200)
    run = simulate(plan, 3, seed=99)
    evidence = log_of(plan, run, 3)
    plan = replace(plan, learned=learn(plan, evidence))
    told = what_was_learned(plan, evidence, 100)
    assert told.effective_size == 100
    assert told.agreement < 1.02
    assert len(pickle.dumps(plan.learned)) < 30_000
    again = pickle.loads(pickle.dumps(plan))
    assert simulate(again, 7).site.levels == simulate(plan, 7).site.levels


def test_an_empty_log_teaches_nothing():
    assert learn(long_plan(20), Evidence(0.0)) is None


def test_where_nobody_wrote_hours_the_waits_that_runs_have_are_taken_off_the_clock():
    plan = long_plan(1200, forklifts={"count": 1, "handle": "480 s"}, shifts__all={"hours": ["06:00-18:00"], "lighting": True})
    blind, aware = [], []
    for number in range(4):
        run = simulate(plan, number, seed=99)
        evidence = log_of(plan, run, 4, hours=False)
        truth = row_hours(plan, run.site.levels)
        for found, at_work in ((blind, None), (aware, partial(shares_at_work, plan))):
            learned = learn(plan, evidence, at_work)
            drawn = [learned.draw(plan.levels, Streams(1, one), "random") for one in range(60)]
            found.append(hours_a_row(plan, drawn) / truth)
        run.dismiss()
    middles = [np.median(np.array(found), axis=1) for found in (blind, aware)]
    assert np.abs(middles[1] - 1).mean() < 0.6 * np.abs(middles[0] - 1).mean()
    assert np.mean([np.quantile(one, 0.02) < 1 < np.quantile(one, 0.98) for one in aware]) >= 0.75
