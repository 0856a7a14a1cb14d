"""In which units is a quantity told to a reader? Feet and pounds, or metric: the one place where a number gets its unit.

Inside the program units are one (see `units`); outside there are two families. Mistakes and warnings are worded in the rooms
where they are found, so this stands in the first of them, and every room below tells quantities by it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

System = Literal["feet", "metric"]
#: A unit of length of the metric family, as a planner may write it.
_METRIC = re.compile(r"[0-9.\s](?:mm|cm|dm|m|km|\w*(?:meter|metre)s?)\s*$")


@dataclass(frozen=True)
class Unit:
    """One unit, and how many of it make one of the unit inside.

    Attributes
    ----------
    name : str
    factor : float
    digits : int
        Decimals that a reader needs, at the most.
    """

    name: str
    factor: float
    digits: int = 0

    def of(self, inside: float) -> float:
        """Return a quantity in this unit."""
        return inside * self.factor

    def number(self, inside: float, digits: int = 0) -> str:
        """Return it as a number with so many decimals, thousands apart."""
        return f"{self.of(inside):,.{digits}f}"

    def short(self, inside: float) -> str:
        """Return it as a number with no more decimals than it needs."""
        text = f"{self.of(inside):,.{self.digits}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text

    def text(self, inside: float) -> str:
        """Return it with its unit, with no more decimals than it needs.

        Examples
        --------
        >>> FEET.length.text(96.0), METRIC.length.text(96.0)
        ('96 ft', '29.26 m')
        """
        return f"{self.short(inside)} {self.name}"

    def rounded(self, inside: float, digits: int = 0) -> str:
        """Return it with its unit and so many decimals."""
        return f"{self.number(inside, digits)} {self.name}"

    def quoted(self, inside: float) -> str:
        """Return it as a planner writes it into a scenario, to a tenth of a millimetre."""
        return f'"{round(self.of(inside), 4):.10g} {self.name}"'


@dataclass(frozen=True)
class Measures:
    """The units of one family. Inside are feet, square feet, pounds, cubic yards, miles per hour, miles, quarts.

    Attributes
    ----------
    system : {'feet', 'metric'}
    length, gap : Unit
        Of a field or a row; of a joint, a key strip, a step.
    area, mass, tons, earth : Unit
    wind, speed : Unit
        Of the air; of machines and people.
    way, water : Unit
    rate : Unit
        Ground in an hour.
    hundred : Unit
        The area that labour is told for: square feet inside, a thousand of them or a hundred square metres outside.
    """

    system: System
    length: Unit
    gap: Unit
    area: Unit
    mass: Unit
    tons: Unit
    earth: Unit
    wind: Unit
    speed: Unit
    way: Unit
    water: Unit
    rate: Unit
    hundred: Unit

    @property
    def metric(self) -> bool:
        """Whether they are the metric ones."""
        return self.system == "metric"

    def size(self, length: float, width: float) -> str:
        """Return two lengths with their unit, such as ``96 × 60 ft``."""
        return f"{self.length.short(length)} × {self.length.text(width)}"


_SQUARE_FOOT = 0.3048**2
FEET = Measures(
    "feet",
    length=Unit("ft", 1.0, 3),
    gap=Unit("in", 12.0, 3),
    area=Unit("sq ft", 1.0, 1),
    mass=Unit("lb", 1.0, 1),
    tons=Unit("short tons", 1 / 2000.0),
    earth=Unit("cu yd", 1.0, 1),
    wind=Unit("mph", 1.0, 1),
    speed=Unit("mph", 1.0, 1),
    way=Unit("miles", 1.0, 2),
    water=Unit("quarts", 1.0, 1),
    rate=Unit("sq ft/h", 1.0),
    hundred=Unit("1,000 sq ft", 1 / 1000.0),
)
METRIC = Measures(
    "metric",
    length=Unit("m", 0.3048, 2),
    gap=Unit("mm", 304.8, 1),
    area=Unit("m²", _SQUARE_FOOT, 1),
    mass=Unit("kg", 0.45359237, 1),
    tons=Unit("tonnes", 0.45359237 / 1000.0),
    earth=Unit("m³", 0.9144**3, 1),
    wind=Unit("m/s", 0.44704, 1),
    speed=Unit("km/h", 1.609344, 1),
    way=Unit("km", 1.609344, 2),
    water=Unit("litres", 0.946352946, 1),
    rate=Unit("m²/h", _SQUARE_FOOT),
    hundred=Unit("100 m²", _SQUARE_FOOT / 100.0),
)


def measures_named(system: str) -> Measures:
    """Return the units of a family by its name."""
    return METRIC if system == "metric" else FEET


def mostly_metric(lengths: Iterable[object]) -> bool:
    """Return whether more lengths than not are written in a metric unit.

    Examples
    --------
    >>> mostly_metric(["29.26 m", "1300.28 m", "60 ft"])
    True
    """
    texts = [text for text in lengths if isinstance(text, str)]
    return 2 * sum(bool(_METRIC.search(text)) for text in texts) > len(texts)
