"""Published values for weather and light, through the program's own chain and sun: W1 and W10 of the checks."""

import math
from datetime import date

import numpy as np
import pytest
from scenarios import LEAST

from simulation.chance import Streams
from simulation.conditions import Sky, make_chain, sun_up
from simulation.scenario import parse_scenario
from simulation.scenario.tables.ground import Site

# p(wet after dry) .250 and p(wet after wet) .662 as a scenario writes them: mean spells of 1/.250 and 1/(1 − .662) days.
SCENARIO = (
    LEAST
    + """[weather]
step = "24 h"
wet_spell = "71.00591716 h"
dry_spell = "96 h"
"""
)
RUNS, MONTHS = 1500, 6


@pytest.fixture(scope="module")
def chain():
    return make_chain(parse_scenario(SCENARIO).weather)


@pytest.fixture(scope="module")
def days(chain):
    """Return wet (1) and dry (0) days of many runs' skies, a row a run."""
    table = np.zeros((RUNS, 30 * MONTHS))
    for run in range(RUNS):
        sky = Sky(chain, Streams(20310402, run))
        sky.reach(24 * 30 * MONTHS)
        for start, end in sky.spells:
            table[run, round(start / 24) : round(end / 24)] = 1
    return table


# Gabriel and Neumann 1962: the two probabilities read in the source (T), what follows from them reproduced (R).


def test_w1_the_chain_of_the_scenario_is_the_published_one(chain):
    assert (chain.wet_after_dry, chain.wet_after_wet) == pytest.approx((0.250, 0.662), abs=1e-9)
    assert chain.wet_share == pytest.approx(0.42517, abs=5e-6)


def test_w1_the_published_share_of_days_is_wet(days):
    # Standard error from the variance of a run's wet days (sd of the shares of 1,500 independent runs); within 3.5 of it.
    shares = days.mean(axis=1)
    assert abs(shares.mean() - 0.42517) < 3.5 * shares.std() / math.sqrt(RUNS)


@pytest.mark.parametrize(("wet", "mean"), [(1, 2.9586), (0, 4.0)])
def test_w1_wet_and_dry_spells_have_their_published_mean_lengths(days, wet, mean):
    # Spells that begin in a run's first half; all end in it but for odds of .75^90. Geometric: sd √(mean (mean − 1)).
    lengths = []
    half = days.shape[1] // 2
    for row in days:
        changes = np.flatnonzero(np.diff(row)) + 1
        begun = [day for day in changes if row[day] == wet and day < half]
        lengths += [changes[changes > day].min(initial=days.shape[1] + 1) - day for day in begun]
    assert max(lengths) <= days.shape[1] / 2
    assert abs(np.mean(lengths) - mean) < 3.5 * math.sqrt(mean * (mean - 1) / len(lengths))


def test_w1_wet_days_of_a_month_have_the_published_mean_and_spread(days):
    # Every other month of 1,500 runs: 4,500 sums, nearly independent (day-to-day correlation .412^30 across a month left out).
    # Standard errors sd/√n, and sd/√(2n) for the spread of a near-normal count; within 3.5 of them.
    months = days.reshape(RUNS, MONTHS, 30).sum(axis=2)[:, ::2].ravel()
    assert abs(months.mean() - 12.755) < 3.5 * 4.126 / math.sqrt(len(months))
    assert abs(months.std() - 4.126) < 3.5 * 4.126 / math.sqrt(2 * len(months))


@pytest.mark.parametrize(
    ("day", "rise", "fall"),
    [
        (date(2008, 1, 1), "07:22", "17:00"),
        (date(2008, 4, 1), "05:52", "18:31"),
        (date(2008, 7, 1), "04:51", "19:32"),
        (date(2008, 10, 1), "06:04", "17:50"),
    ],
)
def test_w10_sunrise_and_sunset_are_the_published_ones_within_two_minutes(day, rise, fall):
    # USNO table for 37°24′N 121°55′W, standard time, 2008; read in the source (T).
    site = Site.model_validate({"latitude": 37.4, "longitude": -(121 + 55 / 60), "utc_offset": "-8 h"})
    published = [int(text[:2]) + int(text[3:]) / 60 for text in (rise, fall)]
    assert sun_up(site, day, 0.833) == pytest.approx(published, abs=2 / 60)
