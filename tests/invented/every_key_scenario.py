"""The field in which every key differs from its default, as text, as a scenario, and as files in a folder."""

from pathlib import Path
from shutil import copy

from simulation.scenario import parse_scenario

FOLDER = Path(__file__).parent / "every_key"

#: The file to look at by hand, and what stands in it.
FILE = FOLDER / "every_key.toml"
TEXT = FILE.read_text(encoding="utf-8")

_LINE = "\n# -----"
_HEAD = TEXT[: TEXT.index(_LINE)]

#: The scenario with each ending: keys that exclude each other are shared out among these.
ENDINGS = {"records": TEXT} | {
    name: f"{_HEAD}\n{(FOLDER / f'{name}.toml').read_text(encoding='utf-8')}" for name in ("climate", "three_state")
}


def every_key(ending="records"):
    """The scenario with one of its endings."""
    return parse_scenario(ENDINGS[ending], f"{ending}.toml", FOLDER)


def put_into(folder):
    """Write the scenario with every ending, and the records that they name, into a folder; return the file of the first."""
    for name in ("placing.csv", "station.csv"):
        copy(FOLDER / name, folder / name)
    for name, text in ENDINGS.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder / "records.toml"
