"""Which length is a whole number of rows or half mats that was only rounded, as 29.26 m is for 96 ft? It is read as that number.

Otherwise each part of the program would round it by itself, and some would count a row, a piece of key strip or a connector more.
What is snapped is what mats, key strips, rail and connectors are counted along: sizes of areas, stations on them, offsets and
sections of rail, lengths of key strips and connectors. The yard, which lies beside the field, is not.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from simulation.scenario.reading.changes import put
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import KeyPath, address, complaint, step_into
from simulation.scenario.types.quantities.snapped import Snapped
from simulation.scenario.types.quantities.units import read_quantity
from simulation.scenario.types.unreadable import UNREAD

#: Feet by which a length may miss a whole number of its module and still be meant as it: half an inch, more than what rounding
#: to the centimetre takes, less than any part of a mat. Planning value.
TOLERANCE = 0.5 / 12.0
#: Feet of difference that are of arithmetic alone, and not worth a word.
_ALIKE = 1e-9
#: Keys of places, which may be 0; the others are sizes.
_STATIONS = ("station", "at", "shift", "start", "to")
_ROWS, _HALVES, _QUARTERS, _HALF_ROWS = "rows", "half mats", "quarter mats", "half rows"


def snapped(scenario: Scenario, raw: dict[str, Any]) -> Scenario:
    """Return a scenario whose lengths within `TOLERANCE` of the module of its mat are whole, and which knows of them.

    Parameters
    ----------
    scenario : Scenario
        As it was read; what could not be read is left.
    raw : dict
        The TOML that it was read from.
    """
    lengths: list[Snapped] = []
    for path, module, what in _lengths(scenario):
        value = _at(scenario, path)
        several = value if isinstance(value, tuple) else (value,)
        if not isinstance(module, float) or not all(isinstance(length, float) for length in several):
            continue
        whole = [_whole(length, module, path[-1] in _STATIONS) for length in several]
        if whole == list(several):
            continue
        given = step_into(raw, *_keys(path))
        written = given if isinstance(value, tuple) and isinstance(given, list) else [given]
        for number, (feet, other) in enumerate(zip(several, whole, strict=True)):
            if abs(feet - other) > _ALIKE:
                text = written[number] if number < len(written) else None
                key = address(_keys(path), raw)
                lengths.append(Snapped(key, _given(text, feet), other, round(other / module), module, what))
        scenario = put(scenario, path, tuple(whole) if isinstance(value, tuple) else whole[0])
    return scenario.read_as(tuple(lengths))


def _lengths(scenario: Scenario) -> Iterator[tuple[KeyPath, Any, str]]:
    """Yield the place of every written length that has a module, the module, and what it counts."""
    row, half = (_at(scenario, ("mat", key)) for key in ("row_depth", "half"))
    half_row = row / 2 if isinstance(row, float) else row
    quarter = half / 2 if isinstance(half, float) else half
    places: list[tuple[KeyPath, Any, str]] = []
    for number, area in enumerate(scenario.area if isinstance(scenario.area, tuple) else ()):
        here: KeyPath = ("area", number)
        places += [
            ((*here, "length"), row, _ROWS),
            ((*here, "width"), half, _HALVES),
            ((*here, "key_strips_every"), row, _ROWS),
            ((*here, "rail", "offset"), half, _HALVES),
            ((*here, "rail", "first_section"), half_row, _HALF_ROWS),
            ((*here, "rail", "section"), half_row, _HALF_ROWS),
            ((*here, "joins", "station"), row, _ROWS),
            ((*here, "joins", "at"), row, _ROWS),
            ((*here, "beside", "apart"), row, _ROWS),
            ((*here, "beside", "shift"), row, _ROWS),
        ]
        zones = getattr(area, "key_strip_zones", ())
        for zone, _ in enumerate(zones if isinstance(zones, tuple) else ()):
            places += [((*here, "key_strip_zones", zone, key), row, _ROWS) for key in ("start", "to", "every")]
    places += [(("key_strips", "lengths"), quarter, _QUARTERS), (("accessories", "connector"), half, _HALVES)]
    for number, _ in enumerate(scenario.milestone if isinstance(scenario.milestone, tuple) else ()):
        places += [(("milestone", number, "stretch", end), row, _ROWS) for end in ("start", "to")]
    yield from (entry for entry in places if _written(scenario, entry[0]))


def _written(scenario: Scenario, path: KeyPath) -> bool:
    """Return whether somebody wrote the key at a place: a default is left as it is declared."""
    *table, key = path
    return key in getattr(_at(scenario, tuple(table)), "model_fields_set", ())


def _at(scenario: Scenario, path: KeyPath) -> Any:
    value: Any = scenario
    for step in path:
        value = value[step] if isinstance(step, int) else getattr(value, step, None)
        if value is None or value is UNREAD:
            return None
    return value


def _keys(path: KeyPath) -> KeyPath:
    """Return a place as it stands in the file, where a stretch begins at ``from``."""
    return tuple("from" if step == "start" else step for step in path)


def _whole(value: float, module: float, may_be_zero: bool) -> float:
    count = round(value / module)
    near = count * module
    return near if abs(value - near) <= TOLERANCE and (count > 0 or may_be_zero) else value


def _given(text: object, value: float) -> str | float:
    """Return a length as it was written, if it still is what was written."""
    if isinstance(text, str):
        try:
            if abs(read_quantity("length", text) - value) < _ALIKE:
                return text
        except type(complaint("", "")):
            pass
    return value
