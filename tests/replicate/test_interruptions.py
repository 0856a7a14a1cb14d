"""Is anything lost, or different, when a forecast is killed or stopped at any moment and the same command is given again?"""

import os
import random
import signal
import time
from itertools import pairwise

import pytest
from noted_batches import __file__ as noted_batches
from noted_batches import read_notes
from real_runs import (
    FEW,
    MANY,
    REPORT,
    Run,
    forecast,
    hears,
    here,
    kept,
    members,
    names_in,
    numbers_of,
    scenario_in,
    stored,
    undisturbed,
    whole_reports,
    within,
    workers_of,
)

from simulation.replicate.store import FILE

MAIN = signal.SIGTERM  # has a handler of its own from the command's first moment on


def finishes(words, runs, *, like=None):
    """Give the command once more, undisturbed, and check that it comes to what it would have come to."""
    ended = here(*words)
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == (like or undisturbed(runs).numbers)
    return ended


def nothing_else_than_undisturbed(folder, runs):
    """Check that what is kept is right to the bit, and return how many runs that is."""
    reference, found = undisturbed(runs).records, kept(folder)
    assert all(record == reference[number] for number, record in found.items())
    return len(found)


@pytest.mark.parametrize(("workers", "seed"), [pytest.param(1, 20, marks=pytest.mark.slow), (2, 21)])
def test_nothing_is_lost_when_the_program_is_killed_again_and_again(tmp_path, workers, seed):
    luck = random.Random(seed)
    out, seen = tmp_path / "out", 0
    words = forecast(scenario_in(tmp_path), out, MANY, workers)
    for more in (None, luck.randrange(60), luck.randrange(60)):
        run = Run(tmp_path, *words, anew=more is None)
        if more is None:
            run.until(lambda run=run: hears(run.pid, MAIN))
            time.sleep(luck.uniform(0, 0.8))
        else:
            wanted = min(seen + more, MANY - 1)
            run.until(lambda wanted=wanted: stored(out) > wanted)
            time.sleep(luck.uniform(0, 0.15))
        seen = max(seen, stored(out))
        os.kill(run.pid, signal.SIGKILL)  # the parent alone: its workers have to notice
        assert run.end().code == -signal.SIGKILL
        within(20, lambda run=run: not members(run.pid))
        if seen:
            assert nothing_else_than_undisturbed(out, MANY) >= seen
    ended = finishes(forecast(scenario_in(tmp_path), out, MANY), MANY)
    assert any("runs of this study are kept in" in line for line in ended.said)
    assert kept(out) == undisturbed(MANY).records


def test_what_was_done_before_the_batch_at_hand_is_on_disk_and_no_batch_takes_a_second(tmp_path):
    notes, out = tmp_path / "notes", tmp_path / "out"
    words = forecast(scenario_in(tmp_path), out, 20 * MANY)
    run = Run(tmp_path, notes, 6, tmp_path / "never", *words, script=noted_batches)
    run.until(lambda: len(read_notes(notes)) == 6)
    run.signal_all(signal.SIGKILL)
    run.end()
    begun = read_notes(notes)
    finished = {number for _, numbers in begun[:-1] for number in numbers}
    assert len(finished) > 5
    assert finished <= set(kept(out))
    times = [spent for spent, _ in begun]
    assert all(later - earlier < 1.0 for earlier, later in pairwise(times[1:]))


def test_a_worker_that_is_killed_changes_no_number(tmp_path):
    luck = random.Random(23)
    out = tmp_path / "out"
    run = Run(tmp_path, *forecast(scenario_in(tmp_path), out, MANY, 2))
    wanted = luck.randrange(2, 100)
    run.until(lambda: stored(out) > wanted and workers_of(run))
    os.kill(luck.choice(workers_of(run)), signal.SIGKILL)
    ended = run.end()
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == undisturbed(MANY).numbers
    assert kept(out) == undisturbed(MANY).records
    assert len(ended.said) == 1


def test_a_kill_while_the_report_is_written_leaves_no_half_of_one(tmp_path):
    out = tmp_path / "out"
    words = forecast(scenario_in(tmp_path), out, FEW)
    run = Run(tmp_path, *words)
    run.until(lambda: list(out.glob(".*/*")))
    run.signal_all(signal.SIGKILL)
    run.end()
    assert not REPORT & names_in(out)
    finishes(words, FEW)
    assert names_in(out) == {FILE, *REPORT}


