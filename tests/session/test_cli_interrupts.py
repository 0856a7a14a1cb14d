"""Is every interrupt heard, at whatever moment and however often, and does the program then end at once?"""

import contextlib
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from real_runs import stored
from scenarios import SHORT

import simulation
from simulation import cli
from simulation.replicate import Runs, Workshop
from simulation.scenario import parse_scenario
from simulation.session import asking, interrupts
from simulation.session.exit_codes import FAULT

ROOT = Path(simulation.__file__).resolve().parents[1]


def started(folder, *words):
    (folder / "short.toml").write_text(SHORT, encoding="utf-8")
    return subprocess.Popen(
        [sys.executable, "-m", "simulation", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def hears(pid):
    """Return whether a process has a handler of its own for a request to end."""
    status = Path(f"/proc/{pid}/status")
    if not status.exists():
        pytest.skip("this system does not tell which signals a process listens to")
    (mask,) = (line for line in status.read_text().splitlines() if line.startswith("SigCgt"))
    return bool(int(mask.split()[1], 16) >> (signal.SIGTERM - 1) & 1)


@pytest.mark.parametrize("what", ["SIGINT", "SIGTERM"])
def test_an_interrupt_while_the_program_is_loaded_is_one_line(tmp_path, what):
    for wait in (0.0, 0.05, 0.2):
        process = started(tmp_path, "forecast", "short.toml", "--runs", "40")
        while not hears(process.pid):
            time.sleep(0.002)
        time.sleep(wait)
        os.killpg(process.pid, getattr(signal, what))
        out, said = process.communicate(timeout=60)
        # What is being loaded may swallow it; then the runs that were done by the next word are kept.
        assert (process.returncode, out) in ((130, ""), (3, "")) and re.fullmatch(r"keystrip: stopped[^\n]*\n", said), wait


def test_an_interrupt_that_a_library_swallows_is_raised_at_the_next_word_until_it_is_noticed():
    with interrupts.heard():
        with contextlib.suppress(KeyboardInterrupt):  # as a library does while it is loaded
            os.kill(os.getpid(), signal.SIGTERM)
            time.sleep(1)
        with pytest.raises(KeyboardInterrupt):
            interrupts.raise_swallowed()
        interrupts.notice()
        interrupts.raise_swallowed()


def test_nothing_more_is_said_of_runs_to_do_once_an_interrupt_was_swallowed(capsys, monkeypatch):
    asking._say_unless_stopped("to do: 4 runs")
    monkeypatch.setattr(interrupts, "asked", lambda: True)
    monkeypatch.setattr(interrupts, "_noticed", False)
    with pytest.raises(KeyboardInterrupt):
        asking._say_unless_stopped("to do: 4 runs")
    assert capsys.readouterr().err == "keystrip: to do: 4 runs\n"


@pytest.mark.parametrize("what", ["SIGINT", "SIGTERM"])
def test_three_interrupts_in_a_row_end_it_once_and_soon(tmp_path, what):
    process = started(tmp_path, "forecast", "short.toml", "--runs", "20000", "--workers", "2", "--out", "out")
    while not stored(tmp_path / "out"):
        time.sleep(0.01)
    began = time.monotonic()
    for _ in range(3):
        os.killpg(process.pid, getattr(signal, what))
        time.sleep(0.1)
    _, said = process.communicate(timeout=60)
    assert process.returncode == 3
    assert said.count("the same command goes on from there") == 1
    assert "Traceback" not in said and "semaphore" not in said
    assert time.monotonic() - began < 30.0


def test_an_interrupt_that_a_library_swallows_comes_again(monkeypatch):
    monkeypatch.setattr(interrupts, "QUIET", 0.05)
    swallowed = 0
    with pytest.raises(KeyboardInterrupt), interrupts.heard():
        try:
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(1.0)
        except KeyboardInterrupt:
            swallowed += 1
        time.sleep(1.0)
    assert swallowed == 1
    time.sleep(0.2)  # and not once more, when the command is over


def test_an_interrupt_where_memory_is_freed_says_nothing_there_and_comes_again(monkeypatch, capsys):
    monkeypatch.setattr(interrupts, "QUIET", 0.05)
    monkeypatch.setattr(sys, "unraisablehook", sys.__unraisablehook__)

    class Freed:
        def __del__(self):
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(0.01)

    with pytest.raises(KeyboardInterrupt), interrupts.heard():
        Freed()
        time.sleep(1.0)
    assert capsys.readouterr().err == ""
    assert sys.unraisablehook is sys.__unraisablehook__


def test_nothing_that_takes_long_is_loaded_before_interrupts_are_heard():
    # `python -m` has these loaded itself; what comes on top is the time in which Ctrl-C still ends in Python's own way.
    code = "import runpy, signal, sys; had = set(sys.modules); import simulation.__main__; print(*sorted(set(sys.modules) - had))"
    told = subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True
    )
    assert told.stdout.split() == ["__future__", "simulation", "simulation.__main__"]


def test_an_interrupt_while_it_gets_ready_to_hear_them_is_one_line():
    code = """
import builtins, sys
loads = builtins.__import__
def struck(name, *more):
    if name == "signal":
        raise KeyboardInterrupt
    return loads(name, *more)
builtins.__import__ = struck
import simulation.__main__
"""
    told = subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True
    )
    assert (told.returncode, told.stderr) == (130, "keystrip: stopped\n")


