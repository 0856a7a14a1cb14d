"""A published take-up, written as a scenario, lies inside what the program says of it (G3, L6; T)."""

from pathlib import Path

import numpy as np
import pytest

from simulation import load_scenario
from simulation.construction.planning import compile_plan
from simulation.construction.trace.taken_up import take_up_once
from simulation.field import take_off
from simulation.questions.lift.study import quantile
from simulation.scenario.tables.people import Laying
from simulation.scenario.tables.repair import Repair
from simulation.scenario.tables.take_up import TakeUp
from simulation.study.people import count_people

HINDCAST = Path(__file__).parents[3] / "configs" / "hindcasts" / "field_taken_up.toml"


def taken(scenario, runs):
    """Return the hours after which all pallets are in the yard, run by run."""
    plan = compile_plan(scenario)
    return np.array([take_up_once(plan, run).in_yard for run in range(runs)])


def holds(scenario, in_yard, days, hours_a_day, square_feet):
    """Return whether days worked lie inside P10 to P90, and these as square feet in a person-hour."""
    people = count_people(scenario).total
    rates = [square_feet / (people * hours_a_day * quantile(in_yard, share).value / 24) for share in (0.9, 0.1)]
    early, late = (quantile(in_yard, share).value / 24 for share in (0.1, 0.9))
    assert late / early < 3.0, "so wide that anything would lie inside"
    return early <= days <= late, rates


@pytest.mark.slow
def test_g3_about_a_month_lies_between_p10_and_p90_of_the_field_taken_up():
    # Service news 2011 (T): >1.8 million sq ft, >77,000 mats, about 12 million lb, >10,000 person-hours, about a month.
    scenario = load_scenario(HINDCAST)
    laid = take_off(scenario)
    assert laid.total("square_feet") == pytest.approx(1_848_960)
    assert (laid.total("full") + laid.total("half") / 2) * scenario.mat.mass == pytest.approx(12e6, rel=0.02)
    assert count_people(scenario).total == 38
    inside, (slow, quick) = holds(scenario, taken(scenario, 60), 30.0, 10.0, laid.total("square_feet"))
    assert inside
    assert slow <= 180 <= quick


def test_g3_a_fifth_of_the_field_comes_up_at_the_same_rate_by_the_program_s_own_rates():
    text = HINDCAST.read_text(encoding="utf-8")
    for number in (2, 3, 4, 5):
        text = text.replace(f'[[area]]\nname = "strip {number}"\nlength = "1712 ft"\nwidth = "216 ft"\n\n', "")
        text = text.replace(f', "strip {number}"', "")
    from simulation.scenario import parse_scenario

    scenario = parse_scenario(text.replace('area = "strip 3"', 'area = "strip 1"'), "fifth.toml")
    assert (scenario.take_up, scenario.repair) == (TakeUp(), Repair())
    inside, (slow, quick) = holds(scenario, taken(scenario, 40), 30.0 / 5, 10.0, 1712 * 216)
    assert inside
    assert slow <= 180 <= quick
    assert slow / 24 <= 7.7 <= quick / 24  # full mats in a person-hour: 77,000 in 10,000


def test_g1_72_bad_mats_in_146_000_square_feet_lie_where_planners_are_told_that_scrap_and_damage_lie():
    """Service news 2014 (T): 72 of about 6,080 full mats."""
    share = 72 / (146_000 / 24)
    for told in (TakeUp().scrap, Laying().damaged_mats):
        assert told.level.quantile(-1.2816) <= share <= told.level.quantile(1.2816)  # P10 to P90
