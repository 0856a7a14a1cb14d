"""The command line in a folder of its own for the tests of every command, and one browser for those of every page."""

import sys
from pathlib import Path

import pytest
from browser import browser

__all__ = ["browser", "keystrip", "unpainted"]


@pytest.fixture
def keystrip(tmp_path, monkeypatch, capsys):
    """Return a function that runs a command in an empty folder and returns exit code, standard output and standard error."""
    from simulation import cli

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
    """Have pictures composed and their files left, but not painted, where nobody looks at them: a third of a second each time."""
    monkeypatch.setattr("matplotlib.figure.Figure.savefig", lambda figure, file, **_: Path(file).write_text("unpainted"))
