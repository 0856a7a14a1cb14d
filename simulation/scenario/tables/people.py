"""Who lays the mats, and how fast do they work?"""

from typing import Annotated, Literal

from pydantic import Field, StrictInt

from simulation.scenario.tables.handbook import Dozer, Grader, Roller
from simulation.scenario.tables.shifts import Shift as Shift
from simulation.scenario.tables.shifts import Shifts as Shifts
from simulation.scenario.types.section import (
    MOST_BLOCKS,
    MOST_PEOPLE,
    Apart,
    Count,
    Duration,
    Name,
    Number,
    Period,
    Section,
    Share,
    Speed,
    at_most,
    not_written,
    planned,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration, UncertainShare
from simulation.scenario.types.usual_range import Usual


class Crew(Section):
    """One crew: it takes the first open laying edge of its areas, in their order."""

    name: Name
    people: Annotated[Count, Field(le=MOST_PEOPLE), Usual("count", 5, 300)]
    """Everybody in it, overhead included."""
    areas: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = Field(min_length=1)
    """The areas it works on, in this order."""
    second_crew: Literal["elsewhere", "relief", "merge"] = "elsewhere"
    """What it does where every open laying edge of an area has a crew: go on to its next area, take turns with the crew there
    (`relief`), or put both crews' people on that laying edge under one overhead (`merge`). Default: go on (planning value)."""
    since: Duration = written("0 h", alias="from")
    """From the start until it is there. Default: there at the start (planning value)."""
    shift: Shift | None = None
    """When it is on shift. Default: with the other crews, [shifts.laying]."""


class Laying(Section):
    """The work of laying rows, and its row-time law.

    A row takes the longest of four: carrying and placing by the teams, placing by as many rows as can be in work at once,
    locking by the lockers, opening pallets by the openers; divided by the efficiency.
    """

    overhead: Annotated[Count, Usual("count", 1, 20)] = 3
    """People of a crew who neither carry nor lock: leader and line, and the openers. Planning value."""
    openers: Annotated[Count, Usual("count", 1, 20)] = 2
    """Those of the overhead who open pallets and clear dunnage. Planning value."""
    team_size: Annotated[Count, Usual("count", 1, 8)] = 2
    """People who carry one mat. NAVEDTRA 14251 ch. 11: two-person teams. Lifting limits apply: see the cautions."""
    pick_up: Annotated[UncertainDuration, Usual("duration", "5 s", "3 min")] = planned(
        p10="15 s", p90="35 s", scatter=0.3, shared_by="crews"
    )
    """Taking one mat up from the pallet. Planning value."""
    walk: Annotated[Speed, Usual("speed", "0.5 mph", "4 mph", "a person who carries; common practice")] = written("2 mph")
    """Walking speed with a mat over graded ground; the way back counts the same. Planning value."""
    staged_every: Annotated[Apart, Usual("length", "10 ft", "300 ft")] = written("50 ft")
    """Depth of the ground ahead of an edge on which its pallets stand, as many as `forklifts.staged_ahead` says. Planning value.

    The mean walk is half of it and a quarter of the width. It is more than the mats on them cover (six pallets are 24 ft of a
    strip 72 ft wide), because forklifts turn between them.
    """
    open_pallet: Annotated[UncertainDuration, Usual("duration", "20 s", "20 min")] = planned(mean="2.5 min")
    """One opener's time to cut banding and clear dunnage of one pallet, divided among the openers. Planning value."""
    place: Annotated[UncertainDuration, Usual("duration", "10 s", "2 min")] = planned(
        p10="30 s", p90="60 s", scatter=0.3, shared_by="crews"
    )
    """Engaging, rotating down and seating one mat. Planning value."""
    lock: Annotated[UncertainDuration, Usual("duration", "3 s", "3 min")] = planned(mean="20 s")
    """Setting one locking bar. Planning value."""
    rows_in_work: Annotated[Count, Usual("count", 1, 20)] = 3
    """Rows of an edge 72 ft wide that can be in work at once, so more people on it pay less and less; in a wider edge as many
    more as it is wider, in a narrower one fewer, but one at least. Planning value."""
    key_strip: Annotated[UncertainDuration, Usual("duration", "2 min", "3 h")] = planned(p10="10 min", p90="25 min", scatter=0.2)
    """Setting a key strip. Planning value."""
    starter_key_strip: Annotated[UncertainDuration, Usual("duration", "5 min", "8 h")] = planned(p10="30 min", p90="75 min")
    """Setting out and setting the starter key strip of a centre-out area. Planning value."""
    connect: Annotated[UncertainDuration, Usual("duration", "5 min", "8 h")] = planned(p10="30 min", p90="90 min")
    """Setting the connectors of one junction. Planning value."""
    move: Annotated[UncertainDuration, Usual("duration", "1 min", "8 h")] = planned(p10="10 min", p90="30 min")
    """Moving to another laying edge: the walk, the tools, finding line and place again; not to the first one. Planning value."""
    efficiency: Annotated[UncertainShare, Usual("share", 0.10, 0.92, "planning value")] = planned(low=0.10, mode=0.38, high=0.80)
    """Productive share of an hour on shift, for rows and their checks; the other durations are stated as they pass on shift.
    Excludes every wait that is simulated. Planning value, set so that two published jobs lie inside P10 to P90 of their
    forecasts, whether laid from the centre or from one end: 146,000 sq ft in about a week by 69 people (service news 2014) and
    150,000 in six days (service news 2009); see configs/hindcasts."""
    ramp_row: Annotated[Number, Field(ge=1, le=100), Usual("share", 1.0, 5.0)] = 1.5
    """A row inside an end ramp takes this many times an ordinary row. Planning value."""
    learning: Annotated[Number, Field(gt=0.5, le=1), Usual("share", 0.7, 1.0)] = 1.0
    """Unit learning curve: time of row 2n over row n. Default: none."""
    learning_reference: Annotated[Count, Usual("count", 1, 2000)] = 50
    """The crew's row at which the stated times hold. Planning value."""
    learning_floor: Annotated[Number, Field(ge=0.01, le=1), Usual("share", 0.2, 1.0)] = 0.7
    """Shortest row time that learning can reach, as a share of the stated one. Planning value."""
    check_every: Annotated[Count, Usual("count", 1, 200)] = 10
    """Rows between alignment checks. Planning value."""
    check: Annotated[UncertainDuration, Usual("duration", "20 s", "1 h")] = planned(mean="3 min")
    """One alignment check. Planning value."""
    skew_found: Annotated[Share, Usual("share", 0.001, 0.3)] = 0.02
    """Chance that a check finds the rows since the last one skewed. Planning value."""
    reseat: Annotated[UncertainDuration, Usual("duration", "20 s", "1 h")] = planned(mean="4 min")
    """Re-seating one row. Planning value."""
    damaged_mats: Annotated[UncertainShare, Usual("share", 0.0005, 0.2)] = planned(low=0.0, mode=0.01, high=0.03)
    """Share of mats rejected when they are laid. Around the 72 in 146,000 sq ft (1.2 %) of service news 2014."""
    relief_turn: Annotated[Period, Usual("duration", "10 min", "4 h")] = written("30 min")
    """How long a crew lays before the crew that relieves it takes over. Official service history of 1965, p. 40."""
    finish_rows: Annotated[Duration, Usual("duration", "1 min", "4 h")] = written("0 min")
    """How long a crew stays past the end of its hours, at most, to finish the row that it has begun; one that would take longer
    waits for its next hours. Default: not at all."""
    absence: Annotated[UncertainShare, Usual("share", 0.001, 0.4)] = written(0.0)
    """Share of a crew's people who are away on a day (sick, on guard, on other duty): the level is drawn once a run, who is
    away each day anew. A crew lays with the fewest people that can carry and lock, at least. Default: none is away."""


Score = Annotated[StrictInt, Field(ge=1, le=100)]


class Book(Section):
    """The handbook labour method (NAVEDTRA 14045), offered beside the simulation as a yardstick.

    A rate is gross (everybody on site, all hours, losses in it) or net (productive hours alone); absence and lost hours belong
    to a net one only, or they are counted twice.
    """

    hours_per_1000_sqft: Annotated[Number, Field(gt=0, le=1_000_000), Usual("count", 2, 300)] = 33.0
    """Person-hours to surface 1,000 sq ft. A gross rate, with absence and every loss in it: 146,000 in seven 10-hour days by 69
    people (service news 2014; day assumed). As a net rate with 0.75 and 7.5 hours of 8, the same job is about 23."""
    efficiency: Annotated[Score, Usual("count", 20, 100)] = 67
    """Production efficiency, percent: the mean of the method's eight scores. The method's average case."""
    availability: Annotated[Number, Field(gt=0, le=1), Usual("share", 0.3, 1.0)] = 1.0
    """Share of a crew that is at work on a day. All, because the default rate counts everybody, present or not; the method's
    worked example, with a net rate, takes 0.75."""
    net_hours: Annotated[Annotated[Number, Field(gt=0, le=24)] | None, Usual("count", 2, 22)] = None
    """Productive hours of a day. Default: the hours of the crews' shifts, because the default rate counts all of them; the
    method's worked example, with a net rate, takes 7.5 of 8."""
    earth: Annotated[Number, Field(ge=0, le=1e9), Usual("count", 1, 500_000)] = 0.0
    """Loose cubic yards to be moved beside the trenches of end ramps. Default: none."""
    fill: Annotated[Number, Field(ge=0, le=1e9), Usual("count", 1, 500_000)] = 0.0
    """Cubic yards to be compacted beside the backfill of end ramps, in place. Default: none."""
    dozer: Dozer = not_written()
    """What moves the loose earth. Default: see each key."""
    roller: Roller = not_written()
    """What compacts. Default: see each key."""
    grader: Grader = not_written()
    """What grades the ground that is not ready at the start. Default: see each key."""
    unload: Annotated[Duration, Usual("duration", "1 min", "4 h")] = written("0.05 h")
    """Unloading a truck, for the handbook's cycle alone. A course page's worked example; planning value."""
