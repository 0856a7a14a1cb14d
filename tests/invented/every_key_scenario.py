"""The field in which every key differs from its default, as text, as a scenario, and as files in a folder; and every table."""

from pathlib import Path
from shutil import copy

from pydantic_core import PydanticUndefined

from simulation.scenario import parse_scenario
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.refusals import model_in
from simulation.scenario.types.section import Section

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
#: A log does not say which pallets hold which mats, and the first ending is the one that is asked with a log.
ENDINGS["three_state"] = ENDINGS["three_state"].replace("\n[supply]\n", '\n[supply]\nhalf_mats = "first"\n')

#: The same field when it is taken up, with a milestone more that is part of another one.
_PAD_UP = '[[take_up.milestone]]\nname = "pad up"\nareas = ["pad"]\nwhen = "up"\n'
ENDINGS["taken_up"] = f'job = "take up"\n{ENDINGS["climate"]}\n{_PAD_UP}'


def every_key(ending="records"):
    """The scenario with one of its endings."""
    return parse_scenario(ENDINGS[ending], f"{ending}.toml", FOLDER)


def put_into(folder):
    """Write the scenario with every ending, and the records that they name, into a folder; return the file of the first."""
    for name in ("placing.csv", "station.csv", "outlook.csv"):
        copy(FOLDER / name, folder / name)
    for name, text in ENDINGS.items():
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
    return folder / "records.toml"


def models(model=Scenario, path=""):
    """Every table by its address, as far as it does not stand in the line of a key."""
    yield path, model
    for name, field in model.model_fields.items():
        inner = model_in(field.annotation)
        if inner and issubclass(inner, Section) and (field.default_factory or field.default in (PydanticUndefined, None, ())):
            yield from models(inner, f"{path}.{field.alias or name}".strip("."))


MODELS = dict(models())
