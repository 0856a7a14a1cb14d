"""The line that says how far the runs are."""

import pytest
from rich.console import Console

from simulation.present.progress import progress_line, progress_words


@pytest.mark.parametrize(
    ("done", "total", "speed", "words"),
    [
        (0, 400, None, "0 %, 0 of 400 runs"),
        (180, 400, 35.0, "45 %, 180 of 400 runs, 35 a second, 6 s left"),
        (1000, 20000, 2.5, "5 %, 1,000 of 20,000 runs, 2.5 a second, 2 h 6 min left"),
        (399, 400, 0.004, "99 %, 399 of 400 runs, 0.0 a second, 4 min 10 s left"),
        (400, 400, 35.0, "100 %, 400 of 400 runs, 35 a second, 0 s left"),
    ],
)
def test_it_says_share_runs_rate_and_time_left(done, total, speed, words):
    assert progress_words(done, total, speed) == words


def test_it_stands_on_one_line_of_a_terminal_and_is_gone_afterwards(monkeypatch, capsys):
    console = Console(stderr=True, force_terminal=True, width=80, color_system=None)
    monkeypatch.setattr("rich.console.Console", lambda **_: console)
    with progress_line() as advance:
        advance(3, 10)
        console.print("kept")  # has the line drawn anew
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "30 %, 3 of 10 runs" in shown.err
    assert "\x1b[2K" in shown.err.rsplit("runs", 1)[-1]
