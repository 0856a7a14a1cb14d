"""Who leads the chain of causes: by whose the hours are, run by run, with the calendar's hours apart."""

import math

import pandas as pd
import pytest
from fields import by_crew

from simulation.construction import columns, compile_plan, run_once
from simulation.construction.plan.steps import KINDS
from simulation.construction.trace.chain import CAUSES, THIRDS
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.scenario import Change, vary


def chains(*runs, ready=None):
    """Return runs whose chains have the given hours, a dict of (third, cause) each."""
    rows = []
    for number, hours in enumerate(runs):
        row = {f"cause.{third}.{cause}": 0.0 for third in THIRDS for cause in (*CAUSES, "off shift, crew night")}
        row |= {f"cause.{third}.{cause}": spent for (third, cause), spent in hours.items()}
        row["milestone.ready"] = sum(hours.values()) if ready is None else ready[number]
        rows.append(row)
    return pd.DataFrame(rows)


def by_name(leading):
    return {one.name: one for one in leading.holders}


def test_finely_named_causes_of_one_holder_lead_together_though_none_leads_alone():
    split = {("early", "forklift trips"): 4.0, ("middle", "unloading"): 4.0, ("late", "laying rows"): 6.0}
    leading = attribute_hours(chains(split, split, split), "ready")
    assert [one.name for one in leading.holders] == ["forklifts", "crews"]
    forklifts, crews = leading.holders
    assert (forklifts.leads.count, crews.leads.count) == (3, 0)
    assert [cause.leads.count for cause in forklifts.causes] == [0, 0]
    assert crews.causes[0].leads.count == 3
    assert (forklifts.hours, crews.hours, leading.hours) == (8.0, 6.0, 14.0)


def test_off_shift_and_dark_never_lead_but_rain_may():
    off = {("early", "off shift, crews"): 60.0, ("early", "off shift, forklifts"): 20.0, ("late", "off shift, crew night"): 10.0}
    night = off | {("early", "dark"): 5.0, ("early", "rain"): 3.0, ("late", "laying rows"): 2.0}
    leading = attribute_hours(chains(night), "ready")
    assert [one.name for one in leading.holders] == ["weather", "crews"]
    assert leading.calendar.leads is None and leading.calendar.leads_by_third is None
    assert all(cause.leads is None for cause in leading.calendar.causes)
    assert (leading.calendar.hours, leading.hours) == (95.0, 100.0)


def test_it_is_seen_that_the_one_who_limits_moves():
    moves = {
        ("early", "haul"): 3.0,
        ("early", "laying rows"): 1.0,
        ("middle", "grading"): 4.0,
        ("late", "final sweep, inspection and marking"): 3.0,
        ("late", "haul"): 1.0,
    }
    leading = attribute_hours(chains(moves, moves), "ready")
    assert {third: leading.first(third).name for third in THIRDS} == {
        "early": "supply",
        "middle": "grading",
        "late": "final sweep, inspection and marking",
    }
    assert by_name(leading)["supply"].thirds == {"early": 3.0, "middle": 0.0, "late": 1.0}
    assert by_name(leading)["supply"].leads_by_third["early"].count == 2


def test_runs_that_were_not_ready_count_only_where_none_was_and_then_up_to_the_horizon():
    good, lost = {("early", "haul"): 3.0}, dict.fromkeys([("early", "haul")], math.nan)
    leading = attribute_hours(chains(good, lost, ready=[3.0, math.inf]), "ready")
    assert (leading.runs, leading.hours) == (1, 3.0)
    late = {("early", "waiting for the next flight"): 9.0, ("late", "off shift, crews"): 3.0}
    both = attribute_hours(chains(good, late, ready=[3.0, math.inf]), "ready")
    assert (both.runs, both.reached, [one.name for one in both.holders]) == (1, True, ["supply"])
    never = attribute_hours(chains(late, ready=[math.inf]), "ready")
    assert (never.runs, never.reached, never.hours) == (1, False, 12.0)
    assert [one.name for one in never.holders] == ["waiting for the next flight"]


@pytest.mark.parametrize(("first", "second", "clear"), [(30, 10, True), (22, 18, False), (40, 0, True), (5, 0, True)])
def test_two_that_lead_about_as_often_are_not_clear_leader(first, second, clear):
    runs = first * [{("early", "haul"): 3.0, ("late", "grading"): 2.0}] + second * [
        {("early", "haul"): 3.0, ("late", "grading"): 4.0}
    ]
    leading = attribute_hours(chains(*runs), "ready")
    assert leading.holders[0].leads.count == first
    assert leading.clear_leader is clear


def test_every_kind_of_work_belongs_to_somebody_or_stands_for_itself():
    names = set(CAUSES)
    # What only a plan with tasks, loads on their way, shipments or flying has, or one that takes a field up.
    seldom = {kind.name for kind in KINDS if kind.only}
    assert {kind.name for kind in KINDS[1:-2]} - seldom < names
    each = {("early", cause): 1.0 for cause in CAUSES}
    leading = attribute_hours(chains(each), "ready")
    holders = {*by_name(leading), leading.calendar.name}
    assert holders == {
        "crews",
        "rail gang",
        "forklifts",
        "supply",
        "grading",
        "weather",
        "final sweep, inspection and marking",
        "late start",
        "port's daily limit",
        "waiting for the next flight",
        "off shift and dark",
    }
    assert sum(len(one.causes) for one in (*leading.holders, leading.calendar)) == len(CAUSES)


def test_waiting_for_a_crew_that_comes_late_is_a_late_start():
    scenario = vary(by_crew(), [Change("crew.red.from", "30 h")])
    run = run_once(scenario)
    table = pd.DataFrame([run.record], columns=list(columns(compile_plan(scenario))))
    leading = attribute_hours(table, "ready")
    assert leading.holders[0].name == "late start"
    assert leading.holders[0].hours == pytest.approx(30.0)
    assert leading.first("early").name == leading.first("middle").name == "late start"


def test_a_timetable_leads_as_itself_and_is_no_lack_of_trucks():
    binds = {
        ("early", "waiting for the next flight"): 5.0,
        ("middle", "port's daily limit"): 4.0,
        ("late", "haul"): 3.0,
        ("late", "unloading"): 1.0,
    }
    leading = attribute_hours(chains(binds), "ready")
    assert [one.name for one in leading.holders] == ["waiting for the next flight", "port's daily limit", "supply", "forklifts"]
