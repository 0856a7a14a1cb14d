"""What is usual for a key? A range with its origin, which stands in the type of a field, and how it is told."""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.scenario.types.quantities.measures import Measures
from simulation.scenario.types.quantities.units import read_quantity


@dataclass(frozen=True)
class Usual:
    """The usual range of a quantity; it stands in the type of a field, and one at the field itself comes before it.

    Attributes
    ----------
    kind : str
        A key of `units.KINDS`; ``"depth"``, a length told as one of water or of a joint; ``"count"`` or ``"temperature"``.
    least, most : str or float
        As a planner would write them, of a temperature in °C; `most` is None where the range has no end.
    origin : str
        Where the range comes from.
    """

    kind: str
    least: str | float
    most: str | float | None
    origin: str = "planning value"

    @property
    def ends(self) -> tuple[float, float]:
        """The range in the unit used inside."""
        return self._inside(self.least), math.inf if self.most is None else self._inside(self.most)

    def holds(self, value: float, beyond: float = 1.0) -> bool:
        """Return whether a value inside the program lies in the range, or so many times beyond it."""
        least, most = self.ends
        return least / beyond <= value <= most * beyond

    def in_words(self, measures: Measures) -> str:
        """Return the range in the units of a reader."""
        least, most = self.ends
        return f"{self.quantity(least, measures)} {'or more' if self.most is None else f'to {self.quantity(most, measures)}'}"

    def quantity(self, value: float, measures: Measures) -> str:
        """Return a quantity inside the program in the units of a reader, however small or large it is."""
        match self.kind:
            case "duration":
                for unit, hours in (("s", 1 / 3600), ("min", 1 / 60), ("h", 1.0)):
                    if abs(value) < 99.5 * hours:
                        return f"{value / hours:.3g} {unit}"
                return f"{_short(value / 24)} days"
            case "share":
                return f"{value:.3g}"
            case "count":
                return _short(value)
            case "angle":
                return f"{value:.4g} degrees"
            case "temperature":
                return f"{value:.4g} °C" if measures.metric else f"{1.8 * value + 32:.4g} °F"
        named = {"area rate": measures.rate, "length": measures.length, "depth": measures.gap, "mass": measures.mass}
        measure = named.get(self.kind, measures.speed)
        # What the unit's own decimals would round away is told by its first digits.
        return (
            measure.text(value) if abs(measure.of(value)) >= 10.0**-measure.digits else f"{measure.of(value):.3g} {measure.name}"
        )

    def _inside(self, end: str | float) -> float:
        return read_quantity("length" if self.kind == "depth" else self.kind, end) if isinstance(end, str) else float(end)


def _short(number: float) -> str:
    """Return a number with four digits, and a large one with its thousands apart."""
    return f"{number:,.0f}" if abs(number) >= 1_000 else f"{number:.4g}"
