"""keystrip in processes of its own: started, watched in its store, ended by a signal, and held to a run that nobody disturbed.

A command that nothing happens to is given to this process, which has loaded everything: to start another takes two seconds.
"""

import contextlib
import io
import json
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections import namedtuple
from contextlib import closing
from dataclasses import replace
from functools import cache
from pathlib import Path
from unittest.mock import patch

import psutil
import pytest
from loaded_program import Loaded
from scenarios import LITTLE
from unpainted_pictures import unpainted_pictures

import simulation
from simulation import cli
from simulation.present.own_files import RECORD
from simulation.replicate import Store
from simulation.replicate.kept_study import KeptStudy, Standing
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import FILE, _checksum

ROOT = Path(simulation.__file__).resolve().parents[1]
#: Enough to be caught in the middle, a few seconds of work.
MANY = 320
#: Enough where it is not about the middle.
FEW = 60
#: Seconds after which something hangs.
PATIENCE = 120.0
REPORT = {"forecast.json", "forecast.txt", "runs.csv", "s_curve.png", RECORD}

#: `said` are the lines on standard error but for the warnings about the scenario and those of progress.
Ended = namedtuple("Ended", "code out said")
#: Of a run: everything that its JSON says but for "run", its records by run, and the bytes of its store.
Undisturbed = namedtuple("Undisturbed", "numbers records store")


@cache
def loaded():
    """Return the process that has the program loaded, of which there is one for each process of the tests."""
    return Loaded()


class Run:
    """A keystrip command in a process group of its own; what it says goes to files, so that it can be read meanwhile.

    `script` is run in its place, `inside` the process whose mounts it sees. `anew` has Python started for it, where it matters
    what happens while the program is loaded.
    """

    def __init__(self, beside, *words, script=None, inside=None, anew=False):
        self._said = [Path(tempfile.mkstemp(dir=beside, suffix=suffix)[1]) for suffix in (".out", ".err")]
        words = [*map(str, words)]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "200"}
        if anew:
            with self._said[0].open("w") as out, self._said[1].open("w") as err:
                self.process = subprocess.Popen(
                    [sys.executable, "-m", "simulation", *words],
                    stdin=subprocess.DEVNULL,
                    stdout=out,
                    stderr=err,
                    env=environment,
                    start_new_session=True,
                )
        else:
            said, folder = [str(file) for file in self._said], str(Path.cwd())
            self.process = loaded().fork(
                words=words, said=said, environment=environment, folder=folder, inside=inside, script=script
            )
        self.pid = self.process.pid

    def said(self):
        return without_warnings(self._said[1].read_text())

    def until(self, holds):
        """Wait until something holds, which must be so before the process ends."""
        within(PATIENCE, lambda: holds() or self.process.poll() is not None)
        assert self.process.poll() is None, (self.process.returncode, self.said())

    def signal_all(self, what):
        """Send a signal to the whole group, as a terminal does on Ctrl-C."""
        os.killpg(self.pid, what)

    def end(self, patience=PATIENCE):
        """Wait for the end."""
        try:
            code = self.process.wait(patience)
        except subprocess.TimeoutExpired:
            self.signal_all(signal.SIGKILL)
            self.process.wait()
            raise AssertionError(f"still at work after {patience} s, having said {self.said()}") from None
        return Ended(code, self._said[0].read_text(), self.said())


def here(*words):
    """Give a command to this process, which paints no pictures, and return how it ended."""
    with (
        contextlib.ExitStack() as pictures,
        patch.object(sys, "argv", ["keystrip", *map(str, words)]),
        patch.dict(os.environ, COLUMNS="200"),
        contextlib.redirect_stdout(io.StringIO()) as out,
        contextlib.redirect_stderr(io.StringIO()) as said,
        pytest.raises(SystemExit) as ended,
    ):
        for name, instead in unpainted_pictures().items():
            pictures.enter_context(patch(name, instead))
        cli.main()
    return Ended(ended.value.code, out.getvalue(), without_warnings(said.getvalue()))


def without_warnings(said):
    """Return the lines that are no warnings and do not say how long it takes, which depends on how busy the machine is."""
    return [line for line in said.splitlines() if ": warning: " not in line and not _PROGRESS.fullmatch(line)]


#: The two kinds of lines of `present/progress.py`.
_PROGRESS = re.compile(r"keystrip: (about .+ for [\d,]+ runs|\d+ %, [\d,]+ of [\d,]+ runs\b.*)")


def within(seconds, holds):
    """Wait until something holds, and fail if it does not in time."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, f"not within {seconds} s"
        time.sleep(0.01)


def scenario_in(folder, text=LITTLE, name="little_field.toml"):
    folder.mkdir(parents=True, exist_ok=True)
    (folder / name).write_text(text, encoding="utf-8")
    return folder / name


def forecast(scenario, out, runs, workers=1, *more):
    return "forecast", scenario, "--runs", runs, "--workers", workers, "--out", out, "--json", *more


def numbers_of(out):
    """Return what a forecast's JSON says, but for what it says of how and when the run was made."""
    answer: dict = json.loads(out)["answer"]
    return answer


