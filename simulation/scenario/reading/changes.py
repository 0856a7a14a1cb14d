"""What if one thing were otherwise? A change names a key of the scenario by its address and gives it another value.

An address is what mistakes are reported under: ``forklifts.count``, ``crew.A.people``, ``supply.trucks.1.count``; a star stands
for every block of several, ``crew.*.people``. A value is absolute, or relative to what the scenario says: ``+1`` and ``-1`` for
whole numbers, ``x0.9`` for times, rates, speeds and lengths, uncertain ones included. What is not a value but a block of the file
once more, such as ``crew.A 2=copy of crew.A``, stands in `blocks.py`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from simulation.scenario.reading.scaling import refusals_of
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import KeyPath, ScenarioError, address, did_you_mean, refusal, shown, step_into
from simulation.scenario.types.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario

#: What mistakes in an address are reported under, where the file of a scenario stands otherwise.
FILE = "changes"
_STEP = re.compile(r'"((?:[^"\\]|\\.)*)"|([^."]+)')


def read_variation(text: str) -> tuple[Change, ...]:
    """Return the changes in ``KEY=V1,V2,…``, one for each value.

    A value is written as in a scenario; a word or a quantity needs no quotes: ``area.runway.start=one-end,centre-out``.

    Raises
    ------
    ScenarioError
        If there is no key or no value.
    """
    key, equals, values = (part.strip() for part in text.partition("="))
    parts = list(_apart(values))
    if not key or not equals or not parts or not all(parts):
        right = "write KEY=V1,V2, such as forklifts.count=2,3,4 or area.runway.start=one-end,centre-out"
        raise refusal(FILE, f"{shown(text)} does not name a key and its values", right)
    return tuple(Change(key, part) for part in parts)


def _apart(text: str) -> Iterator[str]:
    """Yield what stands between the commas that are in no quotes and no brackets."""
    part, depth, quote = "", 0, ""
    for letter in text:
        if letter == "," and not depth and not quote:
            yield part.strip()
            part = ""
            continue
        if letter in "\"'" and quote in ("", letter):
            quote = "" if quote else letter
        elif not quote:
            depth += (letter in "[{") - (letter in "]}")
        part += letter
    if text:
        yield part.strip()


def apply(raw: dict[str, Any], change: Change) -> None:
    """Put an absolute change into what a TOML file holds; a relative one is left.

    Raises
    ------
    ScenarioError
        If its address leads nowhere.
    """
    if change.factor is None and change.added is None and change.copied is None and not change.crews:
        for table, key in _tables(raw, change.address):
            table[key] = change.value


def _tables(raw: dict[str, Any], where: str) -> list[tuple[dict[str, Any], str]]:
    """Return the table and key, or the tables, that an address leads to; tables that are not written yet are made."""
    *steps, key = steps_of(where)
    tables: list[Any] = [raw]
    for step in steps:
        tables = [inner for table in tables for inner in _inside(table, step, where)]
    if not all(isinstance(table, dict) for table in tables):
        raise nowhere(where, f"{shown(step_into(raw, *steps))} has no keys", "name a key of a table")
    return [(table, key) for table in tables]


def steps_of(where: str) -> list[str]:
    """Return the steps of an address.

    Raises
    ------
    ScenarioError
        If it is none.
    """
    matches = list(_STEP.finditer(where))
    if ".".join(match[0] for match in matches) != where:
        raise nowhere(where, "is not an address", "write its steps with dots, such as crew.A.people")
    return [match[2] if match[1] is None else re.sub(r"\\(.)", r"\1", match[1]) for match in matches]


def _inside(table: Any, step: str, where: str) -> list[Any]:
    if isinstance(table, dict):
        return [table.setdefault(step, {})]
    if not isinstance(table, list):
        raise nowhere(where, f"{shown(table)} has no keys", "name a key of a table")
    if step == "*":
        return table
    names = [block.get("name") if isinstance(block, dict) else None for block in table]
    if step in names:
        return [table[names.index(step)]]
    if step.isdecimal() and 1 <= int(step) <= len(table):
        return [table[int(step) - 1]]
    known = [name for name in names if isinstance(name, str)] or [str(number + 1) for number in range(len(table))]
    raise nowhere(where, f"there is no {shown(step)}", did_you_mean(step, [*known, "*"]))


def nowhere(where: str, wrong: str, right: str) -> ScenarioError:
    """Return the error of an address that leads nowhere."""
    return refusal(FILE, wrong, right, where)


def add(raw: dict[str, Any], change: Change, scenario: Scenario) -> None:
    """Put a change that adds to whole numbers into what a TOML file holds, from what the scenario in it says.

    Raises
    ------
    ScenarioError
        If its address leads to no whole number.
    """
    for path in paths_of(raw, change.address):
        _known(scenario, path, raw)
        number = _at(scenario, path)
        if isinstance(number, bool) or not isinstance(number, int):
            wrong = f"{shown(change.text)} is added to what is no whole number"
            raise nowhere(address(path, raw), wrong, "write the value itself")
        *steps, key = path
        table: Any = raw
        for step in steps:
            table = table[step] if isinstance(step, int) else table.setdefault(step, {})
        table[key] = number + (change.added or 0)


def scaled(scenario: Scenario, changes: Sequence[Change], raw: dict[str, Any]) -> Scenario:
    """Return a scenario with what `changes` multiply multiplied.

    Raises
    ------
    ScenarioError
        If an address leads to nothing that can be.
    """
    for change in changes:
        if change.factor is not None:
            for path in paths_of(raw, change.address):
                _known(scenario, path, raw)
                value = _at(scenario, path)
                if change.factor == 0:
                    raise nowhere(change.address, f"{shown(change.text)} leaves nothing of it", "write more, such as x0.1")
                if isinstance(value, bool | int) or not isinstance(value, float | Uncertain):
                    raise nowhere(change.address, "cannot be multiplied", "name a time, a rate, a speed or a length")
                more = value * change.factor if isinstance(value, float) else value.times(change.factor)
                if more != value:  # without end times anything is itself
                    section = _at(scenario, path[:-1])
                    refused = refusals_of(section, _field(section, str(path[-1])), more, address(path, raw))
                    if refused:
                        raise ScenarioError(FILE, refused)
                scenario = put(scenario, path, more)
    return scenario


def paths_of(raw: dict[str, Any], where: str) -> list[KeyPath]:
    """Return the paths that an address leads to, with numbers for blocks."""
    paths: list[KeyPath] = [()]
    for step in steps_of(where):
        further: list[KeyPath] = []
        for path in paths:
            value = step_into(raw, *path)
            if not isinstance(value, list):
                further.append((*path, step))
            else:
                further += [(*path, value.index(block)) for block in _inside(value, step, where)]
        paths = further
    return paths


def _known(scenario: Scenario, path: KeyPath, raw: dict[str, Any]) -> None:
    """Refuse a key that there is not, with what may have been meant."""
    value: Any = scenario
    for step in path:
        fields = getattr(type(value), "model_fields", {})
        names = [field.alias or name for name, field in fields.items()]
        if names and step not in names:
            raise nowhere(address(path, raw), "unknown key", did_you_mean(str(step), names))
        value = _at(value, (step,))
        if value is None:
            return


def _at(scenario: Scenario, path: KeyPath) -> Any:
    value: Any = scenario
    for step in path:
        value = value[step] if isinstance(step, int) else getattr(value, _field(value, step), None)
    return value


def _field(section: Any, key: str) -> str:
    """Return the name of the field that bears a key; some keys are words that Python keeps for itself."""
    fields = getattr(type(section), "model_fields", {})
    return next((name for name, field in fields.items() if field.alias == key), key)


def put(section: Any, path: KeyPath, value: Any) -> Any:
    """Return a copy of a section in which the value at a place is another."""
    step, *rest = path
    if isinstance(step, int):
        return (*section[:step], put(section[step], tuple(rest), value) if rest else value, *section[step + 1 :])
    name = _field(section, step)
    inner = getattr(section, name)
    return section.model_copy(update={name: put(inner, tuple(rest), value) if rest else value})
