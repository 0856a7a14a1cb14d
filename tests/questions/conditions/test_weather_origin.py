"""Where the weather of a scenario comes from: what was filled in is counted once, for each variable its own."""

import numpy as np
import pytest
from scenarios import SHORT

from simulation.questions.conditions.study import expected_losses
from simulation.scenario import parse_scenario

RECORDS = """[weather]
model = "records"
[weather.records]
file = "station.csv"
use = "replay"
[stops.laying]
rain = "moderate"
wind = "13 m/s"
gust = "18 m/s"
"""


@pytest.fixture
def folder(tmp_path):
    def put(gusts):
        rows = [f"time,rain_mm,wind_mps{',gust_mps' if gusts else ''}"]
        for hour in range(24 * 120):
            if hour not in (500, 501, 502):
                gust = ",6" if hour % 400 else ","  # eight hours report none
                rows.append(f"{np.datetime64('2031-03-15T00') + hour},{int(hour % 31 < 3)},4{gust if gusts else ''}")
        (tmp_path / "station.csv").write_text("\n".join(rows) + "\n")
        return tmp_path

    return put


def origin(folder):
    scenario = parse_scenario(SHORT.partition("[weather]")[0] + RECORDS, folder=folder)
    return expected_losses(scenario, 2, months=1).origin


def test_hours_that_were_filled_in_are_counted_once_for_each_variable(folder):
    found = origin(folder(True))
    whole = "station.csv, 2,880 hours from 2031-03-15"
    assert found["rain in a wet hour"] == found["wind"] == f"{whole}, 3 of them filled in"
    assert found["gusts"] == f"{whole}; 1.5 times the mean wind in 11 that report none"


def test_gusts_of_a_record_without_them_are_told_as_planned(folder):
    assert origin(folder(False))["gusts"] == "1.5 times the mean wind of the record (planning value)"
