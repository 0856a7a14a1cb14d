"""Does a stretch lie in its area, from a station to one beyond it?"""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.tables.ground import Area
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.quantities.measures import Unit

#: Feet that arithmetic may be off.
_NOTHING = 1e-9


def stretch_within(key: str, low: float, high: float, area: Area, unit: Unit, so: str = "") -> Iterator[Mistake]:
    """Yield a mistake at `key` where a stretch does not lie in an area; `so` says what would come of it."""
    if not 0 <= low < high <= area.length + _NOTHING:
        wrong = f"{unit.short(low)} to {unit.text(high)} is no stretch of {area.name}{so}"
        yield Mistake(key, wrong, f"write from and to, rising, within {unit.quoted(0.0)} and {unit.quoted(area.length)}")
