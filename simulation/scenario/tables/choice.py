"""What may a plan take at most, and what of it may be chosen? Read by `keystrip plan` alone: no run depends on it."""

from typing import Annotated

from pydantic import Field

from simulation.scenario.types.section import (
    MOST_ENTRIES,
    Count,
    CountOrNone,
    Name,
    Number,
    Section,
    at_most,
    not_written,
    written,
)
from simulation.scenario.types.usual_range import Usual

Price = Annotated[Number, Field(ge=0, le=1e9), Usual("count", 0.001, 100_000)]


class Prices(Section):
    """What one of each thing costs for the job, in any unit."""

    person: Price = 0.0
    """Anybody on site. Default: nothing."""
    forklift: Price = 0.0
    """A forklift. Default: nothing."""
    truck: Price = 0.0
    """A truck of any fleet. Default: nothing."""
    grading_gang: Price = 0.0
    """The machines of a grading gang. Default: nothing."""
    unit: Name = "points"
    """What prices and spend are counted in. Planning value."""


class Limits(Section):
    """What there is at most, for `keystrip plan`."""

    people: Annotated[Count | None, Usual("count", 5, 1000)] = None
    """On site at any hour, operators, drivers and every set of them included. Default: no limit; where nobody says what may be
    chosen, and no trade and no spend is limited, as many as the plan as written has."""
    in_crews: Annotated[Count | None, Usual("count", 5, 1000)] = None
    """In laying crews. Default: no limit."""
    forklift_operators: Annotated[Count | None, Usual("count", 1, 200)] = None
    """Every set of them. Default: no limit."""
    truck_drivers: Annotated[Count | None, Usual("count", 1, 1000)] = None
    """Every set of them. Default: no limit."""
    graders: Annotated[CountOrNone | None, Usual("count", 1, 200)] = None
    """Every set of them. Default: no limit."""
    forklifts: Annotated[Count | None, Usual("count", 1, 40)] = None
    """Forklifts. Default: no limit; up to two more than there are are tried."""
    trucks: Annotated[CountOrNone | None, Usual("count", 1, 400)] = None
    """Trucks of all fleets. Default: no limit."""
    loads_a_day: Annotated[Count | None, Usual("count", 1, 2000)] = None
    """Pallets that may come to the yard on one local day. Default: no limit."""
    spend: Annotated[Annotated[Number, Field(gt=0, le=1e12)] | None, Usual("count", 1, 500_000)] = None
    """What all that a plan takes may cost together, by `limits.price`. Default: no limit."""
    price: Prices = not_written()
    """What one of each thing costs. Default: nothing."""


class Choose(Section):
    """What may be chosen, for `keystrip plan`."""

    values: Annotated[tuple[Name, ...], at_most(MOST_ENTRIES)] = ()
    """A key by its address and its values, such as "forklifts.count=3,4,5", or "crews=1x48,2x24". Default: start, forklifts,
    trucks, grading gangs, hours of those who serve crews, and of crews who goes first, their hours, order of areas and people."""
    goal: Annotated[str, Field(pattern=r"^([pP][1-9]\d?|mean|chance)$")] = written("P80")
    """What is to be earliest: "P80" or another quantile, "mean", or "chance", that of the deadline. Common practice."""
    milestone: Name | None = None
    """Of which milestone. Default: that of readiness."""
