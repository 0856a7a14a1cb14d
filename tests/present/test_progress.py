"""The line that says how far the runs are."""

import pytest
from rich.console import Console

from simulation.present.progress import ProgressLines, progress_line, progress_words


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


def _told(pace, total, workers=1, announced=False, kept=0, step=0.25, what="runs"):
    """Return what a pipe is told of work of a steady pace, with the second at which each line comes, by a clock of our own."""
    now = 0.0
    lines: list[tuple[float, str]] = []
    told = ProgressLines(lambda line: lines.append((now, line)), what, workers, announced, lambda: now)
    while (done := kept + int(pace * now)) < total:
        told(done, total)
        now += step
    told(total, total)
    return lines


def test_a_pipe_is_told_within_a_second_how_long_it_takes_and_every_ten_seconds_how_far_it_is():
    (at, first), *others = _told(20.0, 800)
    assert at <= 1.0
    assert first == "about 40 s for 795 runs"
    assert [second - at for second, _ in others] == [10.0, 20.0, 30.0]
    assert others[0][1] == "25 %, 205 of 800 runs, 20 a second, 30 s left"


def test_work_of_a_moment_is_done_without_a_word():
    assert _told(200.0, 400) == []


def test_runs_that_were_kept_before_shorten_the_time_and_do_not_quicken_the_pace():
    assert _told(20.0, 800, kept=600)[0][1] == "about 10 s for 195 runs"


def test_what_the_question_has_said_itself_is_not_said_twice():
    lines = _told(20.0, 800, announced=True)
    assert [at for at, _ in lines] == [10.0, 20.0, 30.0]
    assert all("left" in line for _, line in lines)


def test_what_comes_after_the_runs_is_told_anew_by_its_own_name_and_pace():
    now = 0.0
    lines: list[str] = []
    told = ProgressLines(lines.append, clock=lambda: now)
    for second in range(8):
        now = float(second)
        told(100 * second, 1000)
    for day in range(4):
        now += 1.0
        told(day, 50, "days")
    assert lines == ["about 9 s for 900 runs", "about 50 s for 49 days"]


def test_two_workers_take_half_the_time_of_the_one_that_began():
    assert _told(20.0, 800, workers=2)[0][1] == "about 20 s for 795 runs"


def test_a_time_that_is_hardly_known_is_told_roughly_and_a_film_counts_pictures():
    assert _told(20.0, 6000, what="pictures")[0][1] == "about 5 min for 5,995 pictures"