@cache
def undisturbed(runs, text=LITTLE):
    """Return what a run with one worker and a folder to itself comes to."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ended = here(*forecast(scenario_in(folder, text), folder / "out", runs))
        assert ended.code == 0, ended
        assert names_in(folder / "out") == {FILE, *REPORT}
        records = kept(folder / "out")
        assert sorted(records) == list(range(runs))
        return Undisturbed(numbers_of(ended.out), records, (folder / "out" / FILE).read_bytes())


def kept(folder, run=1):
    """Return the records of a run by run, each of them held to its checksum."""
    with Store(folder, reading=True) as store:
        return dict(store.records(run))


def stored(folder):
    """Return how many runs a folder holds by now: none as long as its store is being made."""
    if not (folder / FILE).exists():
        return 0
    base = sqlite3.connect(f"file:{folder / FILE}?mode=ro", PATIENCE, uri=True)
    try:
        return base.execute("SELECT count(*) FROM run").fetchone()[0]
    except sqlite3.OperationalError:
        return 0
    finally:
        base.close()


def names_in(folder):
    return {entry.name for entry in folder.iterdir()}


def whole_reports(folder, runs):
    """Check that each file of a report is whole, if it is there, and that nothing else lies about; return how many there are."""
    import matplotlib.image
    import pandas as pd

    found = names_in(folder) - {FILE, FILE + "-journal"}
    assert found <= REPORT, found
    if "forecast.json" in found:
        assert json.loads((folder / "forecast.json").read_text())["answer"]["runs"] == runs
    if "runs.csv" in found:
        assert len(pd.read_csv(folder / "runs.csv")) == runs
    if "s_curve.png" in found:
        assert matplotlib.image.imread(folder / "s_curve.png").size > 0
    return len(found)


def members(group):
    """Return the processes of a group that are alive, with their command lines."""
    found = {}
    for process in psutil.process_iter():
        with contextlib.suppress(psutil.Error, ProcessLookupError):
            if os.getpgid(process.pid) == group and process.status() != psutil.STATUS_ZOMBIE:
                found[process.pid] = " ".join(process.cmdline())
    return found


def workers_of(run):
    """Return the worker processes of a run: its group has a process that looks after their semaphores as well."""
    return [pid for pid, command in members(run.pid).items() if "multiprocessing.spawn" in command]


def hears(pid, what):
    """Return whether a process has a handler of its own for a signal."""
    status = Path(f"/proc/{pid}/status")
    if not status.exists():
        pytest.skip("this system does not tell which signals a process listens to")
    (mask,) = (line for line in status.read_text().splitlines() if line.startswith("SigCgt"))
    return bool(int(mask.split()[1], 16) >> (what - 1) & 1)


class Disk:
    """A disk of a given size that exists for this test only, mounted where nobody else sees it."""

    def __init__(self, folder, size):
        folder.mkdir()
        self.folder = folder
        if not (shutil.which("unshare")):
            pytest.skip("no unshare here, which mounts a disk without being root")
        self._shell = subprocess.Popen(["unshare", "-rm", "sh"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        if not self._does(f"mount -t tmpfs -o size={size} tmpfs '{folder}'"):
            self.close()
            pytest.skip("this system does not let a test mount a disk")
        #: The way to it for this process; the processes on it know it as `folder`.
        self.seen = Path(f"/proc/{self._shell.pid}/root{folder}")
        self.inside = self._shell.pid

    def _does(self, command):
        try:
            self._shell.stdin.write(f"{command}; echo $?\n")
            self._shell.stdin.flush()
        except BrokenPipeError:
            return False
        return self._shell.stdout.readline() == "0\n"

    def remount(self, how):
        assert self._does(f"mount -o remount,{how} '{self.folder}'")

    def copy(self, to):
        """Return a copy of everything on it; SQLite would look for the original in another place."""
        return shutil.copytree(self.seen, to)

    def close(self):
        self._shell.communicate()


# --- stores that say something else than was written, with checksums that fit: a forger's or another program's work ---


def forge_run(path, **parts):
    """Write parts of a store's only study anew, of what it is and of the work on it."""
    with closing(sqlite3.connect(path)) as base:
        for table, kind in (("study", KeptStudy), ("standing", Standing)):
            changed = {name: parts[name] for name in parts if name in kind.__annotations__}
            row = replace(kind.read(base.execute(f"SELECT * FROM {table}").fetchone()), **changed).row
            base.execute(f"REPLACE INTO {table} VALUES ({', '.join('?' * len(row))})", row)
        base.commit()


def forge_manifest(path, change):
    """Write the manifest of a store's only study anew, as `change` makes it of the parsed one, and its key and runs with it."""
    with closing(sqlite3.connect(path)) as base:
        study = KeptStudy.read(base.execute("SELECT * FROM study").fetchone())
        text = json.dumps(change(json.loads(study.manifest)))
        forge_run(path, manifest=text, key=Manifest.read(text, {}).identity.key)
    with closing(sqlite3.connect(path)) as base:
        for (number,) in base.execute("SELECT run FROM run").fetchall():
            forge_record(path, number, lambda record: record)


def forge_record(path, number, change):
    """Write the record of a run anew, as `change` makes it of the bytes there are."""
    with closing(sqlite3.connect(path)) as base:
        (key,) = base.execute("SELECT key FROM study").fetchone()
        (record,) = base.execute("SELECT record FROM run WHERE run = ?", (number,)).fetchone()
        new = change(record)
        base.execute("UPDATE run SET record = ?, checksum = ? WHERE run = ?", (new, _checksum(key, number, new), number))
        base.commit()
