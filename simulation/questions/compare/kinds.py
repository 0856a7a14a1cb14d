"""Which plans are of one kind, so that a line from one to the next says what more people do? Read off the names of plans."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

from simulation.study.changes.variations import AS_WRITTEN

_TEAM = re.compile(r"(\d+)x(\d+)")
_PART = re.compile(r"(?P<key>\S[^=]*?)(?P<value>=.*| [+-]\d+| times .*)")
_CREWS, _PEOPLE = "crews", "people in each"

Parts = dict[str, str]


def find_kinds(names: Sequence[str], people: Sequence[int]) -> list[str | None]:
    """Return the kind of each plan: what it has in common with the others on its line; None where it stands alone.

    Plans of one kind differ in one key, the one that changes the number of people most. The plan as written joins the line on
    which it is the only one missing.

    Examples
    --------
    >>> find_kinds(["as written", "people=16, count=2", "people=24, count=2", "people=16, count=3"], [30, 20, 28, 22])
    ['count=3', 'count=2', 'count=2', 'count=3']
    """
    parts = [_read_parts(name) for name in names]
    if AS_WRITTEN in names:
        index = names.index(AS_WRITTEN)
        parts[index] = _parts_as_written([some for some in parts if some])
    keys = dict.fromkeys(key for some in parts for key in some)
    best = max(keys, key=lambda key: _spread(parts, people, key), default=None)
    if best is None or not _spread(parts, people, best):
        return [None] * len(names)
    sizes = _group(parts, best)
    kinds: list[str | None] = [None] * len(names)
    for kind, indices in sizes.items():
        for index in indices if len(indices) > 1 else ():
            kinds[index] = kind
    return kinds


def _read_parts(name: str) -> Parts:
    parts: Parts = {}
    for part in name.split(", "):
        if team := _TEAM.fullmatch(part):
            parts |= {_CREWS: team[1], _PEOPLE: team[2]}
        elif match := _PART.fullmatch(part):
            parts[match["key"]] = match["value"]
    return parts


def _parts_as_written(others: Sequence[Parts]) -> Parts:
    """Return what the plan as written has in the keys that are varied: the one combination that no other plan has."""
    keys = list(dict.fromkeys(key for some in others for key in some))
    if not keys or _CREWS in keys:
        return {}
    if all(len(some) == 1 for some in others):  # one key, or each value alone: it differs from each plan in that key only
        return dict.fromkeys(keys, "")
    values = {key: list(dict.fromkeys(some[key] for some in others if key in some)) for key in keys}
    if math.prod(map(len, values.values())) != len(others) + 1:
        return {}
    missing: Parts = {}
    for key in keys:  # each value stands in as many plans as any other, but that of the missing one in one less
        counts = {value: sum(some.get(key) == value for some in others) for value in values[key]}
        missing[key] = min(counts, key=lambda value: counts[value])
    return missing


def _group(parts: Sequence[Parts], key: str) -> Mapping[str, list[int]]:
    """Return the places of the plans that have a key, by what else they have."""
    groups: dict[str, list[int]] = {}
    for index, some in enumerate(parts):
        if key in some:
            rest = [_say(other, value) for other, value in some.items() if other != key and value]
            groups.setdefault(", ".join(rest), []).append(index)
    return groups


def _say(key: str, value: str) -> str:
    return (f"{value} crew" + ("" if value == "1" else "s")) if key == _CREWS else f"{key}{value}"


def _spread(parts: Sequence[Parts], people: Sequence[int], key: str) -> int:
    """Return by how many people plans differ that differ in a key alone."""
    groups = _group(parts, key).values()
    return sum(max(people[index] for index in some) - min(people[index] for index in some) for some in groups)
