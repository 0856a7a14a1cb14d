"""Is nothing of a planner's own replaced, and nothing left half written?"""

import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from simulation.present import own_files
from simulation.present.own_files import RECORD, NotReplaced, keep, write_file, write_new, write_whole


def refusal(file, force=False, command="trace"):
    return own_files.refusal(file, command, force)


def written(file, text, command="trace", force=False):
    return write_file(file, lambda made: made.write_text(text), command, force)


def test_what_was_written_here_may_be_written_again(tmp_path):
    file = tmp_path / "order.csv"
    assert refusal(file, False) == ""
    assert written(file, "one") == file
    assert refusal(file, False) == ""
    written(tmp_path / "field.svg", "two")
    written(file, "three")
    assert file.read_text() == "three"
    assert refusal(tmp_path / "field.svg", False) == ""
    assert {entry.name for entry in tmp_path.iterdir()} == {RECORD, "order.csv", "field.svg"}


@pytest.mark.parametrize(
    "record",
    [None, "", "[]", '{"order.csv": 7}', "[" * 10**5, '{"order.csv": {"by": "trace", "sha256": []}}', '{"order.csv": {}}'],
)
def test_what_somebody_else_wrote_or_changed_is_refused_unless_it_is_forced(tmp_path, record):
    file = tmp_path / "order.csv"
    file.write_text("my own notes")
    if record is not None:
        (tmp_path / RECORD).write_text(record)
    assert "--force" in refusal(file, False)
    assert refusal(file, True) == ""
    with pytest.raises(NotReplaced, match="stands in no record"):
        written(file, "one")
    assert file.read_text() == "my own notes"
    written(file, "one", force=True)
    file.write_text("one, and a note")
    assert "changed since" in refusal(file, False)


def test_what_an_answer_is_made_from_is_never_replaced(tmp_path):
    scenario, link = tmp_path / "mine.toml", tmp_path / "order.csv"
    scenario.write_text("title = 'Mine'")
    link.symlink_to(scenario)
    keep([scenario])
    for file in (scenario, link):
        assert "never replaced" in refusal(file, True)
    assert "is no file" in refusal(tmp_path, True)


def test_a_file_that_cannot_be_finished_leaves_what_was_there(tmp_path):
    file = written(tmp_path / "order.csv", "one")

    def fails(made):
        made.write_text("half")
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="space"):
        write_file(file, fails, "trace")
    assert file.read_text() == "one"
    assert {entry.name for entry in tmp_path.iterdir()} == {RECORD, "order.csv"}


def test_a_new_file_is_new(tmp_path):
    write_new(tmp_path / "mine.toml", "one")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "mine.toml", "two")
    assert (tmp_path / "mine.toml").read_text() == "one"
    assert [entry.name for entry in tmp_path.iterdir()] == ["mine.toml"]


def test_no_answer_replaces_what_it_is_made_from(tmp_path):
    data = tmp_path / "runs.csv"
    data.write_text("s\n40\n50\n")
    keep([data])

    def report(draft):
        for name in ("runs.csv", "forecast.json"):
            (draft / name).write_text("of a report")
        return [draft / "runs.csv", draft / "forecast.json"]

    with pytest.raises(OSError, match="is what the answer is made from"):
        write_whole(tmp_path, report, "forecast")
    assert data.read_text() == "s\n40\n50\n"
    assert [entry.name for entry in tmp_path.iterdir()] == ["runs.csv"]


def test_a_record_that_is_a_pipe_is_not_waited_for(tmp_path):
    (tmp_path / "order.csv").write_text("mine")
    os.mkfifo(tmp_path / RECORD)
    assert "--force" in refusal(tmp_path / "order.csv", False)


def test_a_file_that_cannot_be_read_is_not_replaced(tmp_path, monkeypatch):
    file = written(tmp_path / "order.csv", "one")

    def unreadable(_):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("simulation.present.own_files._digest", unreadable)
    assert "cannot be read (Input/output error)" in refusal(file, False)


def test_what_one_command_wrote_another_replaces_only_if_it_is_forced(tmp_path):
    file = written(tmp_path / "order.csv", "the steps")
    assert "was written by keystrip trace, not by keystrip takeoff --csv" in refusal(file, False, "takeoff --csv")
    with pytest.raises(NotReplaced, match="written by keystrip trace"):
        written(file, "the order", "takeoff --csv")
    assert file.read_text() == "the steps"
    written(file, "the order", "takeoff --csv", force=True)
    assert refusal(file, False, "takeoff --csv") == ""
    assert "takeoff --csv" in refusal(file, False)


def test_of_several_files_none_is_written_where_one_may_not_be(tmp_path):
    def report(draft):
        for name in ("runs.csv", "forecast.json"):
            (draft / name).write_text("of a report")
        return [draft / "runs.csv", draft / "forecast.json"]

    (tmp_path / "forecast.json").write_text("mine")
    with pytest.raises(NotReplaced):
        write_whole(tmp_path, report, "forecast")
    assert [(entry.name, entry.read_text()) for entry in tmp_path.iterdir()] == [("forecast.json", "mine")]
    write_whole(tmp_path, report, "forecast", force=True)
    assert {entry.name for entry in tmp_path.iterdir()} == {RECORD, "runs.csv", "forecast.json"}


def test_a_kill_between_record_and_file_leaves_a_file_that_is_still_the_command_s_own(tmp_path, monkeypatch):
    file, replace = written(tmp_path / "order.csv", "one"), Path.replace
    for _ in range(2):
        with monkeypatch.context() as killed, pytest.raises(KeyboardInterrupt):
            killed.setattr(Path, "replace", lambda old, new: replace(old, new) if new.name == RECORD else breaks_off())
            written(file, "two")
        assert (file.read_text(), refusal(file)) == ("one", "")
    written(file, "three")
    assert (file.read_text(), refusal(file)) == ("three", "")


def breaks_off():
    raise KeyboardInterrupt


def test_the_record_knows_what_each_of_many_at_once_wrote_last(tmp_path):
    def many(number):
        for turn in range(12):
            written(tmp_path / "order.csv", f"{number} {turn}")
            written(tmp_path / f"{number}.csv", f"{turn}")

    with ThreadPoolExecutor(4) as hands:
        list(hands.map(many, range(4)))
    assert [refusal(tmp_path / name) for name in ("order.csv", *(f"{number}.csv" for number in range(4)))] == [""] * 5


def test_the_record_itself_is_no_file_of_an_answer(tmp_path):
    assert "is the record" in refusal(tmp_path / RECORD, True)
