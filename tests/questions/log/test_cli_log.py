"""`keystrip log` from the outside: an empty log that fits the scenario, and each mistake of a kept one by its line."""

import pytest
from scenarios import SHORT, SHORT_LOG


@pytest.fixture(autouse=True)
def short(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    (tmp_path / "log.csv").write_text(SHORT_LOG, encoding="utf-8")


def test_an_empty_log_has_a_line_for_each_shift_and_says_that_nothing_has_begun(keystrip, tmp_path):
    code, _, _ = keystrip("log", "new", "short.toml", "new.csv")
    assert code == 0
    lines = (tmp_path / "new.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("date,shift,crew,people,area,side,rows,")
    assert lines[1].startswith("2031-04-02,06:00-18:00,red,,strip,")
    assert len(lines) == 1 + 2 * 7
    code, out, err = keystrip("log", "check", "short.toml", "new.csv")
    assert (code, err) == (0, "")
    assert "nothing in it yet, so the work has not begun" in out


def test_no_log_is_overwritten(keystrip, tmp_path):
    code, _, err = keystrip("log", "new", "short.toml", "log.csv")
    assert code == 2
    assert "exists already and is not overwritten" in err
    assert (tmp_path / "log.csv").read_text(encoding="utf-8") == SHORT_LOG


def test_a_sound_log_is_told_in_a_line_with_what_its_missing_columns_mean(keystrip):
    code, out, _ = keystrip("log", "check", "short.toml", "log.csv")
    assert code == 0
    assert "log.csv: sound; 1 line up to Wed 2 Apr 2031 12:00: 4 rows laid, 20 % of the field; 12 pallets came" in out
    assert "log.csv: forklifts up: the log has no such column; all forklifts are taken to be in order" in out


@pytest.mark.parametrize("command", ["log check", "update", "forecast", "bottlenecks"])
def test_a_bad_log_ends_every_command_with_its_line_and_stays_as_it_is(keystrip, tmp_path, command):
    bad = SHORT_LOG.replace(",4,5,", ",40,5,")
    (tmp_path / "bad.csv").write_text(bad, encoding="utf-8")
    words = ("short.toml", "bad.csv") if command == "log check" else ("short.toml", "--log", "bad.csv", "--runs", 2)
    code, out, err = keystrip(*command.split(), *words)
    assert (code, out) == (2, "")
    assert "bad.csv: line 2, rows: 40 rows are more than the 20 that are left of strip" in err
    assert (tmp_path / "bad.csv").read_text(encoding="utf-8") == bad


def test_an_update_leaves_its_log_as_it_is_even_where_its_answer_would_go(keystrip, tmp_path):
    code, _, _ = keystrip("update", "short.toml", "--log", "log.csv", "--runs", 2, "--workers", 1)
    assert code == 0
    assert (tmp_path / "log.csv").read_text(encoding="utf-8") == SHORT_LOG
    (tmp_path / "update.txt").write_text(SHORT_LOG, encoding="utf-8")
    code, _, err = keystrip("update", "short.toml", "--log", "update.txt", "--out", ".", "--runs", 2, "--workers", 1, "--force")
    assert code == 2
    assert "is what the answer is made from, and is never replaced" in err


def test_an_update_without_a_log_says_what_it_reads(keystrip):
    code, _, err = keystrip("update", "short.toml")
    assert code == 2
    assert "keystrip log new SCENARIO writes one to fill in" in err


def test_a_moment_without_a_log_and_one_that_is_none_are_said(keystrip):
    assert "give --log as well" in keystrip("forecast", "short.toml", "--at", "2031-04-02T12:00")[2]
    code, _, err = keystrip("update", "short.toml", "--log", "log.csv", "--at", "noon")
    assert code == 2
    assert '--at: "noon" is no moment; write 2031-04-05T18:00' in err
