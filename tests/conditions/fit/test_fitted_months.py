"""Every recorded hour counts once, whichever months are fitted together, and a season keeps its own share of rain."""

from datetime import datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.conditions.fit.fitted_months import SEASONS, samples_of
from simulation.conditions.fit.fitting import fit
from simulation.scenario.weather_record.weather_record import WeatherRecord

counts = st.lists(st.integers(0, 60), min_size=12, max_size=12).map(np.array)


@given(counts, st.sampled_from(["month", "season"]))
def test_no_hour_of_a_season_with_enough_spells_counts_in_two_fits(spells, by):
    samples = samples_of(spells, spells > 0, (20, 1), by)
    used = {one.months for month, one in enumerate(samples) if spells[month] and not one.scaled}
    flat = [month for of in used for month in of]
    assert len(flat) == len(set(flat))
    for of in used:
        assert spells[list(of)].sum() >= 20
        assert len({SEASONS[month] for month in of}) == 1


@given(counts)
def test_a_season_with_too_few_spells_is_scaled_to_its_own_months(spells):
    samples = samples_of(spells, np.full(12, 700), (20, 240), "month")
    for month, one in enumerate(samples):
        season = np.flatnonzero(SEASONS[month] == SEASONS)
        assert bool(one.scaled) == (spells[season].sum() < 20)
        assert one.scaled in ((), tuple(season.tolist()))


def make_record(rain, starts=datetime(2030, 1, 1)):
    rain = np.array(rain, dtype=float)
    return WeatherRecord(starts, 1, {"rain": rain}, (), {"rain": 0}, np.arange(len(rain)))


def test_a_dry_season_stays_dry_though_it_has_too_few_spells_for_a_fit():
    # Rain for 4 hours each day and a half, but from June to August only on the first of each month.
    hours = np.datetime64("2030-01-01T00") + np.arange(8760)
    months = hours.astype("datetime64[M]").astype(int) % 12
    days = (hours.astype("datetime64[D]") - hours.astype("datetime64[M]").astype("datetime64[D]")).astype(int)
    dry = np.isin(months, (5, 6, 7))
    wet = np.where(dry, (days == 0) & (np.arange(8760) % 24 < 4), np.arange(8760) % 36 < 4)
    found = fit(make_record(wet), 0.2, "month")
    assert set(found.periods[5:8]) == {"year, scaled"}
    for month in range(12):
        of = dry if month in (5, 6, 7) else months == month
        assert found.chain.shares(month)[0] == pytest.approx(wet[of].mean(), rel=0.1)


def test_dry_hours_before_the_first_rain_and_behind_a_gap_count():
    # Thirty dry spells of 20 hours between wet ones of 4; 400 dry hours before, and 300 behind a gap.
    spells = ([1] * 4 + [0] * 20) * 30
    plain = fit(make_record(spells), 0.2, "year").chain.shares(0)[0]
    longer = fit(make_record([0] * 400 + spells + [np.nan] * 50 + [0] * 300 + spells), 0.2, "year").chain.shares(0)[0]
    assert plain == pytest.approx(120 / 720, rel=0.03)
    assert longer == pytest.approx(240 / 2140, rel=0.03)