def check_stopped(ended, out, runs):
    """Check that an interrupted command left what it did, and said so."""
    done = stored(out)
    lines = "\n".join(ended.said)
    assert "Traceback" not in lines
    if done:
        assert nothing_else_than_undisturbed(out, runs) == done
        assert ended.code == 3, ended
        assert f"{done} runs are kept in {out}; the same command goes on from there" in lines
    else:
        # Where Ctrl-C meets a text that is being executed, Python ends by the signal: a shell shows 130 for both.
        assert ended.code in (130, -signal.SIGINT), ended
        assert "stopped" in lines
    if out.exists():
        whole_reports(out, done)


@pytest.mark.parametrize("seed", [30, pytest.param(31, marks=pytest.mark.slow)])
def test_stopped_before_the_first_run_it_says_so(tmp_path, seed):
    out = tmp_path / "out"
    run = Run(tmp_path, *forecast(scenario_in(tmp_path), out, MANY), anew=True)
    run.until(lambda: hears(run.pid, MAIN))
    time.sleep(random.Random(seed).uniform(0.05, 0.4))
    run.signal_all(signal.SIGINT)
    check_stopped(run.end(), out, MANY)


@pytest.mark.slow
@pytest.mark.parametrize(("what", "workers", "seed"), [("SIGINT", 2, 33), ("SIGTERM", 1, 34)])
def test_stopped_at_any_run_it_keeps_what_is_done_and_the_same_command_goes_on(tmp_path, what, workers, seed):
    luck = random.Random(seed)
    out = tmp_path / "out"
    words = forecast(scenario_in(tmp_path), out, MANY, workers)
    run = Run(tmp_path, *words)
    wanted = luck.randrange(60)
    run.until(lambda: stored(out) > wanted)
    time.sleep(luck.uniform(0, 0.1))
    if what == "SIGINT":
        run.signal_all(signal.SIGINT)
    else:
        os.kill(run.pid, signal.SIGTERM)
    ended = run.end()
    check_stopped(ended, out, MANY)
    assert whole_reports(out, numbers_of(ended.out)["runs"]) == len(REPORT)
    within(20, lambda: not members(run.pid))
    finishes(forecast(scenario_in(tmp_path), out, MANY), MANY)
    assert names_in(out) == {FILE, *REPORT}


@pytest.mark.parametrize(("what", "moment"), [("SIGINT", "runs are read"), ("SIGTERM", "report is written")])
def test_stopped_when_all_runs_are_done_it_says_that_the_same_command_goes_on(tmp_path, what, moment):
    out = tmp_path / "out"
    words = forecast(scenario_in(tmp_path), out, FEW)
    run = Run(tmp_path, *words)
    if moment == "runs are read":
        run.until(lambda: stored(out) == FEW)
    else:
        run.until(lambda: list(out.glob(".*/*")))
    run.signal_all(getattr(signal, what))
    check_stopped(run.end(), out, FEW)


@pytest.mark.slow
def test_a_precision_is_reached_at_the_same_run_after_a_kill(tmp_path):
    luck = random.Random(24)
    scenario = scenario_in(tmp_path)
    asked = ("forecast", scenario, "--precision", "82 min", "--most", 3000, "--json")
    alone = here(*asked, "--workers", 1, "--out", tmp_path / "alone")
    assert alone.code == 0
    runs = numbers_of(alone.out)["runs"]
    assert 400 < runs < 3000
    out = tmp_path / "out"
    run = Run(tmp_path, *asked, "--workers", 2, "--out", out)
    # Between two looks, where fewer runs than it takes would already be precise enough, were they looked at.
    wanted = luck.randrange(450, 500)
    run.until(lambda: stored(out) > wanted)
    run.signal_all(signal.SIGKILL)
    assert run.end().code == -signal.SIGKILL
    finishes((*asked, "--workers", 1, "--out", out), runs, like=numbers_of(alone.out))
    assert kept(out) == kept(tmp_path / "alone")
