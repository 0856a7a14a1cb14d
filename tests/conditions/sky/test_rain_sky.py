"""When it rains: spells of a chain, whole across blocks, the same whoever asks and in whichever order."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.chance import Streams
from simulation.conditions import Chain, Sky, make_chain
from simulation.scenario.tables.sky import Weather

chains = st.builds(Chain, st.sampled_from([0.5, 1.0, 5.0, 24.0, 200.0]), st.floats(0.01, 0.99), st.floats(0.0, 0.99))


def spells_to(sky, hour):
    """Return the wet hours as they lie before `hour`."""
    sky.reach(hour)
    return [(start, min(end, hour)) for start, end in sky.spells if start < hour]


@given(chains, st.integers(0, 1000), st.lists(st.floats(1, 3000), min_size=1, max_size=6))
def test_the_sky_is_the_same_in_however_many_goes_it_is_drawn(chain, run, hours):
    patient, eager = Sky(chain, Streams(1, run)), Sky(chain, Streams(1, run))
    for hour in hours:
        patient.reach(hour)
    eager.reach(3500)
    assert spells_to(patient, max(hours)) == spells_to(eager, max(hours))


@given(chains, st.integers(0, 1000))
def test_spells_are_whole_steps_in_order_with_a_dry_step_at_least_between_them(chain, run):
    sky = Sky(chain, Streams(1, run))
    sky.reach(2000)
    assert sky.drawn >= 2000
    for start, end in sky.spells:
        for edge in (start, end):
            assert edge / chain.step == pytest.approx(round(edge / chain.step), abs=1e-9)
        assert end > start
    assert all(after[0] - before[1] >= chain.step * (1 - 1e-9) for before, after in pairwise(sky.spells))


def test_rain_that_never_stops_is_one_spell_across_all_blocks():
    sky = Sky(Chain(1.0, 1.0, 1.0), Streams(1, 0))
    for hour in (1, 168, 169, 500):
        sky.reach(hour)
    assert sky.spells == [[0, 504]]


def test_a_spell_across_the_end_of_a_block_has_the_length_of_any_other():
    # Spells of mean 40 h that are under way at a block's end (168 h): what is left of them is again geometric with mean 40 h, sd
    # √(1 − 1/40) × 40 h, since the chain has no memory. Within 4 standard errors over 1,500 runs.
    chain, left = Chain(1.0, 1 / 40, 1 - 1 / 40), []
    for run in range(1500):
        sky = Sky(chain, Streams(9, run))
        sky.reach(1000)
        left += [end - 167 for start, end in sky.spells if start <= 167 < end]
    assert len(left) > 600
    assert abs(np.mean(left) - 40) < 4 * 40 / math.sqrt(len(left))


def test_a_sky_draws_no_further_than_the_block_it_is_asked_about():
    sky = Sky(Chain(1.0, 0.02, 0.7), Streams(1, 0))
    sky.reach(1)
    assert sky.drawn == 168


def test_a_dry_scenario_has_no_spells_to_the_end_of_time():
    sky = Sky(make_chain(Weather.model_validate({"model": "none"})), Streams(1, 0))
    sky.reach(1e9)
    assert sky.spells == []


@given(st.floats(1, 200), st.floats(1, 2000))
def test_the_chain_of_a_scenario_has_its_mean_spells(wet, dry):
    chain = make_chain(Weather.model_validate({"wet_spell": f"{wet} h", "dry_spell": f"{dry} h"}))
    assert chain.step / (1 - chain.wet_after_wet) == pytest.approx(wet, rel=1e-6)
    assert chain.step / chain.wet_after_dry == pytest.approx(dry, rel=1e-6)
    assert chain.wet_share == pytest.approx(wet / (wet + dry), rel=1e-6)


def test_the_first_hour_of_a_run_is_as_often_wet_as_any_other():
    # Equilibrium from the start: share of 2,500 runs wet in the first and in the 100th hour within 3.2 standard errors.
    chain, runs = Chain(1.0, 0.1, 0.8), 2500
    wet = np.zeros(2)
    for run in range(runs):
        sky = Sky(chain, Streams(4, run))
        sky.reach(100)
        wet += [any(start <= hour < end for start, end in sky.spells) for hour in (0.5, 99.5)]
    error = math.sqrt(chain.wet_share * (1 - chain.wet_share) / runs)
    assert np.abs(wet / runs - chain.wet_share).max() < 3.2 * error


def test_a_wetter_chain_leaves_no_dry_run_where_the_drier_one_had_rain():
    # The same uniform draws decide, so more rain is the same rain and more of it.
    for run in range(50):
        drier, wetter = (Sky(Chain(1.0, start, stay), Streams(1, run)) for start, stay in ((0.02, 0.6), (0.05, 0.8)))
        for start, end in spells_to(drier, 1000):
            assert any(low <= start and end <= high for low, high in spells_to(wetter, 1000))
