"""An outlook of the next days: does it rain as often as the forecaster says, and is the climate as it was once it has faded?"""

import math

import numpy as np
import pytest
from scenarios import SHORT, changed, written

from simulation.chance import Streams
from simulation.conditions import HOURS, HourlySky, sky_plan
from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import WET_SPELL
from simulation.replicate.identity import scenario_hash
from simulation.scenario import ScenarioError, load_scenario, parse_scenario
from simulation.scenario.types.change import Change

RUNS = 700
#: How far a share may lie from its chance, in either direction: 2.7 standard errors at the most.
APART = 0.052
CHANCES = (10, 80, 50, 0, 100)
TEXT = (
    written(changed(SHORT, top={"starts": "2031-04-02T00:00:00", "horizon": "30 day"}, site=None, weather=None)) + "[weather]\n"
)
MODELS = {
    "chain": 'model = "chain"',
    "three-state": 'model = "three-state"\n[weather.states]\nwet = 0.7\nshort = 0.41\nshort_ends = 0.39\nlong_ends = 0.02',
    "climate": 'model = "climate"\n[weather.climate]\nwet_days = 9\nwet_spell = "4 h"',
    "none": 'model = "none"',
    "records": 'model = "records"\n[weather.records]\nfile = "hours.csv"\nuse = "resample"',
    "records by days": 'model = "records"\n[weather.records]\nfile = "days.csv"\nuse = "resample"',
}


@pytest.fixture
def folder(tmp_path):
    days = "".join(f"2031-04-{2 + day:02d},{chance}\n" for day, chance in enumerate(CHANCES))
    (tmp_path / "outlook.csv").write_text(f"date,chance_of_rain_pct\n{days}", encoding="utf-8")
    luck = np.random.default_rng(1)
    wet = luck.random((400, 24)) < np.repeat(luck.random(400) < 0.3, 24).reshape(400, 24) * 0.2
    start = np.datetime64("2029-12-01")
    times = [start + np.timedelta64(hour, "h") for hour in range(wet.size)]
    flags = zip(times, wet.ravel(), strict=True)
    hours = "".join(f"{time}:00,{1.5 * rains},{3 + hour % 5}\n" for hour, (time, rains) in enumerate(flags))
    (tmp_path / "hours.csv").write_text(f"time,rain_mm,wind_mps\n{hours}", encoding="utf-8")
    days = "".join(f"{start + np.timedelta64(day, 'D')},{4.5 if rains else 0}\n" for day, rains in enumerate(wet.any(axis=1)))
    (tmp_path / "days.csv").write_text(f"time,rain_mm\n{days}", encoding="utf-8")
    return tmp_path


def plan_in(folder, model="chain", outlook='[weather.outlook]\nfile = "outlook.csv"'):
    return sky_plan(parse_scenario(f"{TEXT}{MODELS[model]}\n{outlook}\n", folder=folder))


