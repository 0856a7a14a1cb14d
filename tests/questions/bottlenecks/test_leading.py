"""Who leads the driving chain: by whose the hours are, build by build, with the calendar's hours apart."""

import math

import pandas as pd
import pytest
from bound_fields import by_crew

from simulation.construction import build_once, columns, compile_plan
from simulation.construction.plan.steps import KINDS
from simulation.construction.trace.chain import CAUSES, THIRDS
from simulation.questions.bottlenecks.attribution import leading_of
from simulation.scenario import Change, vary


def chains(*builds, ready=None):
    """Return builds whose chains have the given hours, a dict of (third, cause) each."""
    rows = []
    for number, hours in enumerate(builds):
        row = {f"driver.{third}.{cause}": 0.0 for third in THIRDS for cause in (*CAUSES, "off shift, crew night")}
        row |= {f"driver.{third}.{cause}": spent for (third, cause), spent in hours.items()}
        row["milestone.ready"] = sum(hours.values()) if ready is None else ready[number]
        rows.append(row)
    return pd.DataFrame(rows)


def by_name(leading):
    return {one.name: one for one in leading.holders}


def test_finely_named_causes_of_one_holder_lead_together_though_none_leads_alone():
    split = {("early", "forklift trips"): 4.0, ("middle", "unloading"): 4.0, ("late", "laying rows"): 6.0}
    leading = leading_of(chains(split, split, split), "ready")
    assert [one.name for one in leading.holders] == ["forklifts", "crews"]
    forklifts, crews = leading.holders
    assert (forklifts.leads.count, crews.leads.count) == (3, 0)
    assert [cause.leads.count for cause in forklifts.causes] == [0, 0]
    assert crews.causes[0].leads.count == 3
    assert (forklifts.hours, crews.hours, leading.hours) == (8.0, 6.0, 14.0)


def test_off_shift_and_dark_never_lead_but_rain_may():
    off = {("early", "off shift, crews"): 60.0, ("early", "off shift, forklifts"): 20.0, ("late", "off shift, crew night"): 10.0}
    night = off | {("early", "dark"): 5.0, ("early", "rain"): 3.0, ("late", "laying rows"): 2.0}
    leading = leading_of(chains(night), "ready")
    assert [one.name for one in leading.holders] == ["weather", "crews"]
    assert leading.calendar.leads is None and leading.calendar.leads_by_third is None
    assert all(cause.leads is None for cause in leading.calendar.causes)
    assert (leading.calendar.hours, leading.hours) == (95.0, 100.0)


def test_it_is_seen_that_the_one_who_limits_moves():
    moves = {
        ("early", "haul"): 3.0,
        ("early", "laying rows"): 1.0,
        ("middle", "grading"): 4.0,
        ("late", "closing work"): 3.0,
        ("late", "haul"): 1.0,
    }
    leading = leading_of(chains(moves, moves), "ready")
    assert {third: leading.first(third).name for third in THIRDS} == {
        "early": "supply",
        "middle": "grading",
        "late": "closing work",
    }
    assert by_name(leading)["supply"].thirds == {"early": 3.0, "middle": 0.0, "late": 1.0}
    assert by_name(leading)["supply"].leads_by_third["early"].count == 2


def test_builds_that_were_not_ready_count_only_where_none_was_and_then_up_to_the_horizon():
    good, lost = {("early", "haul"): 3.0}, dict.fromkeys([("early", "haul")], math.nan)
    leading = leading_of(chains(good, lost, ready=[3.0, math.inf]), "ready")
    assert (leading.builds, leading.hours) == (1, 3.0)
    late = {("early", "timetable"): 9.0, ("late", "off shift, crews"): 3.0}
    both = leading_of(chains(good, late, ready=[3.0, math.inf]), "ready")
    assert (both.builds, both.reached, [one.name for one in both.holders]) == (1, True, ["supply"])
    never = leading_of(chains(late, ready=[math.inf]), "ready")
    assert (never.builds, never.reached, never.hours) == (1, False, 12.0)
    assert [one.name for one in never.holders] == ["timetable"]


@pytest.mark.parametrize(("first", "second", "told"), [(30, 10, True), (22, 18, False), (40, 0, True), (5, 0, True)])
def test_two_that_lead_about_as_often_are_not_told_apart(first, second, told):
    builds = first * [{("early", "haul"): 3.0, ("late", "grading"): 2.0}] + second * [
        {("early", "haul"): 3.0, ("late", "grading"): 4.0}
    ]
    leading = leading_of(chains(*builds), "ready")
    assert leading.holders[0].leads.count == first
    assert leading.told_apart is told


def test_every_kind_of_work_belongs_to_somebody_or_stands_for_itself():
    names = set(CAUSES)
    assert {kind.name for kind in KINDS[1:-2]} < names
    each = {("early", cause): 1.0 for cause in CAUSES}
    leading = leading_of(chains(each), "ready")
    holders = {*by_name(leading), leading.calendar.name}
    assert holders == {
        "crews",
        "rail gang",
        "forklifts",
        "supply",
        "grading",
        "weather",
        "closing work",
        "late start",
        "daily limit",
        "timetable",
        "off shift and dark",
    }
    assert sum(len(one.causes) for one in (*leading.holders, leading.calendar)) == len(CAUSES)


def test_waiting_for_a_crew_that_comes_late_is_a_late_start():
    scenario = vary(by_crew(), [Change("crew.red.from", "30 h")])
    build = build_once(scenario)
    table = pd.DataFrame([build.record], columns=list(columns(compile_plan(scenario))))
    leading = leading_of(table, "ready")
    assert leading.holders[0].name == "late start"
    assert leading.holders[0].hours == pytest.approx(30.0)
    assert leading.first("early").name == leading.first("middle").name == "late start"


def test_a_timetable_leads_as_itself_and_is_no_lack_of_trucks():
    binds = {("early", "timetable"): 5.0, ("middle", "daily limit"): 4.0, ("late", "haul"): 3.0, ("late", "unloading"): 1.0}
    leading = leading_of(chains(binds), "ready")
    assert [one.name for one in leading.holders] == ["timetable", "daily limit", "supply", "forklifts"]
