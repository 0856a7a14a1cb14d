"""Lists the inputs of a scenario and where each comes from: key, value, spread, origin, and what it means.

What is written is shown as the planner wrote it, what is left out as the default is declared, with the text under its field.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from simulation.present.answer import Inputs, Table
from simulation.questions.brief.values import as_text, converted, inside, spread_of
from simulation.scenario import Change, Scenario
from simulation.scenario.types.quantities.measures import Measures
from simulation.scenario.types.section import Section

WRITTEN = "from the scenario"
PLANNING = "default: planning value"
NO_SOURCE = "default: no source stated"
UNSET = "default: not set"
CHOICE = "default: a choice, not an amount"
#: What tells the origin of a default in the text under its field.
_ORIGIN = re.compile(
    r"planning value|common practice|common range|from memory|service news|official service|the method's|default:|"
    r"\b(?:NAVEDTRA|UFC|EM 385|TB MED|FAO|AMS|NIOSH|ICD)\b|\b(?:19|20)\d\d\b",
    re.IGNORECASE,
)
#: What stands before a key of a block: the kind of block, and its name or number.
_BLOCK = re.compile(r'^(area\.|crew\.|milestone\.|supply\.trucks\.|supply\.(?:flights|shipments)\.)(?:"(?:[^"\\]|\\.)*"|[^.]+)\.')
_SENTENCES = re.compile(r"(?<=[.)])\s+(?=[A-Z])")


@dataclass(frozen=True)
class Input:
    """One key of a scenario.

    Attributes
    ----------
    key : str
        Its address.
    value, spread : str
        As it is written, or as its default is declared; what is not an amount has no spread.
    origin : str
        `WRITTEN`, what changed it, or what the text under a default says of where it comes from.
    meaning : str
        The text under its field.
    held : str
        The value in the unit that the program uses, which is what a relative change leaves.
    """

    key: str
    value: str
    spread: str
    origin: str
    meaning: str
    held: str = field(default="", compare=False)

    @property
    def default(self) -> bool:
        """Whether nobody wrote it."""
        return self.origin.startswith("default")


def inputs_of(scenario: Scenario) -> tuple[Input, ...]:
    """Return every input of a scenario, in the order of the file's sections."""
    from simulation.scenario.reading.changes import apply

    raw: dict[str, Any] = tomllib.loads(scenario.source.text)
    for change in scenario.source.changes:
        apply(raw, change)
    changes, read_as = scenario.source.changes, {length.key: length.read_as(scenario.measures) for length in scenario.snapped}
    inputs = (_changed(each, changes) for each in _walk(scenario, raw, "", bool(raw), "", scenario.measures))
    return tuple(replace(each, origin=f"{each.origin}; {read_as[each.key]}") if each.key in read_as else each for each in inputs)


def _walk(section: Section, raw: Any, address: str, known: bool, above: str, measures: Measures) -> Iterator[Input]:
    """Yield the inputs of one section; `known` says whether the section itself is written, `above` what the text over it says."""
    from simulation.scenario.types.mistakes import block_name
    from simulation.scenario.types.section import Section as Base

    meanings = {name: text for base in reversed(type(section).__mro__) if issubclass(base, Base) and base is not Base
                for name, text in base.meanings().items()}  # fmt: skip
    for name, declared in type(section).model_fields.items():
        key, value = declared.alias or name, getattr(section, name)
        where = f"{address}.{key}" if address else key
        given = raw.get(key) if isinstance(raw, dict) else None
        there = known and name in section.model_fields_set
        meaning = " ".join(meanings.get(name, "").split())
        if isinstance(value, Base):
            yield from _walk(value, given, where, there, "" if there else meaning, measures)
        elif isinstance(value, tuple) and value and all(isinstance(item, Base) for item in value):
            for index, item in enumerate(value):
                said = "" if there else meaning
                block = given[index] if isinstance(given, list) and index < len(given) else None
                yield from _walk(item, block, f"{where}.{block_name(index, getattr(item, 'name', None))}", there, said, measures)
        elif key == "name" and there:
            continue  # the address says it
        else:
            yield _input(section, name, where, given, there, meaning, above, measures)


def _input(
    section: Section, name: str, where: str, given: Any, there: bool, meaning: str, above: str, measures: Measures
) -> Input:
    default, value = type(section).model_fields[name].default, getattr(section, name)
    held = as_text(None) if value is None or value == () else inside(type(section), name, value, measures)
    made = not there and name in section.model_fields_set  # by whoever declared the section's own default
    shown = given if there else default
    plain = isinstance(shown, dict | str | bool | int | float | datetime | list | tuple)
    other_units = not there and converted(type(section), name, value, measures)
    text = as_text(shown) if plain and not made and not other_units else held
    other = CHOICE if isinstance(value, str | bool) else UNSET if value is None or value == () else NO_SOURCE
    origin = WRITTEN if there else origin_of(above, other) if made else origin_of(meaning, origin_of(above, other))
    return Input(where, text, spread_of(value), origin, meaning, held)


