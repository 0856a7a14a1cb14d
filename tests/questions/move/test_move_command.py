"""`keystrip move` as a planner meets it."""

import json

import pytest
from scenarios import LEAST


@pytest.fixture
def files(tmp_path):
    (tmp_path / "old.toml").write_text(LEAST, encoding="utf-8")
    (tmp_path / "new.toml").write_text(LEAST.replace("on_hand = 80", "on_hand = 10") + '[leg]\ntime = "9 h"\n', encoding="utf-8")


@pytest.mark.usefixtures("files", "unpainted")
def test_the_answer_stands_last_in_80_columns_and_leaves_record_text_and_picture(keystrip, tmp_path):
    code, out, err = keystrip("move", "old.toml", "new.toml", "--runs", 4)
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True), err
    record = json.loads((tmp_path / "reports" / "old" / "move_new.json").read_text())["answer"]
    said = " ".join(out[out.rindex("\n\n") :].split())
    assert said.startswith(f"There is no field for {record['without_days']['middle']['days']:.1f} days (P50)")
    assert "Winching under load" in " ".join(out.split())
    left = {file.name for file in (tmp_path / "reports" / "old").glob("move*")}
    assert left == {f"move_new.{ending}" for ending in ("json", "txt", "png")}


@pytest.mark.usefixtures("files")
def test_what_is_wrong_with_the_second_file_is_said_of_the_second_file(keystrip, tmp_path):
    (tmp_path / "new.toml").write_text(LEAST.replace('"300 ft"', '"900 ft"').replace("on_hand = 80", "on_hand = 1"))
    code, _, err = keystrip("move", "old.toml", "new.toml", "--runs", 1)
    assert code == 2
    assert "new.toml" in err and "more is needed than will ever come" in " ".join(err.split())


@pytest.mark.usefixtures("files")
def test_a_crew_that_comes_from_nowhere_is_refused(keystrip, tmp_path):
    (tmp_path / "new.toml").write_text(LEAST + '[leg]\ncrews = ["rad"]\n')
    code, _, err = keystrip("move", "old.toml", "new.toml", "--runs", 1)
    assert code == 2 and 'leg.crews: there is no crew "rad"; did you mean red?' in " ".join(err.split())


@pytest.mark.usefixtures("unpainted")
@pytest.mark.parametrize("command", [("move", "old.toml", "new.toml"), ("lift", "old.toml")])
def test_a_first_file_whose_job_is_to_lay_is_warned_of_as_the_take_up_that_is_asked_for(keystrip, tmp_path, command):
    ship = '[[take_up.shipments]]\nname = "barge"\npallets = 90\ncomes = "2 day"\nchance = 0.9\n'
    (tmp_path / "old.toml").write_text(LEAST + ship, encoding="utf-8")
    (tmp_path / "new.toml").write_text(LEAST.replace("on_hand = 80", "on_hand = 10") + '[leg]\ntime = "9 h"\n', encoding="utf-8")
    _, _, err = keystrip(*command, "--runs", 1)
    assert "take_up.shipments.1.chance: never comes with a chance of 10 %" in " ".join(err.split())
