"""Which lengths stand at an axis, and how long is a scale bar? Round numbers of the reader's units, at places in feet."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axis import Axis

    from simulation.scenario.types.quantities.measures import Measures

#: Lengths of a scale bar to choose from, in feet or in metres.
_BARS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


def bar_within(longest: float, measures: Measures) -> tuple[float, str]:
    """Return the longest bar within so many feet, or the shortest there is: its feet, and what is written at it."""
    unit = measures.length
    bar = max((length for length in _BARS if length / unit.factor <= longest), default=_BARS[0])
    return bar / unit.factor, f"{bar:,} {unit.name}"


def mark_lengths(axis: Axis, measures: Measures, low: float, high: float, most: int = 9) -> None:
    """Put round numbers of the reader's units at an axis that runs from `low` to `high` in feet."""
    from matplotlib.ticker import MaxNLocator

    unit = measures.length
    ends = unit.of(low), unit.of(high)
    values = [value for value in MaxNLocator(most).tick_values(*ends) if ends[0] - 1e-9 <= value <= ends[1] + 1e-9]
    axis.set_ticks([value / unit.factor for value in values], [f"{value:,.6g}" for value in values])
