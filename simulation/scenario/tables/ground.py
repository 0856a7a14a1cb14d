"""Where does the field lie, what are its areas, what is a mat, and what counts as ready?"""

from typing import Annotated, Literal

from pydantic import Field, StrictBool

from simulation.scenario.tables.area_parts import Beside, KeyStripZone, Rail, Ramp, Stands
from simulation.scenario.types.section import (
    MOST_BLOCKS,
    Angle,
    Closing,
    CountOrNone,
    HoursEitherWay,
    Length,
    Mass,
    Name,
    Number,
    Position,
    Section,
    at_most,
    not_written,
    written,
)
from simulation.scenario.types.usual_range import Usual


class Site(Section):
    """Where on the globe the field lies; daylight follows from it."""

    latitude: Annotated[Number, Field(ge=-90, le=90)]
    """Degrees, north positive."""
    longitude: Annotated[Number, Field(ge=-180, le=180)]
    """Degrees, east positive."""
    utc_offset: HoursEitherWay = written("0 h")
    """Local time minus UTC. Default: none (planning value)."""
    bearing: Annotated[Angle, Field(ge=0, le=360)] = written("90 degree")
    """Which way the first area runs from its low to its high end, clockwise from north. Default: east (planning value)."""


class Mat(Section):
    """The mat, the pallet it comes on, and what they weigh."""

    row_depth: Annotated[Length, Usual("length", "1 ft", "10 ft")] = written("2 ft")
    """Extent of one row along the travel axis. Nominal module of mats of this kind (common practice)."""
    full: Annotated[Length, Usual("length", "3 ft", "30 ft")] = written("12 ft")
    """Length of a full mat, across the travel axis; two half mats. Common practice."""
    half: Annotated[Length, Usual("length", "1.5 ft", "15 ft")] = written("6 ft")
    """Length of a half mat. Common practice."""
    pallet_full: Annotated[CountOrNone, Usual("count", 1, 60)] = 11
    """Full mats on a pallet. UFC 3-270-07 (2002) 2-4.2.8.3: 11 full and 2 half mats, 288 sq ft."""
    pallet_half: Annotated[CountOrNone, Usual("count", 1, 60)] = 2
    """Half mats on a pallet. UFC 3-270-07 (2002) 2-4.2.8.3."""
    mass: Annotated[Mass, Usual("mass", "20 lb", "500 lb")] = written("155 lb")
    """Mass of a full mat; a half mat weighs half. Highest of the 140, 150 and 155 lb of service news 2009-2014."""
    dunnage: Annotated[Mass, Usual("mass", "5 lb", "1000 lb")] = written("140 lb")
    """Wood and banding of a pallet. Makes a nominal pallet 2,000 lb gross (common practice)."""

    @property
    def gross_pallet(self) -> float:
        """Gross pounds of a pallet of mats."""
        return (self.pallet_full + self.pallet_half / 2) * self.mass + self.dunnage


class Joins(Section):
    """The place where an area meets one that is laid before it, at a right angle.

    With `at` at either end of the joining area its end edge meets the other area; anywhere between, its long side does.
    """

    area: Name
    """The area it joins."""
    station: Position | None = None
    """Where along the other area's side, from its low end. Not together with `end`."""
    side: Literal["left", "right"] = "right"
    """Which side of the other area, looking from its low to its high end. Default: the right."""
    end: Literal["low", "high"] | None = None
    """Which end of the other area. Not together with `station`."""
    at: Position = written("0 ft")
    """Where along its own travel axis the junction lies. Default: at its low end (planning value)."""


class Area(Section):
    """One rectangle of the field."""

    name: Name
    length: Annotated[Length, Usual("length", "4 ft", "20000 ft")]
    """Along the travel axis; a whole number of rows."""
    width: Annotated[Length, Usual("length", "4 ft", "3000 ft")]
    """Across it; a whole number of half mats."""
    start: Literal["one-end", "centre-out"] = "one-end"
    """Where laying begins: at one end, or at a starter key strip in the middle, two laying edges laying away from each other."""
    start_from: Literal["low", "high"] = Field(default="low", alias="from")
    """Which end a one-end start begins at. Default: the low one."""
    end_ramps: StrictBool = False
    """Whether the first and last five rows lie in trenches as sloping, buried ramps."""
    ramp: Ramp = not_written()
    """How the end ramps lie. Default: see each key."""
    key_strips_every: Annotated[Length, Usual("length", "8 ft", "2000 ft")] = written("100 ft")
    """Distance between key strips after the first, which follows the first five rows. NAVEDTRA 14251 ch. 11."""
    key_strip_zones: Annotated[tuple[KeyStripZone, ...], at_most(MOST_BLOCKS)] = ()
    """Stretches with a distance of their own, such as those where aircraft touch down. Default: none, one distance everywhere
    (NAVEDTRA 14251 ch. 11)."""
    guide_rail: StrictBool = False
    """Whether a guide rail splits the area into two lanes."""
    rail: Rail = not_written()
    """Where the guide rail lies and how. Default: see each key."""
    joins: Joins | None = None
    """The junction with an area that is laid before this one."""
    meets: Name | None = None
    """The area that its other end meets as well, where it lies between two. Default: none."""
    beside: Beside | None = None
    """Where it lies if it joins none. Default: side by side with what stands before it, 200 ft apart (planning value)."""
    end_connectors: Annotated[CountOrNone | None, Usual("count", 1, 2000)] = None
    """Rows of end connectors. Default: one at each end that no ramp buries and no junction takes (planning value)."""
    stands: Stands | None = None
    """Stands with their tie-downs. Default: none."""


class Stretch(Section):
    """Part of an area, from station to station."""

    area: Name
    start: Position = written("0 ft", alias="from")
    """Station of its beginning. Default: the area's low end."""
    to: Position
    """Station of its end."""


class Usable(Section):
    """A length of an area without a gap, wherever it lies: rows laid, those in end ramps counted."""

    area: Name
    """The area."""
    length: Annotated[Length, Usual("length", "4 ft", "20000 ft")]
    """The least length. Rows count when they lie, checked or not, those of one pallet together."""
    done: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = Field(default=(), alias="with")
    """Tasks without which nobody can use it. Default: none."""


class Milestone(Section):
    """Areas, part of one, or tasks: what is to be usable, and the work that closes it."""

    name: Name
    areas: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = ()
    """Areas that must be laid and checked. Not together with `stretch`."""
    stretch: Stretch | None = None
    """Or a stretch of one area; it is reached at the end of its last row."""
    usable: Usable | None = None
    """Or so long a part of one area, wherever it comes to lie. Not together with `areas` or `stretch`."""
    tasks: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = ()
    """Tasks that must be done as well; a milestone may ask for tasks alone. Default: none."""
    closing: Closing = written("8 h")
    """Sweep, inspection and marking, while any laying crew is on shift. Planning value."""
    ready: StrictBool = False
    """Whether this one is operational readiness; with a single milestone it is."""

    @property
    def where(self) -> tuple[str, ...]:
        """The areas that it asks for, or parts of."""
        part = self.usable or self.stretch
        return self.areas if part is None else (part.area,)

    @property
    def all_tasks(self) -> tuple[str, ...]:
        """Every task that it waits for, each once."""
        return tuple(dict.fromkeys((*self.tasks, *(self.usable.done if self.usable else ()))))
