"""How many feet is "22 m"? Quantities as a planner writes them, text with a unit, become plain numbers here and nowhere else.

Inside the program lengths are feet, masses pounds, durations hours, speeds miles per hour and surfacing rates square feet per
hour; a number that has passed this file never carries a unit again.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from pydantic_core import PydanticCustomError

#: kind of quantity -> (unit used inside, an example of how a planner would write it)
KINDS: dict[str, tuple[str, str]] = {
    "length": ("ft", "72 ft"),
    "duration": ("hour", "45 min"),
    "speed": ("mph", "5 mph"),
    "mass": ("lb", "155 lb"),
    "area rate": ("ft**2/hour", "9000 ft**2/h"),
    "share": ("dimensionless", "0.6"),
}


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(cache_folder=None)


def complaint(wrong: str, right: str) -> PydanticCustomError:
    """Return the error for one mistake in a value: what is wrong, and what would be right."""
    return PydanticCustomError("keystrip", "{wrong}; {right}", {"wrong": wrong, "right": right})


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
        If it is not text, cannot be read, is of another kind, or is not finite.

    Examples
    --------
    >>> read_quantity("duration", "45 min")
    0.75
    """
    unit, example = KINDS[kind]
    if kind == "share":
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise complaint(f"{value!r} is not a plain number", f"write a number such as {example}")
        return float(value)
    if not isinstance(value, str):
        raise complaint(f"{value!r} has no unit", f'write a {kind} as text with its unit, such as "{example}"')
    return in_unit(kind, value, unit)


def in_unit(kind: str, text: str, unit: str) -> float:
    """Return `text` as a number of `unit`, or raise the complaint that names what a `kind` looks like."""
    import pint

    example = KINDS[kind][1]
    try:
        quantity = _registry().Quantity(text)
        if quantity.dimensionless:
            raise complaint(f'"{text}" has no unit', f'write a {kind} with its unit, such as "{example}"')
        number = float(quantity.to(unit).magnitude)
    except PydanticCustomError:
        raise
    except pint.DimensionalityError:
        raise complaint(f'"{text}" is not a {kind}', f'write a {kind}, such as "{example}"') from None
    except Exception:  # pint raises several unrelated kinds on text that is no quantity
        raise complaint(f'"{text}" cannot be read as a quantity', f'write a {kind}, such as "{example}"') from None
    if not math.isfinite(number):
        raise complaint(f'"{text}" is not a finite {kind}', f'write a {kind}, such as "{example}"')
    # 45 min must be 0.75 h to the digit, whatever the order of the conversion's factors.
    return round(number, 12)
