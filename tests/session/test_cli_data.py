"""May data files lie in a folder that is named, with every command that reads a scenario, and nowhere else?"""

from datetime import datetime, timedelta

import pytest
from scenarios import SHORT

from simulation.cli import app

WITH_DATA = {command.name for command in app.registered_commands} - {"new", "studies", "repeat"}


@pytest.fixture
def elsewhere(tmp_path):
    folder = tmp_path / "records"
    folder.mkdir()
    (folder / "places.csv").write_text("s\n40\n50\n", encoding="utf-8")
    text = f'{SHORT}\n[laying]\nplace = {{ data = "places.csv", unit = "s" }}\n'
    assert "[laying]" not in SHORT
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    return folder


def test_a_folder_that_is_named_is_looked_into(keystrip, elsewhere):
    code, _, said = keystrip("check", "mine.toml")
    assert (code, "laying.place.data" in said) == (2, True)
    code, _, said = keystrip("check", "mine.toml", "--data", elsewhere)
    assert code == 0, said
    code, _, said = keystrip("check", "mine.toml")  # it holds for one command alone
    assert code == 2


def test_one_that_is_not_there_is_named(keystrip, elsewhere):
    code, _, said = keystrip("check", "mine.toml", "--data", elsewhere / "more")
    assert (code, said.count("\n")) == (2, 1)
    assert said.startswith("keystrip: --data: there is no folder ")


@pytest.mark.parametrize("command", sorted({command.name for command in app.registered_commands}))
def test_every_command_that_reads_a_scenario_takes_it_and_no_other(keystrip, command):
    code, out, _ = keystrip(command, "--help")
    assert code == 0
    assert ("--data" in out) == (command in WITH_DATA)


def test_a_data_file_that_bears_the_name_of_a_report_s_is_not_replaced(keystrip, tmp_path):
    (tmp_path / "runs.csv").write_text("s\n40\n50\n", encoding="utf-8")
    text = f'{SHORT}\n[laying]\nplace = {{ data = "runs.csv", unit = "s" }}\n'
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    code, _, said = keystrip("forecast", "mine.toml", "--runs", 2, "--workers", 1, "--out", tmp_path)
    assert (code, "never replaced" in said) == (2, True)
    assert (tmp_path / "runs.csv").read_text(encoding="utf-8") == "s\n40\n50\n"


def test_a_line_feed_in_a_name_makes_no_second_line(keystrip):
    code, _, said = keystrip("studies", "a\nkeystrip: report in x")
    assert (code, said.count("\n")) == (2, 1)


def test_a_record_of_weather_is_not_replaced_by_what_is_said_of_it(keystrip, tmp_path):
    hours = "".join(
        f"{datetime(2031, 1, 1) + timedelta(hours=hour):%Y-%m-%d %H:%M},{(hour % 7 == 0) * 1.2}\n" for hour in range(960)
    )
    (tmp_path / "weather.json").write_text(f"time,rain_mm\n{hours}", encoding="utf-8")
    before = (tmp_path / "weather.json").read_text(encoding="utf-8")
    code, _, said = keystrip("weather", tmp_path / "weather.json", "--by", "year", "--out", tmp_path, "--force")
    assert (code, "never replaced" in said) == (2, True), said
    assert (tmp_path / "weather.json").read_text(encoding="utf-8") == before


def test_an_outlook_from_elsewhere_is_read_unless_another_of_its_name_lies_beside_the_scenario(keystrip, elsewhere, tmp_path):
    text = "date,chance_of_rain_pct\n2031-04-02,90\n"
    (elsewhere / "next.csv").write_text(text, encoding="utf-8")
    words = ("conditions", "mine.toml", "--data", elsewhere, "--seasons", 2, "--out", "out")
    code, _, said = keystrip(*words, "--outlook", elsewhere / "next.csv")
    assert code == 0, said
    (tmp_path / "next.csv").write_text(text, encoding="utf-8")
    code, out, said = keystrip(*words, "--outlook", elsewhere / "next.csv")
    assert (code, out) == (2, "")
    assert "another file of that name lies beside mine.toml" in said
    code, out, said = keystrip(*words, "--outlook", elsewhere / "none.csv")
    assert (code, out) == (2, "")
    assert "--outlook: there is no file" in said
