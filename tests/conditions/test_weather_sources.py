"""From what a scenario says to the weather of its runs, model by model."""

import pickle
from dataclasses import replace

import numpy as np
import pytest
from scenarios import LEAST
from skies import every, hours_of, sky

from simulation.chance import Streams
from simulation.conditions import Chain, HourlySky, sky_plan
from simulation.conditions.fit.fitting import Fit, fit
from simulation.conditions.sky.climate_defaults import PLANNED
from simulation.conditions.sky.three_states import ThreeStates
from simulation.questions.weather.block import weather_block
from simulation.scenario import parse_scenario
from simulation.scenario.weather_record.weather_records import name_record

FIELD = LEAST


def plan(weather, folder=None):
    return sky_plan(parse_scenario(FIELD + weather, folder=folder))


def plan_of(csv, use="fit", without=(), further=""):
    return plan(records(csv, use, without) + further, csv.parent)


@pytest.fixture(scope="module")
def csv(tmp_path_factory):
    """A year of hours as a record, in other units than those inside."""
    drawn = sky(every(0.7, 0.4, 0.4, 0.02), 4)
    columns = [hours_of(drawn, 53, name) for name in ("rain", "wind", "temperature", "humidity")]
    lines = ["t,p,w,T,h"]
    for hour, (rain, wind, temperature, humid) in enumerate(zip(*columns, strict=True)):
        moment = np.datetime64("2021-01-01T00") + hour
        lines.append(f"{moment}:00,{rain:.3f},{wind / 1.150779:.2f},{temperature * 1.8 + 32:.1f},{humid:.0f}")
    file = tmp_path_factory.mktemp("record") / "weather.csv"
    file.write_text("\n".join(lines) + "\n")
    return file


COLUMNS = {
    "time": "t",
    "rain": {"column": "p", "unit": "mm"},
    "wind": {"column": "w", "unit": "knot"},
    "temperature": {"column": "T", "unit": "degF"},
    "humidity": {"column": "h", "unit": "%"},
}


def records(csv, use="fit", without=()):
    tables = ", ".join(
        f'{name} = "{one}"' if name == "time" else f'{name} = {{ column = "{one["column"]}", unit = "{one["unit"]}" }}'
        for name, one in COLUMNS.items()
        if name not in without
    )
    return f'[weather]\nmodel = "records"\n[weather.records]\nfile = "{csv.name}"\nuse = "{use}"\ncolumns = {{ {tables} }}\n'


def test_the_two_models_there_were_are_what_they_were():
    assert plan("").dry and plan("").stated == frozenset()
    assert plan('[weather]\nwet_spell = "4 h"\ndry_spell = "40 h"').spells == Chain(1.0, 1 / 40, 0.75)


@pytest.mark.parametrize("without", [(), ("wind",), ("temperature",), ("humidity",), ("wind", "temperature", "humidity")])
def test_the_block_of_a_fit_gives_the_weather_of_the_fit_to_the_bit(csv, without):
    named = name_record({"file": str(csv), "columns": {name: one for name, one in COLUMNS.items() if name not in without}})
    pasted = plan(weather_block(fit(named.record, named.wet, named.by)))
    fitted = plan_of(csv, without=without)
    assert pasted == fitted
    for mine, other in zip(HourlySky(pasted, Streams(1, 5)).block(1), HourlySky(fitted, Streams(1, 5)).block(1), strict=True):
        assert mine.tolist() == other.tolist()
    assert fitted.stated == {"rain", "wind", "temperature", "humidity"} - set(without)


def test_the_block_of_gusts_that_were_recorded_states_them():
    air = replace(PLANNED, gust=1.4, stated=frozenset({"rain", "wind", "gust"}))
    pasted = plan(weather_block(Fit(every(0.7, 0.4, 0.4, 0.02), air, ("year",) * 12)))
    assert pasted.air == air


@pytest.mark.parametrize("use", ["fit", "resample", "replay"])
def test_a_record_that_lacks_wind_and_humidity_gives_hours_without_a_hole(csv, use):
    source = plan_of(csv, use, ("wind", "humidity"))
    assert source.stated == {"rain", "temperature"}
    for run in range(3):
        for values in HourlySky(source, Streams(1, run)).block(3):
            assert np.isfinite(values).all()


def test_figures_of_the_scenario_come_before_those_of_the_record(csv):
    source = plan_of(csv, further='[weather.wind]\nunit = "mph"\ndry = 20\nwet = 30\n')
    assert (source.air.wind_dry, source.air.wind_wet) == ((20.0,) * 12, (30.0,) * 12)
    assert source.air.temperature == plan_of(csv).air.temperature


def test_a_table_of_the_climate_gives_its_own_figures_again():
    source = plan("""
[weather]
model = "climate"
[weather.climate]
wet_hours = [60, 50, 50, 45, 40, 35, 30, 35, 40, 45, 55, 60]
wet_spell = "4 h"
[weather.rain]
unit = "mm"
month = 90
[weather.wind]
unit = "knot"
mean = 10
[weather.temperature]
unit = "degF"
low = 50
high = 68
[weather.humidity]
unit = "%"
dry = 60
""")
    assert isinstance(source.spells, ThreeStates)
    shares = [source.spells.shares(month)[0] for month in range(12)]
    assert shares[0] * 31 * 24 == pytest.approx(60)
    air = source.air
    assert air.rain[0] == pytest.approx(90 / 60)
    for share, dry, wet in zip(shares, air.wind_dry, air.wind_wet, strict=True):
        assert (1 - share) * dry + share * wet == pytest.approx(11.5078, abs=1e-3)
    assert (min(air.temperature[0]), max(air.temperature[0])) == pytest.approx((10, 20))
    assert air.temperature[0].index(max(air.temperature[0])) == 15
    assert np.mean(air.humidity_dry[0]) == pytest.approx(60) and np.argmin(air.humidity_dry[0]) == 15
    assert source.stated == {"rain", "wind", "temperature", "humidity"}


@pytest.mark.parametrize("use", ["fit", "resample", "replay"])
def test_a_worker_gets_the_record_and_draws_the_same(csv, use):
    source = plan_of(csv, use)
    sent = pickle.loads(pickle.dumps(source))
    for mine, other in zip(HourlySky(sent, Streams(1, 2)).block(2), HourlySky(source, Streams(1, 2)).block(2), strict=True):
        assert mine.tolist() == other.tolist()
