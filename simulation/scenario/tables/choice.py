"""What may a plan take at most, and what of it may be chosen? Read by `keystrip plan` alone: no run depends on it."""

from __future__ import annotations

from typing import Annotated

from simulation.scenario.types.section import MOST_ENTRIES, Count, Name, Section, at_most
from simulation.scenario.types.usual_range import Usual


class Limits(Section):
    """What there is at most, for `keystrip plan`."""

    people: Annotated[Count | None, Usual("count", 5, 1000)] = None
    """On site at any hour, operators, drivers and every set of them included. Default: no limit."""
    forklifts: Annotated[Count | None, Usual("count", 1, 40)] = None
    """Forklifts. Default: no limit; up to two more than there are are tried."""
    loads_a_day: Annotated[Count | None, Usual("count", 1, 2000)] = None
    """Pallets that may come to the yard on one local day. Default: no limit."""


class Choose(Section):
    """What may be chosen, for `keystrip plan`."""

    values: Annotated[tuple[Name, ...], at_most(MOST_ENTRIES)] = ()
    """A key by its address and its values, such as "forklifts.count=3,4,5", or "crews=1x48,2x24". Default: start, forklifts,
    order of areas and people of each crew."""
