"""From a TOML file to a checked scenario, or to every mistake in it at once."""

from __future__ import annotations

import copy
import tomllib
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from simulation.scenario.contradictions import contradictions
from simulation.scenario.mistakes import Mistake, ScenarioError, from_pydantic
from simulation.scenario.scenario import Scenario

DEFAULT = "relief_strip"


def shipped(name: str = DEFAULT) -> Path:
    """Return the path of a scenario that came with the program.

    The folder `configs/` travels inside the installed package; in a checkout it stands beside it.
    """
    package = Path(str(resources.files("simulation")))
    inside, beside = package / "configs", package.parent / "configs"
    return (inside if inside.is_dir() else beside) / f"{name}.toml"


def load_scenario(path: str | Path | None = None) -> Scenario:
    """Return the scenario that stands in a file.

    Parameters
    ----------
    path : str or Path, optional
        A TOML file. Default: the shipped relief strip.

    Raises
    ------
    ScenarioError
        With every mistake in the file: the key, what is wrong, what would be right.
    """
    file = shipped() if path is None else Path(path)
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ScenarioError(
            str(file), [Mistake("", "there is no such file", "name a scenario, or leave it out for the shipped one")]
        ) from None
    except (OSError, UnicodeDecodeError) as error:
        raise ScenarioError(str(file), [Mistake("", f"cannot be read: {error}", "name a TOML text file")]) from None
    return parse_scenario(text, str(file), file.parent, file.stem)


def parse_scenario(text: str, file: str = "scenario", folder: Path | None = None, title: str = "untitled") -> Scenario:
    """Return the scenario that `text` holds; data files are sought in `folder`, `file` is named in errors."""
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ScenarioError(file, [Mistake("", f"is not TOML: {error}", "mend that line")]) from None
    raw.setdefault("title", title)
    scenario, mistakes = _validated(raw, folder or Path())
    if scenario is None:
        # What is left without the offending keys may contradict itself as well, and the planner wants it all in one go.
        rest, _ = _validated(_without(raw, mistakes[1]), folder or Path())
        named = mistakes[0]
        keys = {mistake.key for mistake in named}
        also = [one for one in (contradictions(rest) if rest else []) if one.key not in keys]
        raise ScenarioError(file, [*named, *also])
    found = contradictions(scenario)
    if found:
        raise ScenarioError(file, found)
    return scenario


_Places = list[tuple[int | str, ...]]


def _validated(raw: dict[str, Any], folder: Path) -> tuple[Scenario | None, tuple[list[Mistake], _Places]]:
    try:
        return Scenario.model_validate(raw, context={"folder": folder}), ([], [])
    except ValidationError as error:
        errors = error.errors(include_url=False)
        return None, (from_pydantic(errors, Scenario, raw), [one["loc"] for one in errors])


def _without(raw: dict[str, Any], places: _Places) -> dict[str, Any]:
    rest = copy.deepcopy(raw)
    for place in sorted(places, key=len, reverse=True):
        holder: Any = rest
        try:
            for step in place[:-1]:
                holder = holder[step]
            del holder[place[-1]]
        except (KeyError, IndexError, TypeError):
            continue
    return rest