def origin_of(meaning: str, other: str = NO_SOURCE) -> str:
    """Return what the text under a default says of where it comes from; `other` where it does not say."""
    origins = [sentence.rstrip(".") for sentence in _SENTENCES.split(meaning) if _ORIGIN.search(sentence)]
    if not origins:
        return other
    words = "; ".join([origin for origin in origins if origin.lower().startswith("default")] or origins)
    if re.fullmatch(r"planning value", words, re.IGNORECASE):
        return PLANNING
    return words[:1].lower() + words[1:] if words.lower().startswith("default") else f"default: {words}"


def _changed(each: Input, changes: tuple[Change, ...]) -> Input:
    made = [change for change in changes if _leads(change.address, each.key)]
    if not made:
        return each
    value = each.held if any(change.added is not None or change.factor is not None for change in made) else each.value
    return replace(each, value=value, origin=f"changed for this study: {made[-1]}")


def _leads(address: str, key: str) -> bool:
    steps, own = address.replace('"', "").split("."), key.replace('"', "").split(".")
    return len(steps) <= len(own) and all(step in ("*", mine) for step, mine in zip(steps, own, strict=False))


def inputs_block(scenario: Scenario) -> Inputs:
    """Return the inputs as a brief shows them."""
    inputs = put_together(inputs_of(scenario))
    rows = tuple((each.key, each.value, each.spread, each.origin, each.meaning) for each in inputs)
    table = Table(
        f"Every input: {len(inputs)}, of them {sum(each.default for each in inputs)} by default",
        ("key", "value", "spread", "origin", "meaning"),
        rows,
        frozenset({1, 2, 3, 4}),
        (
            "Spread: a job-wide value is drawn once a run (what nobody knows today; values that are shared move together), a "
            "scatter at every task around it. Of two values the job-wide one is lognormal, P10 to P90; of three it is PERT. "
            "Planning value: no source stands behind it; replace it with your own records. A * in a key stands for every block "
            "of its kind, where all have the same default.",
        ),
    )
    return Inputs(table, tuple(_groups(inputs)))


def put_together(inputs: Sequence[Input]) -> tuple[Input, ...]:
    """Return inputs with defaults that are the same in several blocks, such as all areas, as one with a star for the block."""
    blocks: dict[str, list[Input]] = {}
    for each in inputs:
        blocks.setdefault(_starred(each.key), []).append(each)
    others: list[Input] = []
    for each in inputs:
        alike = blocks[_starred(each.key)]
        same = each.default and len(alike) > 1 and all(replace(other, key=each.key) == each for other in alike)
        if not same:
            others.append(each)
        elif each is alike[0]:
            others.append(replace(each, key=_starred(each.key)))
    return tuple(others)


def _starred(key: str) -> str:
    """Return a key with a star for the name or number of the block it stands in; a name may hold dots of its own."""
    return _BLOCK.sub(r"\1*.", key)


def _groups(inputs: tuple[Input, ...]) -> Iterator[tuple[str, str]]:
    groups: dict[str, list[Input]] = {name: [] for name in _GROUPS}
    for each in inputs:
        groups[_group(each)].append(each)
    for name, ones in groups.items():
        if ones:
            yield name, "; ".join(_short(each, name) for each in ones)


_GROUPS = (
    "Written in the scenario, or changed for this study",
    "Default, planning values",
    "Default, with their origin",
    "Default, choices that are no amounts",
    "Not set, so not considered or as others",
)


def _group(each: Input) -> str:
    if not each.default:
        return _GROUPS[0]
    if each.value == as_text(None):
        # What follows from others by a planning value says how.
        return _GROUPS[2] if "planning value" in each.origin.lower() else _GROUPS[4]
    if each.origin == CHOICE:
        return _GROUPS[3]
    return _GROUPS[1] if "planning value" in each.origin.lower() else _GROUPS[2]


def _short(each: Input, group: str) -> str:
    if group == _GROUPS[4]:
        return each.key
    # Two values are P10 and P90, three the lowest, most likely and highest: it is said once above.
    spread = "; ".join(part for part in each.spread.split("; ") if part.startswith(("scatter", "shared", "one of")))
    origin = f" [{each.origin.removeprefix('default: ')}]" if group == _GROUPS[2] or each.origin.startswith("changed") else ""
    value = "" if each.value == as_text(None) else f" = {each.value}"
    return f"{each.key}{value}{f' ({spread})' if spread else ''}{origin}"
