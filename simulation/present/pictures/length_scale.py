"""Which lengths stand at an axis, and how long is a scale bar? Round numbers of the reader's units, at places in feet."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.axis import Axis

    from simulation.scenario.types.quantities.measures import Measures

#: Lengths of a scale bar to choose from, in feet or in metres.
_BARS = (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


def bar_within(longest: float, told: Measures) -> tuple[float, str]:
    """Return the longest bar within so many feet, or the shortest there is: its feet, and what is written at it."""
    unit = told.length
    bar = max((one for one in _BARS if one / unit.factor <= longest), default=_BARS[0])
    return bar / unit.factor, f"{bar:,} {unit.name}"


def mark_lengths(axis: Axis, told: Measures, low: float, high: float, most: int = 9) -> None:
    """Put round numbers of the reader's units at an axis that runs from `low` to `high` in feet."""
    from matplotlib.ticker import MaxNLocator

    unit = told.length
    ends = unit.of(low), unit.of(high)
    values = [one for one in MaxNLocator(most).tick_values(*ends) if ends[0] - 1e-9 <= one <= ends[1] + 1e-9]
    axis.set_ticks([one / unit.factor for one in values], [f"{one:,.6g}" for one in values])
