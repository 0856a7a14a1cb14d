"""What is ordered beside mats, what does it weigh, and how is it stored? Key strips, small parts, tools, stacks in the yard."""

from typing import Annotated

from pydantic import Field

from simulation.scenario.types.section import (
    MOST_ENTRIES,
    Count,
    CountOrNone,
    Length,
    Mass,
    Name,
    Narrow,
    Number,
    Section,
    Share,
    at_most,
    written,
)
from simulation.scenario.types.usual_range import Usual

#: Kinds of tools of a crew.
MOST_TOOLS = 200


class KeyStrips(Section):
    """Narrow strips across an area that can be drawn out again."""

    width: Annotated[Narrow, Usual("depth", "0.25 in", "8 in")] = written("1.5 in")
    """Extent along the travel axis: every key strip shifts the rows after it by this much. Planning value."""
    lengths: Annotated[tuple[Length, ...], at_most(MOST_ENTRIES), Usual("length", "6 in", "30 ft")] = ()
    """Lengths they come in. Default: a quarter, three quarters and the whole of a full mat, so that their joints fall between
    those of the mats (planning value, from memory)."""
    mass: Annotated[Mass, Usual("mass", "0.5 lb", "60 lb")] = written("8 lb")
    """Mass of a foot (0.305 m) of it. Planning value."""
    starter_mass: Annotated[Mass, Usual("mass", "0.5 lb", "60 lb")] = written("10 lb")
    """Mass of a foot (0.305 m) of starter key strip. Planning value."""


class Accessories(Section):
    """Small parts and tools. Everything in here has no published count: replace it by what your manual says."""

    spares: Share = 0.05
    """Share of key strips, rail, seals, locking bars, connectors and tie-downs ordered beyond the field's own. Planning value."""
    row_spacers: Annotated[CountOrNone, Usual("count", 1, 200)] = 12
    """Locking bars that each crew keeps as row spacers. Planning value."""
    connector: Annotated[Length | None, Usual("length", "1 ft", "40 ft")] = None
    """Length of a connector along a junction. Default: a full mat (planning value)."""
    locking_bar_mass: Annotated[Mass, Usual("mass", "0.1 lb", "30 lb")] = written("1.5 lb")
    """Mass of a locking bar. Planning value."""
    rail_mass: Annotated[Mass, Usual("mass", "0.5 lb", "60 lb")] = written("6 lb")
    """Mass of a foot (0.305 m) of guide rail. Planning value."""
    seal_mass: Annotated[Mass, Usual("mass", "0.01 lb", "10 lb")] = written("0.2 lb")
    """Mass of a rail seal. Planning value."""
    gauge_mass: Annotated[Mass, Usual("mass", "0.05 lb", "30 lb")] = written("1 lb")
    """Mass of a gap gauge. Planning value."""
    connector_mass: Annotated[Mass, Usual("mass", "0.5 lb", "60 lb")] = written("5 lb")
    """Mass of a foot (0.305 m) of connector, and of end connector. Planning value."""
    tie_down_mass: Annotated[Mass, Usual("mass", "0.5 lb", "200 lb")] = written("8 lb")
    """Mass of a tie-down. Planning value."""
    tools: Annotated[dict[Name, Count], at_most(MOST_TOOLS), Usual("count", 1, 200)] = Field(
        default_factory=lambda: {"pry bar": 4, "sledge hammer": 2, "mallet": 4, "string line": 2, "measuring tape": 2},
    )
    """Tools of one crew, by name. Planning value."""
    tool_mass: Annotated[Mass, Usual("mass", "0.5 lb", "100 lb")] = written("10 lb")
    """Mean mass of a tool. Planning value."""
    pallet: Annotated[Mass, Usual("mass", "200 lb", "20000 lb")] = written("1860 lb")
    """What a pallet of accessories carries; key strips, rail and small parts have pallets of their own. Planning value: as much
    as a pallet of mats."""


class Storage(Section):
    """How pallets stand in the yard."""

    stacked: Annotated[Count, Usual("count", 1, 8)] = 3
    """Pallets on top of each other. Planning value."""
    length: Annotated[Length | None, Usual("length", "3 ft", "40 ft")] = None
    """Length of a pallet. Default: that of a full mat (planning value)."""
    width: Annotated[Length, Usual("length", "2 ft", "20 ft")] = written("4 ft")
    """Width of a pallet. Planning value: its middle lies 24 in from the forks' heel, the load centre of NAVEDTRA 14081 ch. 8."""
    aisles: Annotated[Number, Field(ge=0, lt=1), Usual("share", 0.05, 0.95)] = 0.6
    """Share of the yard that forklifts drive on. Planning value."""
