"""By which handbook rules are earthwork and hauling reckoned beside the simulation? Outputs as handbooks state them."""

from typing import Annotated

from pydantic import Field

from simulation.scenario.types.section import MOST_ENTRIES, Count, Length, Number, Section, Share, Speed, at_most, written
from simulation.scenario.types.usual_range import Usual

Positive = Annotated[Number, Field(gt=0, le=1_000_000)]


class Dozer(Section):
    """Output of a dozer: the ideal one, times what the job makes of it."""

    ideal: Annotated[Positive, Usual("count", 20, 3000)] = 300.0
    """Loose cubic yards an hour at best. The worked example of the training slides on FM 5-434; planning value."""
    factors: Annotated[tuple[Positive, ...], at_most(MOST_ENTRIES), Usual("share", 0.2, 2.0)] = (
        0.92,
        0.75,
        0.80,
        1.20,
        1.0,
        0.83,
        1.15,
    )
    """Correction factors, multiplied. The worked example of the training slides on FM 5-434; planning value."""
    within: Annotated[Positive, Usual("count", 1, 2000)] = 7.0
    """Hours in which all of it is to be done. The same worked example; planning value."""


class Roller(Section):
    """Output of a roller: 16.3 × width × speed × lift × efficiency / passes, in compacted cubic yards an hour."""

    width: Annotated[Length, Usual("length", "2 ft", "14 ft")] = written("8 ft")
    """Of the drum. A course's worked example; planning value."""
    speed: Annotated[Speed, Usual("speed", "0.5 mph", "15 mph")] = written("3 mph")
    """Rolling. The same worked example; planning value."""
    lift: Annotated[Length, Usual("depth", "1 in", "36 in")] = written("6 in")
    """Thickness of a compacted layer. The same worked example; planning value."""
    passes: Annotated[Count, Usual("count", 1, 40)] = 4
    """Over each layer. The same worked example; planning value."""
    minutes: Annotated[Number, Field(gt=0, le=60), Usual("count", 15, 60)] = 50.0
    """At work in an hour. The same worked example; planning value."""


class Passes(Section):
    """Passes of a grader at one speed."""

    passes: Annotated[Count, Usual("count", 1, 40)]
    """How many."""
    speed: Annotated[Speed, Usual("speed", "0.5 mph", "25 mph")]
    """How fast."""


class Grader(Section):
    """Hours of a grader: passes × distance / (speed × efficiency), NAVEDTRA 14081."""

    passes: Annotated[tuple[Passes, ...], at_most(MOST_ENTRIES)] = written(
        ({"passes": 2, "speed": "2.3 mph"}, {"passes": 2, "speed": "3.7 mph"}, {"passes": 3, "speed": "9.7 mph"})
    )
    """Passes by speed. NAVEDTRA 14081's formula; the example's speeds from memory (planning value)."""
    efficiency: Annotated[Share, Field(gt=0), Usual("share", 0.15, 1.0)] = 0.6
    """Productive share of an hour. The same example; planning value."""
    blade: Annotated[Length, Usual("length", "4 ft", "24 ft")] = written("9 ft")
    """Width that a pass covers; an area takes as many lanes as cover it. Planning value."""