def wet_days(plan, days):
    """Return in which days of each run it rains at all."""
    found = np.zeros((RUNS, days), dtype=bool)
    for run in range(RUNS):
        sky = HourlySky(plan, Streams(5, run))
        sky.reach(24.0 * days)
        for start, end in sky.spells:
            found[run, int(start // 24) : min(math.ceil(end / 24), days)] = True
    return found


@pytest.mark.parametrize("model", MODELS)
def test_it_rains_as_often_as_the_outlook_says_whatever_the_weather_comes_from(folder, model):
    shares = wet_days(plan_in(folder, model), len(CHANCES)).mean(axis=0)
    for share, chance in zip(shares, CHANCES, strict=True):
        assert share == pytest.approx(chance / 100, abs=APART * (0 < chance < 100))


@pytest.mark.parametrize("model", ["chain", "three-state", "records"])
def test_behind_the_fade_the_drawn_weather_is_what_it_was_to_the_bit(folder, model):
    with_it, without = plan_in(folder, model), plan_in(folder, model, "")
    faded = 24.0 * (len(CHANCES) + 2)
    for run in range(60):
        skies = [HourlySky(plan, Streams(5, run)) for plan in (with_it, without)]
        for sky in skies:
            sky.reach(600.0)
        cut = [[(max(start, faded), end) for start, end in sky.spells if end > faded] for sky in skies]
        assert cut[0] == cut[1]
        after = [sky.block(2) for sky in skies]
        for one, other in zip(*after, strict=True):
            assert (one == other).all()


def test_it_fades_day_by_day_into_the_climate(folder):
    (folder / "outlook.csv").write_text("date,chance_of_rain_pct\n2031-04-02,100\n", encoding="utf-8")
    climate = wet_days(plan_in(folder, outlook=""), 6).mean()
    shares = wet_days(plan_in(folder), 6).mean(axis=0)
    expected = [1.0, 2 / 3 + climate / 3, 1 / 3 + 2 * climate / 3, climate]
    assert shares[:4] == pytest.approx(expected, abs=APART + 0.015)  # a spell may reach over midnight


def test_hours_of_a_day_have_chances_of_their_own(folder):
    lines = "".join(f"2031-04-02T{hour:02d}:00,{chance}\n" for hour, chance in ((0, 0), (6, 90), (12, 0), (18, 30)))
    (folder / "outlook.csv").write_text(f"time,chance_of_rain_pct\n{lines}", encoding="utf-8")
    plan = plan_in(folder)
    wet = np.zeros(4)
    for run in range(RUNS):
        sky = HourlySky(plan, Streams(5, run))
        sky.reach(24.0)
        for quarter in range(4):
            wet[quarter] += any(start < 6 * quarter + 6 and end > 6 * quarter for start, end in sky.spells)
    assert wet / RUNS == pytest.approx([0, 0.9, 0, 0.3], abs=APART)


@pytest.mark.parametrize("model", ["chain", "records"])
def test_wind_heat_and_amounts_are_those_of_the_outlook_and_rain_goes_with_its_spells(folder, model):
    (folder / "outlook.csv").write_text(
        "date,chance_of_rain_pct,rain_mm,wind_mps,gust_mps,temp_low_c,temp_high_c,rh_pct\n2031-04-02,100,12,9,15,10,20,70\n",
        encoding="utf-8",
    )
    plan = plan_in(folder, model)
    days = []
    for run in range(300):
        sky = HourlySky(plan, Streams(5, run))
        hours = sky.block(0)
        effects = np.zeros(HOURS, dtype=bool)
        for start, end in sky.spells:
            effects[int(start) : math.ceil(end)] = True
        assert ((hours.rain > 0) == effects).all()
        assert (hours.gust >= hours.wind).all()
        days.append(
            [
                hours.rain[:24].sum(),
                hours.wind[:24].mean(),
                hours.gust[:24].max(),
                hours.temperature[:24].min(),
                hours.temperature[:24].max(),
            ]
        )
    rain, wind, gust, low, high = np.array(days).T
    assert rain == pytest.approx(12.0)
    assert wind.mean() == pytest.approx(9 / 0.44704, rel=0.05)
    assert gust.mean() == pytest.approx(15 / 0.44704, rel=0.06)
    assert (low.mean(), high.mean()) == pytest.approx((10, 20), abs=0.4)
    assert low.std() == pytest.approx(1.5, rel=0.15)  # a forecaster errs


def test_what_an_outlook_does_not_speak_of_stays_as_it_was_drawn(folder):
    (folder / "outlook.csv").write_text("date,wind_mps\n2031-04-02,9\n2031-04-03,4\n", encoding="utf-8")
    with_it, without = plan_in(folder), plan_in(folder, outlook="")
    for run in range(20):
        one, other = (HourlySky(plan, Streams(5, run)) for plan in (with_it, without))
        assert (one.block(0).rain == other.block(0).rain).all()
        assert (one.block(0).temperature == other.block(0).temperature).all()
        assert one.spells == other.spells


def test_a_job_that_begins_within_a_day_has_the_chance_of_what_is_left_of_it(folder):
    (folder / "outlook.csv").write_text("date,chance_of_rain_pct\n2031-04-01,100\n2031-04-02,50\n", encoding="utf-8")
    text = f'{TEXT}{MODELS["chain"]}\n[weather.outlook]\nfile = "outlook.csv"\n'.replace("T00:00:00", "T12:00:00")
    plan = sky_plan(parse_scenario(text, folder=folder))
    assert [(one.start, one.end) for one in plan.outlook.periods[:1]] == [(0.0, 12.0)]
    assert plan.outlook.periods[0].chance == pytest.approx(1 - 0.5**0.5)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("date,chance_of_rain_pct\n2031-04-02,140\n", 'line 2, chance_of_rain_pct: holds "140"'),
        ("date,chance_of_rain_pct\n2031-04-02,wet\n", 'line 2, chance_of_rain_pct: holds "wet"'),
        ("date,chance_of_rain\n2031-04-02,40\n", 'line 2, chance_of_rain: holds "40"'),
        ("date,wind\n2031-04-02,9\n", "wind: does not tell its unit"),
        ("date,wind_mps,gust_mps\n2031-04-02,9,7\n", "line 2: the gust is below the mean wind"),
        ("date,temp_low_c,temp_high_c\n2031-04-02,9,7\n", "line 2: the low is above the high"),
        ("date,chance_of_rain_pct\n2031-04-03,40\n2031-04-02,40\n", "line 3, date:"),
        ("date,chance_of_rain_pct\ntomorrow,40\n", "line 2, date:"),
        ("date,chance_of_rain_pct\n2031-04-02T10:00Z,40\n", "tells a zone"),
        ("date,chance_of_rain_pct\n2031-04-02T10:30,40\n", "is no whole hour"),
        ("chance_of_rain_pct\n40\n", "no column is the time"),
        ("date,remarks\n2031-04-02,fine\n", "no column speaks of weather"),
        ("date,chance_of_rain_pct\n", "holds no days"),
        ("date,chance_of_rain_pct\n2032-04-02,40\n", "none of its days lies between the start and the last day simulated"),
        ("date,chance_of_rain_pct\n2030-04-02,40\n", "none of its days lies between the start and the last day simulated"),
    ],
)
def test_what_cannot_be_read_is_named_by_line_and_column(folder, text, said):
    (folder / "outlook.csv").write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioError) as error:
        plan_in(folder)
    assert said in " ".join(map(str, error.value.mistakes))


