"""What is legal and out of what the trade has seen is questioned by its key, with the usual range and where that comes from."""

import pytest
from every_key_scenario import ENDINGS, MODELS, every_key
from scenarios import sound

from simulation.construction import find_warnings
from simulation.scenario import load_scenario, parse_scenario, shipped, shipped_names
from simulation.scenario.types.usual import MANY_RECORDS, range_of, unusual

TRUCK = '[[supply.trucks]]\ncount = 2\nhaul = {}\nreturn = "1 h"'


def questioned(*more, folder=None, top=""):
    scenario = parse_scenario(sound(*more, top=top), folder=folder)
    return list(unusual(scenario, scenario.measures))


@pytest.mark.parametrize(
    ("text", "key", "words"),
    [
        ('[laying]\nplace = { p10 = "2 s", p90 = "5 s" }', "laying.place", "3.16 s in the middle is out of the usual range, 10"),
        (TRUCK.format('"20 s"'), "supply.trucks.1.haul", "20 s is out of the usual range, 5 min to 36 h"),
        ('[laying]\nwalk = "20 mph"', "laying.walk", "20 mph is out of the usual range, 0.5 mph to 4 mph (a person who carries"),
        ('[forklifts]\nspeed = "60 mph"', "forklifts.speed", "60 mph is out of the usual range, 1 mph to 20 mph"),
        ("[laying]\nefficiency = 0.99", "laying.efficiency", "0.99 is out of the usual range, 0.1 to 0.92 (planning value"),
        ('[forklifts]\nbreakdown_every = "1 min"', "forklifts.breakdown_every", "60 s is out of the usual range, 8 h or more"),
        ('[grading]\nrate = "3 ft**2/h"', "grading.rate", "3 sq ft/h is out of the usual range, 300 sq ft/h to 100,000 sq ft/h"),
    ],
)  # fmt: skip
def test_a_value_out_of_the_trades_range_is_questioned_by_its_key(text, key, words):
    (found,) = questioned(text)
    assert found.key == key
    assert words in found.wrong
    assert found.right == "check the number and its unit; leave it if it is meant"


def test_a_range_is_told_in_the_units_of_the_scenario():
    (found,) = questioned('[laying]\nwalk = "32 km/h"', top='units = "metric"')
    assert found.wrong.startswith("32 km/h is out of the usual range, 0.8 km/h to 6.4 km/h")


@pytest.mark.parametrize(("count", "said"), [(MANY_RECORDS - 1, []), (300, ["laying.place.data"])])
def test_a_log_row_by_row_is_no_level(tmp_path, count, said):
    (tmp_path / "log.csv").write_text("row,seconds\n" + "".join(f"{row},{30 + row % 20}\n" for row in range(count)))
    found = questioned('[laying]\nplace = { data = "log.csv", column = "seconds", unit = "s" }', folder=tmp_path)
    assert [one.key for one in found] == said
    assert all(f"log.csv has {count} values" in one.wrong and "one line for each job" in one.right for one in found)


def test_records_in_another_unit_than_stated_are_questioned(tmp_path):
    (tmp_path / "jobs.csv").write_text("seconds\n31\n40\n52\n")
    (found,) = questioned('[laying]\nplace = { data = "jobs.csv", unit = "min" }', folder=tmp_path)
    assert found.wrong.startswith("40 min in the middle is out of the usual range")


def test_check_says_it_and_every_other_command_too():
    scenario = parse_scenario(sound('[laying]\nwalk = "20 mph"'))
    assert "laying.walk" in [one.key for one in find_warnings(scenario)]


def test_what_is_left_out_on_purpose_is_not_questioned():
    assert questioned('[laying]\nopen_pallet = "0 s"\n[forklifts]\nbreakdown_every = "1000000 h"') == []


def test_no_default_and_no_shipped_scenario_is_unusual():
    assert questioned() == []
    for scenario in [*(load_scenario(shipped(name)) for name in shipped_names()), *map(every_key, ENDINGS)]:
        assert list(unusual(scenario, scenario.measures)) == []


def test_every_range_has_an_origin_and_rises():
    ranges = [one for model in MODELS.values() for name in model.model_fields if (one := range_of(model, name)) is not None]
    assert len(ranges) > 200
    for usual in ranges:
        assert usual.origin == "planning value" or "common practice" in usual.origin
        least, most = usual.ends
        assert least < most
