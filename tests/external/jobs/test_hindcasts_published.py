"""Published jobs, written as scenarios, must lie inside what the forecast says of them: G1, G2, and G4 with L8 as far as told.

The scenarios stand in `configs/hindcasts/` with their sources and with what is assumed because no source tells it. They write no
rate: the program's defaults answer. Where the laying began is not told, so each is laid both from the centre and from one end.
"""

from pathlib import Path

import pytest

from simulation import forecast, load_scenario
from simulation.field import take_off
from simulation.scenario import Change, vary
from simulation.study.run_context import RunContext

HINDCASTS = Path(__file__).parents[3] / "configs" / "hindcasts"
STARTS = ("centre-out", "one-end")

#: Enough that the P10 and the P90 are known to about an eighth of themselves.
RUNS = 100


def hindcast(name, start):
    scenario = load_scenario(HINDCASTS / f"{name}.toml")
    (area,) = scenario.area
    return forecast(vary(scenario, [Change(f"area.{area.name}.start", start)]), RunContext(runs=RUNS, workers=1))


def within(found, days, milestone=None):
    """Return whether so many days lie between P10 and P90 of a milestone, readiness unless one is named."""
    one = next(each for each in found.milestones if each.name == (milestone or found.readiness.name))
    early, late = (one.quantile(share).value / 24.0 for share in (0.1, 0.9))
    assert late / early < 3.0, "so wide that anything would lie inside"
    return early <= days <= late


@pytest.mark.parametrize("start", STARTS)
def test_g1_about_a_week_lies_between_p10_and_p90_of_the_field_relaid_by_69_people(start):
    # Service news 2014 (T): 146,000 sq ft relaid in about a week by 19 specialists and about 50 others; ten-hour days assumed.
    found = hindcast("week_relaid", start)
    assert take_off(found.scenario).total("square_feet") == pytest.approx(146_000, rel=0.001)
    assert (found.people.total, found.calendar.hours_a_day) == (19 + 50, 10.0)
    assert within(found, 7.0)


@pytest.mark.parametrize("start", STARTS)
def test_g2_six_days_lie_between_p10_and_p90_of_the_150_000_square_feet(start):
    # Service news 2009 (T): 150,000 sq ft laid in six days; the crews are assumed.
    found = hindcast("six_days", start)
    assert take_off(found.scenario).total("square_feet") == pytest.approx(150_000, rel=0.001)
    assert within(found, 6.0)


def test_g4_first_aircraft_after_25_days_and_8000_ft_after_57_lie_within_p10_to_p90_on_sand():
    # Official service history of 1965 (T): ashore 7 May, first aircraft 1 June on an unfinished strip, 8,000 ft on 3 July; two
    # full crews relieve each other every 30 minutes (L8), three of six tractors are down. What the first one used is assumed.
    scenario = load_scenario(HINDCASTS / "beach_strip.toml")
    assert (scenario.crew[1].second_crew, scenario.laying.relief_turn, scenario.grading.gangs) == ("relief", 0.5, 6 - 3)
    found = forecast(scenario, RunContext(runs=30, workers=1))
    assert within(found, 25.0, "first aircraft") and within(found, 23.0, "first aircraft")
    assert within(found, 57.0)


@pytest.mark.parametrize("name", sorted(file.stem for file in HINDCASTS.glob("*.toml")))
def test_hindcasts_write_no_rate_of_their_own(name):
    scenario, least = load_scenario(HINDCASTS / f"{name}.toml"), load_scenario(HINDCASTS.parent / "first_look.toml")
    forklifts = scenario.forklifts.model_copy(update={"count": least.forklifts.count})  # how many there are is no rate
    assert (scenario.laying, forklifts) == (least.laying, least.forklifts)
    assert (scenario.repair, scenario.take_up) == (least.repair, least.take_up)
    assert (scenario.grading.rate, scenario.grading.efficiency) == (least.grading.rate, least.grading.efficiency)


def test_the_shipped_scenario_has_the_productive_share_that_the_hindcasts_set():
    shipped, least = load_scenario(), load_scenario(HINDCASTS.parent / "first_look.toml")
    assert shipped.laying.efficiency == least.laying.efficiency
    assert shipped.forklifts.efficiency == least.forklifts.efficiency
    assert shipped.grading.efficiency == least.grading.efficiency
