"""What lies in and on an area beside its mats: guide rail, end ramps, stands, and where an area that joins nothing lies?"""

from typing import Annotated, Literal

from pydantic import Field

from simulation.scenario.types.section import (
    Angle,
    Apart,
    Count,
    CountOrNone,
    Extent,
    Gap,
    Length,
    Name,
    Narrow,
    Number,
    Piece,
    Position,
    Section,
    planned,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration, UncertainLength
from simulation.scenario.types.usual_range import Usual


class Rail(Section):
    """A guide rail along an area: it splits every row into two lanes and keeps both straight."""

    offset: Annotated[Length, Usual("length", "2 ft", "300 ft")] = written("18 ft")
    """From the edge to the rail; a whole number of half mats. Common practice: 18 ft from one edge of a 72-ft strip."""
    edge: Literal["left", "right"] = "left"
    """The edge it is measured from, looking from low to high. Default: the left (planning value)."""
    first_section: Piece = written("9 ft")
    """The section at which laying begins, so that its joints fall between those of the mats. NAVEDTRA 14251 ch. 11."""
    section: Piece = written("10 ft")
    """Every other section. NAVEDTRA 14251 ch. 11."""
    seal: Annotated[Narrow, Usual("depth", "0.02 in", "2 in")] = written("0.125 in")
    """Between two sections. NAVEDTRA 14251 ch. 11: 1/8 in."""
    gauges: Annotated[Count, Field(le=1_000), Usual("count", 2, 100)] = 10
    """Gap gauges that stay in place behind the leading joint. Common practice: ten or more. They are the rail gang's kit: one
    comes free when mats have passed its joint, so the rail is never more joints than these ahead of the mats."""
    clearance: Annotated[Gap, Usual("depth", "0.5 in", "24 in")] = written("3 in")
    """Least distance from a joint of the rail to one of the mats. Common practice."""
    sides_within: Annotated[Gap, Usual("depth", "0.25 in", "10 ft")] = written("3 in")
    """How far the rows of one side may be ahead of those of the other. Common practice."""
    creep: Annotated[UncertainLength, Usual("depth", "0.001 in", "0.25 in")] = planned(p10="0.005 in", p90="0.02 in", scatter=0.5)
    """How much farther apart than their module two rows lie, because mats fit loosely; the scatter is that of a row.
    Planning value."""
    uneven: Annotated[UncertainLength, Usual("depth", "0.0005 in", "0.25 in")] = written("0 in")
    """How much more of it each row has on one side of the rail than on the other. Default: none (planning value)."""
    slower: Literal["left", "right"] = "right"
    """The side on which mats go in reverse order, looking from low to high. Default: the right (planning value)."""
    slower_by: Annotated[Number, Field(ge=1, le=100), Usual("share", 1.0, 3.0)] = 1.3
    """Placing a mat on that side takes this many times as long as on the other. Planning value."""
    remedy: Literal["short section", "re-seating"] = "short section"
    """What is done before a joint of the rail would come too near to one of the mats: the rail gang sets a short section; or the
    crew re-seats the rows laid since the last time, which closes up what they have crept, and a short section is set where that
    would not do. Default: a short section (planning value)."""


class Ramp(Section):
    """How the end ramps of an area lie; written where they are not the default ones."""

    rows: Annotated[Count, Field(le=1_000), Usual("count", 1, 40)] = 5
    """Rows in the trench of each end ramp. Common practice; NAVEDTRA 14251 ch. 11."""
    buried: Annotated[Count, Usual("count", 1, 40)] = 4
    """The lowest of them, which are covered again. Common practice."""
    slope: Annotated[Angle | None, Usual("angle", "2 degree", "45 degree")] = None
    """Of the rows in the trench. Not together with `drop`. Default: what the drop gives."""
    drop: Annotated[Length | None, Usual("depth", "6 in", "8 ft")] = None
    """Depth of the free end below ground. Not together with `slope`. Default: 24 in, where the handbook's 18 to 24 in
    (NAVEDTRA 14251 ch. 11) comes nearest to the slopes of practice, 15 to 30 degrees."""
    end_space: Annotated[Extent, Usual("length", "3 in", "30 ft")] = written("2 ft")
    """Room to work between the free end and the end of the trench. Planning value."""
    side_space: Annotated[Extent, Usual("length", "3 in", "30 ft")] = written("1 ft")
    """Room to work beside the mats in the trench, on either side. Planning value."""
    swell: Annotated[Number, Field(ge=0, le=1), Usual("share", 0.02, 0.7)] = 0.25
    """How much more room dug ground takes than it took in place. Planning value: common earth."""
    shrinkage: Annotated[Number, Field(ge=0, le=0.5), Usual("share", 0.01, 0.35)] = 0.10
    """How much less it takes where it is compacted. Planning value: common earth."""


class Stands(Section):
    """Places where aircraft are parked and tied down."""

    count: Annotated[Count, Field(le=500), Usual("count", 1, 200)]
    """How many there are."""
    tie_downs: Annotated[CountOrNone, Field(le=100), Usual("count", 1, 40)] = 6
    """Tie-down points of each. Planning value."""
    holes: Annotated[CountOrNone, Field(le=20), Usual("count", 1, 8)] = 1
    """Holes drilled for a tie-down point. Planning value."""
    drill: Annotated[UncertainDuration, Usual("duration", "1 min", "3 h")] = planned(p10="8 min", p90="20 min", scatter=0.3)
    """Drilling one hole and setting what belongs into it, when the area's last row is laid and checked. Planning value."""
    drills: Annotated[Count, Field(le=200), Usual("count", 1, 50)] = 1
    """Drills at work at once. Planning value."""


class Beside(Section):
    """Where an area lies that joins none: parallel to another."""

    area: Name
    """The other area."""
    apart: Apart
    """Clear distance between the edges that face each other."""
    side: Literal["left", "right"] = "left"
    """Which side of the other area, looking from its low to its high end. Default: the left (planning value)."""
    shift: Annotated[Position, Usual("length", "-3 mile", "3 mile")] = written("0 ft")
    """How far its low end lies beyond the other's low end. Default: level with it (planning value)."""


class KeyStripZone(Section):
    """A stretch of an area on which key strips lie closer, or wider apart, than elsewhere on it."""

    start: Position = written("0 ft", alias="from")
    """Station of its beginning. Default: the area's low end."""
    to: Position
    """Station of its end."""
    every: Annotated[Length, Usual("length", "8 ft", "2000 ft")]
    """Distance from one of its key strips to the next; where it is less than before it, the first stands at its beginning."""
