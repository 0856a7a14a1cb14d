"""What is in a scenario once more, or in the place of something else, with every key that it has? Blocks of the file, copied.

A block is never written anew from what is known of it: it would lose the keys that nobody thought of.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from copy import deepcopy
from typing import Any

from simulation.scenario.reading.changes import nowhere, paths_of, steps_of
from simulation.scenario.tables.tasks import FROM_CREW
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import did_you_mean, shown, step_into, step_name


def put_blocks(raw: dict[str, Any], change: Change) -> None:
    """Put a change that copies blocks into what a TOML file holds; any other is left.

    Parameters
    ----------
    raw : dict
        Of the file, changed in place.
    change : Change
        ``crew.A 2=copy of crew.A`` appends a block of another name; ``shifts.forklift=copy of shifts.all`` writes a table
        with the keys of another, none where that is not written; ``crew=crews of 20 + 16`` puts crews in the place of the written
        ones; people of a crew that is left out then come from the last of the new ones.

    Raises
    ------
    ScenarioError
        If an address leads nowhere, or to what is there already.
    """
    if change.copied is not None:
        _copy(raw, change.address, change.copied)
    elif change.crews:
        raw["crew"] = _crews(raw.get("crew"), change.crews, change.address)
        _lend_instead(raw)


def _copy(raw: dict[str, Any], where: str, of: str) -> None:
    *steps, name = steps_of(where)
    block = _block(raw, of)
    into: Any = raw
    for step in steps:
        if isinstance(into, list):
            into = next((block for block in into if isinstance(block, dict) and block.get("name") == step), None)
        else:
            into = into.setdefault(step, {}) if isinstance(into, dict) else None
    if isinstance(into, list):
        names = [block.get("name") for block in into if isinstance(block, dict)]
        if name in names:
            raise nowhere(where, f"there is a {shown(name)} already", "give the copy another name")
        into.append({**block, "name": name})
    elif isinstance(into, dict) and name not in into:
        into[name] = block
    else:
        raise nowhere(where, "is there already" if isinstance(into, dict) else "is no place for a block", "name a new block")


def _block(raw: dict[str, Any], of: str) -> dict[str, Any]:
    places = paths_of(raw, of)
    parent = step_into(raw, *places[0]) if len(places) == 1 else None
    if parent is None and len(places) == 1 and all(isinstance(step, str) for step in places[0]):
        return {}  # a table that is not written has its defaults, and so has its copy
    if not isinstance(parent, dict):
        raise nowhere(of, "is not one block of the scenario", "name one table, such as crew.A")
    return deepcopy(parent)


def _crews(written: Any, people: Sequence[int], where: str) -> list[dict[str, Any]]:
    if where != "crew" or not isinstance(written, list) or not all(isinstance(crew, dict) for crew in written):
        raise nowhere(where, "crews stand under crew alone", did_you_mean(where, ["crew"]))
    crews: list[dict[str, Any]] = []
    for index, each in enumerate(people):
        like = written[index % len(written)]
        name = (
            like.get("name") if index < len(written) else free_name(str(like.get("name")), [crew.get("name") for crew in crews])
        )
        crews.append({**deepcopy(like), "name": name, "people": each})
    laid = {name for crew in crews for name in _areas(crew)}
    left = [name for crew in written for name in _areas(crew) if name not in laid]
    if left:
        crews[-1]["areas"] = [*_areas(crews[-1]), *dict.fromkeys(left)]
    return crews


def _lend_instead(raw: dict[str, Any]) -> None:
    """Let tasks of people of a crew that there is no more be done by people of the last crew."""
    tasks, names = raw.get("task"), [f"{FROM_CREW}{crew.get('name')}" for crew in raw["crew"]]
    for task in tasks if isinstance(tasks, list) else []:
        gang = task.get("gang") if isinstance(task, dict) else None
        if isinstance(gang, str) and gang.startswith(FROM_CREW) and gang not in names:
            task["gang"] = names[-1]


def free_name(like: str, taken: Collection[object]) -> str:
    """Return a name like another that nobody bears, such as ``red 2``."""
    return next(name for number in range(2, len(taken) + 3) if (name := f"{like[:56].strip()} {number}") not in taken)


def _areas(crew: dict[str, Any]) -> list[Any]:
    areas = crew.get("areas")
    return areas if isinstance(areas, list) else []


def for_copies(changes: Sequence[Change], raw: dict[str, Any]) -> list[Change]:
    """Return changes with those that multiply something in a block once more for the block's copies.

    What is multiplied is multiplied last, so that a block that is copied after a change of it would go without.
    """
    copied: list[Change] = []
    for change in changes:
        if change.copied is not None:
            old = steps_of(change.copied)
            copied += [
                Change(".".join(map(step_name, (*steps_of(change.address), *steps[len(old) :]))), earlier.text)
                for earlier in copied
                if earlier.factor is not None and (steps := steps_of(earlier.address))[: len(old)] == old
            ]
        copied.append(change)
    return copied
