"""The command line in a folder of its own for the tests of every command, and one browser for those of every page."""

import gc
import importlib
import os
import sys
import tempfile

import pytest
from browser import browser
from hypothesis import HealthCheck, settings
from unpainted_pictures import unpainted_pictures

__all__ = ["browser", "few_of_each_team", "keystrip", "painted", "unpainted"]

# Whoever starts the program finds it compiled: without that each of some hundred starts takes half a second more.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# Runs are kept on disk, and each batch waits until it lies there; a folder in memory spares the waiting: no test cuts the power.
if os.access(_MEMORY := "/dev/shm", os.W_OK):
    tempfile.tempdir = os.environ.setdefault("TMPDIR", _MEMORY)

# How long an example takes says how busy the machine is, not what holds of the program.
quiet = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("quiet", quiet, max_examples=40)
settings.register_profile("long", quiet, max_examples=400)  # pytest --hypothesis-profile=long
settings.load_profile("quiet")


def pytest_collection_finish():
    """Keep the collector off what stays to the end: thousands of tests and every library, a quarter of a second each time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


@pytest.fixture
def keystrip(tmp_path, monkeypatch, capsys, request):
    """Return a function that runs a command in an empty folder and returns exit code, standard output and standard error.

    Its pictures are painted only for a test that uses `painted`, since it looks at them.
    """
    from simulation import cli

    if "painted" not in request.fixturenames:
        request.getfixturevalue("unpainted")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["keystrip", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        return ended.value.code, *capsys.readouterr()

    return run


@pytest.fixture
def unpainted(monkeypatch):
    """Have pictures composed and their files left, but not painted, where nobody looks at them."""
    for name, instead in unpainted_pictures().items():
        monkeypatch.setattr(name, instead)


@pytest.fixture
def few_of_each_team(monkeypatch):
    """Have teams judged from 20 runs and not from 50, for a test that asks nothing of the judgement."""
    # Study first, which loads the rest with the true number.
    for room in ("study", "verdicts"):
        monkeypatch.setattr(f"simulation.questions.staffing.{room}.FIRST", 20)
    for name in ("STEP", "NAMED"):
        monkeypatch.setattr(f"simulation.questions.staffing.verdicts.{name}", 20)
    monkeypatch.setattr("simulation.questions.staffing.more_forklifts.LOOKS", (20, 40))


@pytest.fixture
def painted(monkeypatch):
    """Have pictures painted, coarsely, for a test that looks at the files that are left: a tenth of a second each time."""
    save = importlib.import_module("matplotlib.figure").Figure.savefig

    def leave(figure, file, **how):
        save(figure, file, **how | ({"dpi": 40} if "dpi" in how else {}))

    monkeypatch.setattr("matplotlib.figure.Figure.savefig", leave)
