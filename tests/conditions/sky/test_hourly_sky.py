"""What hours are like: the same whoever asks, wet where the spells are, with the means and persistence that are stated."""

import math
from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import every, hours_of, sky, wet_hours

from simulation.chance import Streams
from simulation.conditions import Chain, HourlySky, Sky, SkyPlan
from simulation.conditions.sky.climate_defaults import PLANNED
from simulation.conditions.sky.hourly import Hours

CHAIN = every(0.7, 0.4, 0.4, 0.05)


@given(st.integers(0, 300), st.permutations([0, 1, 2, 3]), st.booleans())
@settings(max_examples=25, deadline=None)
def test_hours_are_the_same_in_whatever_order_they_are_asked_for(run, order, first):
    asked, straight = sky(CHAIN, run), sky(CHAIN, run)
    if first:
        asked.reach(2000)
    for number in order:
        asked.block(number)
    for number in range(4):
        for mine, other in zip(asked.block(number), straight.block(number), strict=True):
            assert mine.tolist() == other.tolist()


@given(st.sampled_from([0.5, 1.0, 5.0, 24.0, 200.0]), st.integers(0, 300), st.booleans())
@settings(max_examples=40, deadline=None)
def test_the_two_state_chain_has_the_spells_that_it_had_alone_to_the_bit(step, run, asks):
    chain = Chain(step, 0.05, 0.8)
    drawn, alone = sky(chain, run), Sky(chain, Streams(7, run))
    if asks:
        drawn.block(2)
    drawn.reach(1500)
    alone.reach(1500)
    assert drawn.spells[: len(alone.spells) - 1] == alone.spells[:-1]


@pytest.mark.parametrize("spells", [CHAIN, Chain(1.0, 0.05, 0.7), Chain(24.0, 0.3, 0.6), Chain(0.25, 0.05, 0.7), None])
def test_hours_are_wet_exactly_where_some_of_them_lies_in_a_spell(spells):
    for run in range(5):
        drawn = sky(spells, run)
        rain = hours_of(drawn, 4, "rain")
        touched = [any(start < hour + 1 and end > hour for start, end in drawn.spells) for hour in range(len(rain))]
        assert (rain > 0).tolist() == touched


@pytest.mark.parametrize("spells", [CHAIN, None])
def test_no_hour_holds_anything_that_cannot_be(spells):
    for run in range(20):
        for number in range(4):
            block = sky(spells, run).block(number)
            assert isinstance(block, Hours)
            assert all(len(values) == 168 and np.isfinite(values).all() for values in block)
            assert (block.rain >= 0).all() and (block.wind >= 0).all() and (block.gust >= block.wind).all()
            assert ((block.humidity >= 1) & (block.humidity <= 100)).all()


def test_a_dry_plan_has_dry_hours_that_are_drawn_all_the_same():
    drawn = sky(None)
    assert drawn.spells == [] and drawn.drawn == math.inf
    assert hours_of(drawn, 2, "rain").sum() == 0
    assert hours_of(drawn, 2, "wind").min() > 0


def test_what_the_hours_are_does_not_change_whether_they_are_wet_and_the_other_way_round():
    stormy = replace(PLANNED, wind_dry=(30.0,) * 12, rain=(9.0,) * 12)
    assert wet_hours(sky(CHAIN, 1, air=stormy), 1000).tolist() == wet_hours(sky(CHAIN, 1), 1000).tolist()
    calm, windy = (hours_of(sky(None, 1, air=air), 2, "wind") for air in (PLANNED, stormy))
    assert windy / calm == pytest.approx(30 / PLANNED.wind_dry[0])


def normal_error(lag, count):
    """Standard error of the mean of an AR(1) series of variance 1."""
    return math.sqrt((1 + lag) / (1 - lag) / count)


def test_wind_has_its_mean_its_shape_and_its_persistence():
    # Of 25 runs of 20 weeks; the coefficient of variation of a Weibull distribution of shape 2.2 is .480.
    wind = np.array([hours_of(sky(None, run), 20, "wind") for run in range(25)])
    mean, spread = wind.mean(), wind.std() / wind.mean()
    assert abs(mean / PLANNED.wind_dry[0] - 1) < 4 * 0.48 * normal_error(0.8, wind.size)
    assert spread == pytest.approx(0.480, abs=0.01)
    assert np.corrcoef(wind[:, :-1].ravel(), wind[:, 1:].ravel())[0, 1] == pytest.approx(0.8, abs=0.02)


def test_wind_goes_on_from_one_block_to_the_next():
    edges = np.array([[sky(None, run).block(0).wind[-1], sky(None, run).block(1).wind[0]] for run in range(300)])
    assert np.corrcoef(edges.T)[0, 1] > 0.7


def test_wet_hours_have_their_mean_rain_and_more_wind():
    rain, wind = (np.concatenate([hours_of(sky(CHAIN, run), 20, field) for run in range(15)]) for field in ("rain", "wind"))
    wet = rain > 0
    assert abs(rain[wet].mean() / PLANNED.rain[0] - 1) < 4 / math.sqrt(wet.sum())  # exponential: sd = mean
    assert wind[wet].mean() / wind[~wet].mean() == pytest.approx(1.25, abs=0.08)


def test_temperature_follows_month_and_hour():
    table = tuple(tuple(10.0 * month + hour for hour in range(24)) for month in range(12))
    still = replace(PLANNED, temperature=table, temperature_sd=(0.0,) * 12)
    drawn = sky(None, air=still, starts=datetime(2032, 2, 28, 22, 30))
    # 28 and 29 February of a leap year, then March.
    assert drawn.block(0).temperature[:4].tolist() == [32, 33, 10, 11]
    assert drawn.block(0).temperature[26] == 20


def test_the_anomaly_of_temperature_has_its_spread_and_persistence():
    drawn = np.array([hours_of(sky(None, run), 20, "temperature") for run in range(30)])
    away = drawn - drawn.mean(axis=0)
    assert away.std() == pytest.approx(4.0, abs=4 * 4.0 * normal_error(0.98**2, away.size) / math.sqrt(2))
    assert np.corrcoef(away[:, :-1].ravel(), away[:, 1:].ravel())[0, 1] == pytest.approx(0.98, abs=0.005)


def test_an_hour_on_which_nothing_is_stated_is_told_from_one_on_which_something_is():
    assert SkyPlan(datetime(2031, 4, 2), None, PLANNED).stated == frozenset()
    assert SkyPlan(datetime(2031, 4, 2), None, replace(PLANNED, stated=frozenset({"wind"}))).stated == {"wind"}


def test_another_run_has_another_sky():
    skies = [HourlySky(SkyPlan(datetime(2031, 4, 2), CHAIN, PLANNED), Streams(7, run)).block(0) for run in (0, 1)]
    for mine, other in zip(*skies, strict=True):
        assert mine.tolist() != other.tolist()
