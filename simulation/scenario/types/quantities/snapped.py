"""A length that is read as a whole number of rows or half mats."""

from __future__ import annotations

from dataclasses import dataclass

from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.quantities.measures import Measures


@dataclass(frozen=True)
class Snapped:
    """A length that was read as a whole number of its module.

    Attributes
    ----------
    key : str
        Its address.
    given : str or float
        As it was written; feet where a relative change made it.
    value : float
        Feet that it is read as.
    count : int
    module : float
        Feet.
    what : str
        What is counted.
    """

    key: str
    given: str | float
    value: float
    count: int
    module: float
    what: str

    def read_as(self, measures: Measures) -> str:
        """Return in words how it is read."""
        unit = measures.length
        given = shown(self.given) if isinstance(self.given, str) else unit.quoted(self.given).strip('"')
        value, module = (unit.quoted(feet).strip('"') for feet in (self.value, self.module))
        return f"{given} is read as {value}, {self.count:,} {self.what} of {module}"
