"""Fit, simulate, refit: what was put in comes out again, within what so many hours can tell."""

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import every, hours_of, sky, wet_hours

from simulation.conditions.fit.fitting import fit, fit_chain
from simulation.conditions.sky.climate import chain_of_climate, chain_of_days
from simulation.conditions.sky.climate_defaults import DAYS, PLANNED
from simulation.conditions.sky.three_states import ThreeStates
from simulation.scenario.tables.weather_tables import Climate
from simulation.scenario.weather_record.weather_record import WeatherRecord

# Two sorts of dry spells that differ by a factor of 15 at least: nearer ones cannot be told apart in a few years, by anything.
chains = st.builds(every, st.floats(0.3, 0.85), st.floats(0.3, 0.7), st.floats(0.3, 0.6), st.floats(0.01, 0.02))
BLOCKS = 260


def make_record(drawn, starts, blocks=BLOCKS, fields=("rain", "wind", "temperature", "humidity")):
    values = {field: hours_of(drawn, blocks, field) for field in fields}
    return WeatherRecord(starts, 1, values, (), {}, np.arange(blocks * 168))


def states_of(chain, run, blocks=BLOCKS):
    return wet_hours(sky(chain, run), blocks * 168).astype(np.int8)


@given(chains, st.integers(0, 100))
@settings(max_examples=12, deadline=None)
def test_a_fit_to_what_a_chain_drew_is_that_chain(chain, run):
    """Within 5 standard errors: of p by its counts, of w, a and b by those of a mixture whose parts were known, doubled for that.

    Five years; spells that belong to neither sort for certain make the true errors larger than if the parts were known.
    """
    states = states_of(chain, run)
    p, w, a, b = (float(one[0]) for one in fit_chain(states, np.zeros(len(states), dtype=np.intp)))
    wet, dry = states.sum(), int(((states[:-1] == 1) & (states[1:] == 0)).sum())
    share, short, long = chain.short[0], chain.short_ends[0], chain.long_ends[0]
    assert abs(p - chain.wet[0]) < 5 * np.sqrt(chain.wet[0] * (1 - chain.wet[0]) / wet)
    assert abs(w - share) < 10 * np.sqrt(share * (1 - share) / dry)
    assert abs(a - short) < 10 * short * np.sqrt((1 - short) / (dry * share))
    assert abs(b - long) < 10 * long / np.sqrt(dry * (1 - share))


def test_spells_that_a_gap_cuts_off_say_what_they_know():
    # A third of the hours is lost, in gaps of 60: counted as whole, the spells around them would be far too short.
    chain = every(0.7, 0.4, 0.4, 0.013)
    states = states_of(chain, 1, 1500)
    lost = states.copy()
    for start in range(0, len(lost) - 60, 180):
        lost[start : start + 60] = -1
    whole, cut = (fit_chain(one, np.zeros(len(one), dtype=np.intp)) for one in (states, lost))
    for value, again in zip(whole, cut, strict=True):
        assert again[0] == pytest.approx(value[0], rel=0.12)


def test_each_month_gets_its_own_chain_though_spells_cross_its_end():
    # Wet and dry months in turn, 30 years: the share of wet hours of each within a tenth.
    halves = ThreeStates((0.8, 0.5) * 6, (0.4,) * 12, (0.4,) * 12, (0.03, 0.01) * 6)
    states = states_of(halves, 2, 1560)
    hours = np.datetime64("2031-04-02T06", "h") + np.arange(len(states))
    months = hours.astype("datetime64[M]").astype(int) % 12
    fitted = fit_chain(states, months)
    for month in range(12):
        again = ThreeStates(*((float(one[month]),) for one in fitted))
        assert again.shares(0)[0] == pytest.approx(halves.shares(month)[0], rel=0.15)


