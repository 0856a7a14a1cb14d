"""How many feet is "22 m"? Quantities as a planner writes them become plain numbers here and nowhere else.

Inside the program lengths are feet, masses pounds, durations hours, speeds miles per hour and surfacing rates square
feet per hour; a number that has passed this file never carries a unit again.
"""

from __future__ import annotations

import re
from typing import Any

from simulation.scenario.types.mistakes import complaint, shown
from simulation.scenario.types.quantities.unit_names import meant_unit, unit_factor

#: kind of quantity -> (unit used inside, an example of how a planner would write it)
KINDS: dict[str, tuple[str, str]] = {
    "length": ("ft", "72 ft"),
    "duration": ("hour", "45 min"),
    "speed": ("mph", "5 mph"),
    "mass": ("lb", "155 lb"),
    "angle": ("degree", "20 degree"),
    "area rate": ("ft**2/hour", "9000 ft**2/h"),
    "share": ("dimensionless", "0.6"),
}

#: The same examples in a file that is metric, and what one of each unit of a limit is there.
_METRIC_EXAMPLES = {"72 ft": "22 m", "5 mph": "8 km/h", "155 lb": "70 kg", "9000 ft**2/h": "800 m**2/h"}
_METRIC = {
    "in": (0.0254, "m"),
    "ft": (0.3048, "m"),
    "mile": (1.609344, "km"),
    "mph": (1.609344, "km/h"),
    "lb": (0.45359237, "kg"),
}

#: Numbers inside are kept below this; what lies beyond is a slip of the pen, and so is what is nearer to nothing.
LARGEST, SMALLEST = 1e12, 1e-12

_QUANTITY = re.compile(r"\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*?)\s*")
# A number with one comma in it, and what stands behind the number.
_COMMA = re.compile(r"([+-]?[0-9]*),([0-9]+)((?![0-9])[^,]*)")
# A number that is not written as nothing.
_SOMETHING = re.compile(r"[+-]?[0.]*[1-9]")


def read_quantity(kind: str, value: Any) -> float:
    """Return a quantity written as text in the unit used inside.

    Parameters
    ----------
    kind : str
        A key of `KINDS`.
    value : object
        What stands in the scenario: text with a unit, or a bare number where `kind` is ``"share"``.

    Raises
    ------
    PydanticCustomError
        If it is not text, cannot be read, is of another kind or in a unit that is none of the plain ones, or is not finite.

    Examples
    --------
    >>> read_quantity("duration", "45 min")
    0.75
    """
    if kind == "share":
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= LARGEST:
            raise complaint(f"{shown(value)} is not a plain number", f"write a number such as {KINDS[kind][1]}")
        return float(value)
    if isinstance(value, str):
        return _read_text(kind, value)
    wrong = "has no unit" if isinstance(value, int | float) and not isinstance(value, bool) else f"is not {_a(kind)}"
    raise complaint(f"{shown(value)} {wrong}", _advice(kind))


def _read_text(kind: str, text: str) -> float:
    parts = _QUANTITY.fullmatch(text)
    if parts and not parts[2]:
        raise complaint(f"{shown(text)} has no unit", _advice(kind))
    factor = unit_factor(kind, parts[2]) if parts else None
    if parts is None or factor is None:
        raise complaint(f"{shown(text)} is not {_a(kind)}", f"{unit_hint(kind, text)}{_advice(kind)}")
    number = float(parts[1]) * factor
    if abs(number) > LARGEST:
        raise complaint(f"{shown(text)} is too large to be meant", _advice(kind))
    # 45 min must be 0.75 h to the digit, whatever the order of the conversion's factors.
    rounded = round(number, 12)
    if not rounded and _SOMETHING.match(parts[1]):
        raise complaint(f"{shown(text)} is too small to be meant", f'write "0 {parts[2]}" for none; {_advice(kind)}')
    return rounded


def in_metric(advice: str) -> str:
    """Return an advice as it stands in a metric file: quotes of feet, miles and pounds in metres, kilometres and kilograms.

    What is guessed to be meant stays in the unit that it was written in.

    Examples
    --------
    >>> in_metric('write "1 in" or more'), in_metric('such as "72 ft"'), in_metric('did you mean "9 ft"?')
    ('write "0.0254 m" or more', 'such as "22 m"', 'did you mean "9 ft"?')
    """

    def other(quote: re.Match[str]) -> str:
        number, unit = quote.groups()
        factor, metric = _METRIC[unit]
        return f'"{_METRIC_EXAMPLES.get(quote[0][1:-1]) or f"{float(number) * factor:.10g} {metric}"}"'

    advice = advice.replace('"9000 ft**2/h"', f'"{_METRIC_EXAMPLES["9000 ft**2/h"]}"')
    return re.sub(rf'(?<!mean )"(-?[0-9.]+) ({"|".join(_METRIC)})"', other, advice)


def comma_hint(text: str) -> str:
    """Return how a number is written that has a comma in it, for its decimal point or its thousands; nothing where it has none.

    Examples
    --------
    >>> comma_hint("80,5 m"), comma_hint("1,200"), comma_hint("80.5 m")
    ('write 80.5 m: a point, not a comma', 'write 1200, or 1.200 if a point is meant: no comma', '')
    """
    if not (parts := _COMMA.fullmatch(text.strip())):
        return ""
    pointed = f"{parts[1]}.{parts[2]}{parts[3]}" if parts[1].strip("+-") else f"{parts[1]}0.{parts[2]}{parts[3]}"
    if len(parts[2]) != 3 or not parts[1].strip("+-0"):
        return f"write {pointed}: a point, not a comma"
    return f"write {parts[1]}{parts[2]}{parts[3]}, or {pointed} if a point is meant: no comma"


def unit_hint(kind: str, text: str) -> str:
    """Return how a quantity was most likely meant whose number has a comma or whose unit is none of the plain ones, or nothing.

    Examples
    --------
    >>> unit_hint("duration", "9 dd"), unit_hint("length", "80,5 m")
    ('did you mean "9 d"? ', 'write 80.5 m: a point, not a comma; ')
    """
    if hint := comma_hint(text):
        return f"{hint}; "
    parts = _QUANTITY.fullmatch(text)
    meant = meant_unit(kind, parts[2]) if parts else None
    return f'did you mean "{parts[1]} {meant}"? ' if parts and meant else ""


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _advice(kind: str) -> str:
    return f'write {_a(kind)} as a number and its unit in quotes, such as "{KINDS[kind][1]}"'