def test_runs_go_by_it_and_it_is_part_of_the_studys_identity(folder, keystrip):
    (folder / "plan.toml").write_text(f"{TEXT}{MODELS['chain']}\n", encoding="utf-8")
    elsewhere = folder / "mail"
    elsewhere.mkdir()
    (elsewhere / "next_days.csv").write_text("date;chance_of_rain_pct\n02.04.2031;100\n03.04.2031;0\n", encoding="utf-8")
    code, out, err = keystrip(
        "conditions", folder / "plan.toml", "--seasons", 3, "--outlook", elsewhere / "next_days.csv", "--full", "--out", "told"
    )
    assert code == 0, err
    assert "next_days.csv, 2 lines from 2031-04-02 00:00" in " ".join(out.split())

    def load(*changes):
        return load_scenario(folder / "plan.toml", also=(elsewhere,), changes=changes)

    added = Change("weather.outlook.file", '"next_days.csv"')
    named = [load(), load(added)]
    assert scenario_hash(named[0]) != scenario_hash(named[1])
    (elsewhere / "next_days.csv").write_text("date;chance_of_rain_pct\n02.04.2031;90\n03.04.2031;0\n", encoding="utf-8")
    assert scenario_hash(load(added)) != scenario_hash(named[1])
    # What is simulated is wet on the first day and dry on the second, as the outlook of the first scenario read with it says.
    run = simulate(compile_plan(named[1]), 3)
    assert run.site.reached[0] is not None
    run.site.sky.reach(48.0)
    spells = [spell for spell in run.site.sky.spells if spell[0] < 48.0]
    assert spells and all(end <= 24.0 for _, end in spells)
    assert any(step[4] == WET_SPELL and step[0] < 24.0 for step in run.site.trace)