def test_a_fit_to_drawn_hours_gives_their_air_again():
    starts = datetime(2031, 4, 2, 6)
    air = replace(PLANNED, wind_wet=(18.0,) * 12, temperature_sd=(3.0,) * 12, humidity_sd=5.0, humidity_lag=0.8)
    again = fit(make_record(sky(every(0.7, 0.4, 0.4, 0.05), 3, air=air), starts), 1e-9, "year").air
    assert again.stated == {"rain", "wind", "temperature", "humidity"}
    assert again.wind_shape == pytest.approx(air.wind_shape, abs=0.08)
    assert again.wind_lag == pytest.approx(air.wind_lag, abs=0.02)
    assert np.mean(again.wind_dry) == pytest.approx(air.wind_dry[0], rel=0.04)
    assert np.mean(again.wind_wet) == pytest.approx(18.0, rel=0.06)
    assert np.mean(again.rain) == pytest.approx(air.rain[0], rel=0.08)
    assert again.temperature_lag == pytest.approx(0.98, abs=0.01)
    assert np.mean(again.temperature_sd) == pytest.approx(3.0, rel=0.15)
    assert np.mean(again.temperature, axis=0) == pytest.approx(air.temperature[0], abs=0.8)
    assert again.humidity_sd == pytest.approx(5.0, rel=0.1)
    assert np.mean(again.humidity_wet) == pytest.approx(90.0, abs=2.0)


def test_what_a_record_lacks_are_planning_values_and_not_stated():
    record = make_record(sky(every(0.7, 0.4, 0.4, 0.05), 3), datetime(2031, 4, 2, 6), 60, ("rain",))
    air = fit(record, 0.1, "month").air
    assert air.stated == {"rain"}
    assert (air.wind_dry, air.temperature, air.humidity_dry) == (PLANNED.wind_dry, PLANNED.temperature, PLANNED.humidity_dry)


def test_a_month_with_too_few_spells_is_fitted_with_its_season_and_such_a_season_with_the_year():
    record = make_record(sky(every(0.7, 0.4, 0.4, 0.2), 3), datetime(2031, 4, 2, 6), 20, ("rain",))  # to 20 August
    periods = fit(record, 1e-9, "month").periods
    assert periods[4] == periods[5] == "month"
    assert periods[2] == "season" and periods[8] == periods[0] == "year"
    chain = fit(record, 1e-9, "month").chain
    assert chain.wet[8] == chain.wet[0] == fit(record, 1e-9, "year").chain.wet[0]


@given(st.floats(2, 300), st.floats(1.5, 10))
def test_a_chain_from_wet_hours_has_them_and_the_mean_spell(hours, spell):
    chain = chain_of_climate(Climate.model_validate({"wet_hours": hours, "wet_spell": f"{spell} h"}))
    for month in range(12):
        assert chain.shares(month)[0] * 24 * DAYS[month] == pytest.approx(hours, rel=1e-6)
        assert 1 / (1 - chain.wet[month]) == pytest.approx(spell)


@given(st.floats(0.5, 24), st.floats(1.5, 10))
@settings(max_examples=40, deadline=None)
def test_a_chain_from_wet_days_has_them(days, spell):
    chain = chain_of_climate(Climate.model_validate({"wet_days": days, "wet_spell": f"{spell} h"}))
    for month in (0, 1):
        _, short, long = chain.shares(month)
        dry = short * (1 - chain.short_ends[month]) ** 23 + long * (1 - chain.long_ends[month]) ** 23
        assert (1 - dry) * DAYS[month] == pytest.approx(days, rel=1e-4)


def test_a_chain_from_days_has_their_share_and_how_they_follow_each_other():
    # 1,500 weeks, days from midnight; standard errors of counts, within 4 of them.
    chain = chain_of_days((0.4267,) * 12, (0.2437,) * 12, (3.4,) * 12)
    wet = wet_hours(sky(chain, 5, starts=datetime(2031, 1, 1)), 1500 * 168).reshape(-1, 24).any(axis=1)
    after = wet[1:][~wet[:-1]]
    assert abs(wet.mean() - 0.4267) < 4 * np.sqrt(0.4267 * 0.5733 * 2.5 / len(wet))
    assert abs(after.mean() - 0.2437) < 4 * np.sqrt(0.2437 * 0.7563 / len(after))
