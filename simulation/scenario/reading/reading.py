"""How does a TOML file become a checked scenario, or every mistake in it at once?"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from simulation.scenario.reading.blocks import for_copies, put_blocks
from simulation.scenario.reading.changes import add, apply, scaled
from simulation.scenario.reading.snapping import snapped
from simulation.scenario.reading.unfit_values import set_unfit_aside
from simulation.scenario.rules.contradictions import contradictions
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import Mistake, ScenarioError, refusal, step_into
from simulation.scenario.types.quantities.measures import System, mostly_metric
from simulation.scenario.types.quantities.units import comma_hint, read_quantity
from simulation.scenario.types.refusals import from_pydantic, set_aside
from simulation.scenario.types.texts.bounded import SCENARIO, read_text
from simulation.scenario.types.texts.site_log_text import SiteLog
from simulation.scenario.types.texts.source import DataFiles, Source

DEFAULT = "relief_strip"
#: Times that a file is read: what stands inside of what was refused at first may be refused at second.
MOST_READINGS = 5
#: How a line begins that a planner may have written: a key, or the head of a table.
_KEY = re.compile(r"\s*(?:(\w[\w.-]{0,59})\s*=|(\[\[?\s*\w[\w.-]{0,59}\s*\]\]?))", re.ASCII)
#: A number with a comma for its decimal point, and the head of a table, its brackets apart, whole or not.
_COMMA = re.compile(r"=\s*([+-]?[0-9]+,[0-9]+)\s*(?:[,}#]|$)")
_HEAD = re.compile(r"\s*(\[\[?)\s*(\w[\w.-]{0,59})\s*(\]{0,2})\s*(?:#.*)?$", re.ASCII)
#: A key of so many parts that reading it takes minutes; what a scenario asks for has five at most.
_DEEP = re.compile(r"""(?<![\w"'.-])(?:[\w"'-]++[ \t]*+\.[ \t]*+){64}""")


def shipped(name: str = DEFAULT) -> Path:
    """Return the path of a scenario that came with the program.

    The folder `configs/` travels inside the installed package; in a checkout it stands beside it.
    """
    package = Path(str(resources.files("simulation")))
    inside, beside = package / "configs", package.parent / "configs"
    return (inside if inside.is_dir() else beside) / f"{name}.toml"


def shipped_names() -> list[str]:
    """Return the names of the scenarios that came with the program."""
    return sorted(file.stem for file in shipped().parent.glob("*.toml"))


def load_scenario(
    path: str | Path | None = None,
    units: System | None = None,
    also: Sequence[Path] = (),
    changes: Sequence[Change] = (),
    progress: Callable[[int, int, str], None] | None = None,
) -> Scenario:
    """Return the scenario that stands in a file.

    Parameters
    ----------
    path : str or Path, optional
        A TOML file. Default: the shipped relief strip.
    units : {'feet', 'metric'}, optional
        In which its quantities are told. Default: as it says itself.
    also : sequence of Path
        Folders in which data files may lie, beside that of the file.
    changes : sequence of Change
        What is to be otherwise than the file says.
    progress : callable, optional
        Told how far a long data file is read: lines done, lines there are, and what they are lines of.

    Raises
    ------
    ScenarioError
        With every mistake in the file: the key, what is wrong, what would be right.
    """
    file = shipped() if path is None else Path(path)
    try:
        text = read_text(file, SCENARIO)
    except FileNotFoundError:
        others = [name for name in shipped_names() if name != DEFAULT]
        wrong, right = (
            "there is no such file",
            f"name a scenario, or a shipped one: {', '.join([f'{DEFAULT} (the default)', *others])}",
        )
    except UnicodeDecodeError as error:
        wrong, right = f"is not text in UTF-8 (byte {error.start + 1})", "save it as UTF-8"
    except (OSError, ValueError) as error:
        wrong, right = f"cannot be read: {getattr(error, 'strerror', None) or error}", "name a TOML file"
    else:
        return parse_scenario(text, str(file), file.parent, file.stem, changes=changes, units=units, also=also, progress=progress)
    raise refusal(str(file), wrong, right)


def parse_scenario(
    text: str,
    file: str = "scenario",
    folder: Path | None = None,
    title: str = "untitled",
    data: Mapping[str, str] | None = None,
    changes: Sequence[Change] = (),
    units: System | None = None,
    also: Sequence[Path] = (),
    log: SiteLog | None = None,
    progress: Callable[[int, int, str], None] | None = None,
) -> Scenario:
    """Return the scenario that `text` holds.

    Parameters
    ----------
    text : str
        TOML.
    file : str
        Named in errors.
    folder : Path, optional
        Where data files are sought. Default: where the program runs.
    title : str
        For a scenario that has none.
    data : mapping of str to str, optional
        Texts to read for data files instead of the files, by name.
    changes : sequence of Change, optional
        What is to be otherwise than the text says.
    units : {'feet', 'metric'}, optional
        In which its quantities are told. Default: as the text says.
    also : sequence of Path
        Further folders in which data files may lie.
    log : SiteLog, optional
        What was written on site since the work began.
    progress : callable, optional
        As in `load_scenario`.

    Raises
    ------
    ScenarioError
        With every mistake in the text, or in what the changes make of it.
    """
    raw = _toml(text, file)
    raw.setdefault("title", _heading(title))
    files = DataFiles(folder or Path(), data, also, progress)
    for change in changes:  # in turn: what one adds to may be what another has set
        if change.added is None:
            apply(raw, change)
            put_blocks(raw, change)
        else:
            add(raw, change, _checked(raw, file, files, units))
    scenario = _checked(raw, file, files, units)
    if any(change.factor is not None for change in changes):
        scenario = snapped(scaled(scenario, for_copies(changes, raw), raw), raw)
        if mistakes := list(contradictions(scenario)):
            raise ScenarioError(file, mistakes)
    return scenario.read_from(Source(file, text, files.read, tuple(changes), folder or Path(), units, tuple(also), log))


def vary(scenario: Scenario, changes: Sequence[Change]) -> Scenario:
    """Return a scenario in which some things are otherwise.

    Parameters
    ----------
    scenario : Scenario
        Read from a text; it stays as it is.
    changes : sequence of Change
        They come on top of those that were made before.

    Raises
    ------
    ScenarioError
        If an address leads nowhere, or the changed scenario is not sound.
    """
    source = scenario.source
    data = source.data if source.data else None
    return parse_scenario(
        source.text,
        source.file,
        source.folder,
        scenario.title,
        data,
        (*source.changes, *changes),
        source.units,
        source.also,
        source.log,
    )


def begin_by(scenario: Scenario, log: SiteLog | None) -> Scenario:
    """Return the same scenario, its work begun as a site log says; from its start without one."""
    begun = scenario.model_copy()
    return begun.read_from(replace(scenario.source, log=log))


def _checked(raw: dict[str, Any], file: str, files: DataFiles, units: System | None) -> Scenario:
    """Return the scenario that a TOML file holds, or every mistake in it."""
    # Times of a record that tell their zone are made local by it; a bad one is told of where it stands.
    context = {"files": files, "utc_offset": _utc_offset(raw.get("site"))}
    unfit = set_unfit_aside(Scenario, raw)
    lengths = [step_into(area, "length") for area in raw["area"]] if isinstance(raw.get("area"), list) else []
    metric = mostly_metric(lengths)
    told = units or raw.get("units") or ("metric" if metric else "feet")
    scenario = None
    for _ in range(MOST_READINGS):
        try:
            scenario = Scenario.model_validate(raw, context=context)
            break
        except ValidationError as error:
            errors = error.errors(include_url=False)
            unfit += from_pydantic(errors, Scenario, raw, told == "metric")
            # What could be read may contradict itself as well, and the planner wants to know it all in one go.
            set_aside(errors, Scenario, raw)
    if scenario is None:
        raise ScenarioError(file, unfit)
    scenario = snapped(scenario.told_in(units, metric), raw)
    unfit += contradictions(scenario)
    if unfit:
        raise ScenarioError(file, unfit)
    return scenario.without_laying() if scenario.takes_up else scenario


def _utc_offset(site: Any) -> float | None:
    """Return the hours that a site's time is ahead of UTC; None where there is no site, or it cannot be read."""
    if not isinstance(site, dict):
        return None
    try:
        return read_quantity("duration", site.get("utc_offset", "0 h"))
    except PydanticCustomError:
        return None


def _toml(text: str, file: str) -> dict[str, Any]:
    if deep := _DEEP.search(text):
        line = text.count("\n", 0, deep.start()) + 1
        raise refusal(file, "a key has too many parts", "write a few names with dots at most", f"line {line}")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        mistake = _syntax(str(error), text)
    except RecursionError:
        mistake = Mistake("", "brackets stand too deep inside each other", "write a list or a table of tables at most")
    except ValueError:  # the one that tomllib lets pass
        mistake = Mistake("", "a number has too many digits to be read", "write a shorter one")
    raise ScenarioError(file, [mistake])


def _syntax(message: str, text: str) -> Mistake:
    """Return the mistake behind a message of the TOML reader, with the line it is about."""
    what = message.partition(" (at ")[0]
    position = re.search(r"at line (\d+), column \d+\)$", message)
    line = int(position[1]) if position else text.rstrip().count("\n") + 1
    written = text.split("\n")[line - 1]
    key = _KEY.match(written)
    right = 'mend it: text and quantities stand in quotes, such as "72 ft"'
    comma, head = _COMMA.search(written), _HEAD.match(written)
    if comma:
        right = comma_hint(comma[1])
    elif head and len(head[1]) != len(head[3]):
        single, several = f"[{head[2]}]", f"[[{head[2]}]]"
        right = f"write {several}: as many brackets behind the name as before it"
        if len(head[1]) == 1:
            right = f"write {single}, or {several} where there are several: as many brackets behind the name as before it"
    elif what.startswith("Cannot declare"):
        what, right = "This table stands twice", "write it once, or in [[two brackets]] where there are several"
    elif what.startswith("Cannot overwrite"):
        what, right = "This key or table stands twice", "write it once; areas and crews each stand under [[two brackets]]"
    # A file of another kind may hold what is nobody's business: no more of it is quoted than the key that a planner wrote.
    of = f", at {key[1] or key[2]}" if key else ""
    return Mistake(f"line {line}", f"{what[0].lower()}{what[1:]}{of}", right)


def _heading(file_stem: str) -> str:
    """Return a title that can be shown anywhere, from the name of a file."""
    return "".join(letter for letter in file_stem if letter.isprintable()).strip()[:60].strip() or "untitled"
