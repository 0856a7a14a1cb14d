"""Wet, short dry and long dry hours: their shares, their spells, a change of month, and luck that hangs on nothing else."""

import math
from datetime import datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import every, sky, wet_hours

from simulation.conditions.sky.three_states import ThreeStates

chains = st.builds(every, st.floats(0, 0.95), st.floats(0, 1), st.floats(0.05, 1), st.floats(0.002, 0.05))


@given(chains, st.integers(0, 500), st.lists(st.integers(1, 3000), min_size=1, max_size=5))
@settings(max_examples=40, deadline=None)
def test_the_sky_is_the_same_in_however_many_goes_it_is_drawn(chain, run, hours):
    patient = sky(chain, run)
    for hour in hours:
        patient.reach(hour)
    assert wet_hours(patient, 3000).tolist() == wet_hours(sky(chain, run), 3000).tolist()


@given(chains, st.integers(0, 500))
@settings(max_examples=40, deadline=None)
def test_spells_are_whole_hours_with_a_dry_hour_at_least_between_them(chain, run):
    drawn = sky(chain, run)
    drawn.reach(2000)
    assert all(start == int(start) and end == int(end) and end > start for start, end in drawn.spells)
    assert all(after[0] - before[1] >= 1 for before, after in pairwise(drawn.spells))


def test_wet_hours_have_their_long_run_share_from_the_first_hour_on():
    # 1,000 runs: the share wet in the first hour and in the 400th, each within 4 standard errors of the chain's.
    chain, runs = every(0.7, 0.4, 0.4, 0.03), 1000
    wet = np.mean([wet_hours(sky(chain, run), 504)[[0, 400]] for run in range(runs)], axis=0)
    share = chain.shares(3)[0]
    assert np.abs(wet - share).max() < 4 * math.sqrt(share * (1 - share) / runs)


def test_two_sorts_of_dry_spells_cluster_rain_more_than_one_sort_does():
    # The same wet share and the same wet spells: weeks without rain are more often, as methods of one sort of dry spell miss.
    three = every(0.7066, 0.409, 0.3876, 0.01289)
    two = every(0.7066, 0.0, 0.5, 1 / (three.cycle(0) - 1 / (1 - 0.7066)))
    assert two.shares(0)[0] == pytest.approx(three.shares(0)[0])
    dry = [np.mean([not wet_hours(sky(one, run), 168).any() for run in range(1500)]) for one in (two, three)]
    assert dry[1] - dry[0] > 4 * math.sqrt(2 * 0.1 * 0.9 / 1500)


def months(january, february):
    return ThreeStates(*((january[place], february[place], *(january[place],) * 10) for place in range(4)))


def test_a_spell_goes_on_over_the_end_of_a_month():
    # It rains for ever in January and never again in February: one spell from the start, and where it ends depends on no block.
    chain = months((0.9999, 0.0, 1.0, 1.0), (0.0, 0.0, 1.0, 1e-6))
    drawn = sky(chain, 3, starts=datetime(2031, 1, 31, 0))
    wet = wet_hours(drawn, 400)
    assert wet[:24].all() and not wet[24:].any()
    assert drawn.spells == [[0, 24]]


def test_each_month_has_its_own_share_of_wet_hours():
    chain = months((0.5, 0.0, 0.5, 0.05), (0.9, 0.0, 0.5, 0.2))
    wet = np.array([wet_hours(sky(chain, run, starts=datetime(2031, 1, 18)), 28 * 24) for run in range(400)])
    for hours, month in ((slice(0, 14 * 24), 0), (slice(15 * 24, None), 1)):
        shares = wet[:, hours].mean(axis=1)
        assert abs(shares.mean() - chain.shares(month)[0]) < 4 * shares.std() / math.sqrt(len(shares))


def test_the_end_of_february_is_where_the_calendar_has_it():
    # Dry in February, wet in March: from 28 February the rain comes a day later in a leap year.
    chain = ThreeStates((0, 0, *(0.9999,) * 10), (0.0,) * 12, (1.0,) * 12, (1e-6, 1e-6, *(1.0,) * 10))
    first = [sky(chain, 0, starts=datetime(year, 2, 28)) for year in (2031, 2032)]
    for one in first:
        one.reach(100)
    assert [one.spells[0][0] for one in first] == [24, 48]


def test_a_wetter_chain_has_no_dry_hour_first_where_the_drier_one_has_rain():
    for run in range(50):
        drier, wetter = every(0.6, 0.0, 0.5, 0.02), every(0.8, 0.0, 0.5, 0.05)
        assert not (wet_hours(sky(drier, run), 1000) & ~wet_hours(sky(wetter, run), 1000)).any()