def test_an_interrupt_that_ended_the_runs_does_not_come_again_while_the_report_is_written(monkeypatch):
    monkeypatch.setattr(interrupts, "QUIET", 0.05)
    with Workshop() as workshop, interrupts.heard():
        runs = Runs(parse_scenario(SHORT), workshop, progress=lambda *_: os.kill(os.getpid(), signal.SIGINT))
        assert not runs.reach(4)
        time.sleep(0.3)
    assert runs.stopped


def test_an_impatient_hand_does_not_disturb_what_is_said_at_the_end():
    heard = 0
    with interrupts.heard():
        for _ in range(3):
            try:
                os.kill(os.getpid(), signal.SIGINT)
                time.sleep(0.01)
            except KeyboardInterrupt:
                heard += 1
                interrupts.notice()
    assert heard == 1


def test_what_nobody_foresaw_is_one_line_and_its_details_are_kept(monkeypatch, capsys):
    def failing(*_, **__):
        raise ZeroDivisionError("of a hair")

    monkeypatch.setattr(cli, "app", failing)
    monkeypatch.setattr(failing, "registered_commands", [], raising=False)
    with pytest.raises(SystemExit) as ended:
        cli.main()
    said = capsys.readouterr().err
    assert ended.value.code == FAULT
    assert said.count("\n") == 1 and "ZeroDivisionError" in said
    kept = Path(said.split()[-1])
    assert "of a hair" in kept.read_text(encoding="utf-8")
    kept.unlink()


@pytest.mark.parametrize(("asks", "code"), [("os.kill(os.getpid(), signal.SIGTERM)", 130), ("3", 3)])
def test_who_is_asked_to_end_while_it_ends_keeps_the_code_that_was_said(asks, code):
    # Once while the program still has its modules, and once when Python has taken its own handlers of signals away.
    program = f"""
import atexit, os, signal
from simulation import __main__, cli

class Last:
    def __del__(self, kill=os.kill, pid=os.getpid(), number=signal.SIGTERM):
        kill(pid, number)

last = Last()
atexit.register(os.kill, os.getpid(), signal.SIGTERM)
cli.app.__class__.__call__ = lambda *_, **__: {asks}
__main__.main()
"""
    ended = subprocess.run(
        [sys.executable, "-c", program], env={**os.environ, "PYTHONPATH": str(ROOT)}, capture_output=True, text=True, timeout=60
    )
    assert (ended.returncode, ended.stderr) == (code, "keystrip: stopped\n" if code == 130 else "")
