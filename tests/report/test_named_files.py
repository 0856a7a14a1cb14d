"""Is nothing of a planner's own replaced, and nothing left half written?"""

import os

import pytest

from simulation.report.drafts import keep, write_whole
from simulation.report.named_files import RECORD, refusal, write_named, write_new


def written(file, text):
    return write_named(file, lambda made: made.write_text(text))


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


@pytest.mark.parametrize("record", [None, "", "[]", '{"order.csv": 7}', "[" * 10**5, '{"order.csv": "0"}'])
def test_what_somebody_else_wrote_or_changed_is_refused_unless_it_is_forced(tmp_path, record):
    file = tmp_path / "order.csv"
    file.write_text("my own notes")
    if record is not None:
        (tmp_path / RECORD).write_text(record)
    assert "--force" in refusal(file, False)
    assert refusal(file, True) == ""
    written(file, "one")
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
        write_named(file, fails)
    assert file.read_text() == "one"
    assert {entry.name for entry in tmp_path.iterdir()} == {RECORD, "order.csv"}


def test_a_new_file_is_new(tmp_path):
    write_new(tmp_path / "mine.toml", "one")
    with pytest.raises(FileExistsError):
        write_new(tmp_path / "mine.toml", "two")
    assert (tmp_path / "mine.toml").read_text() == "one"
    assert [entry.name for entry in tmp_path.iterdir()] == ["mine.toml"]


def test_no_answer_replaces_what_it_is_made_from(tmp_path):
    data = tmp_path / "replications.csv"
    data.write_text("s\n40\n50\n")
    keep([data])

    def report(draft):
        for name in ("replications.csv", "summary.json"):
            (draft / name).write_text("of a report")
        return [draft / "replications.csv", draft / "summary.json"]

    with pytest.raises(OSError, match="is what the answer is made from"):
        write_whole(tmp_path, report)
    assert data.read_text() == "s\n40\n50\n"
    assert [entry.name for entry in tmp_path.iterdir()] == ["replications.csv"]


def test_a_record_that_is_a_pipe_is_not_waited_for(tmp_path):
    (tmp_path / "order.csv").write_text("mine")
    os.mkfifo(tmp_path / RECORD)
    assert "--force" in refusal(tmp_path / "order.csv", False)


def test_a_file_that_cannot_be_read_is_not_replaced(tmp_path, monkeypatch):
    file = written(tmp_path / "order.csv", "one")

    def unreadable(_):
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("simulation.report.named_files._digest", unreadable)
    assert "cannot be read (Input/output error)" in refusal(file, False)
