"""How is a field mended where mats are damaged, how fast, and how often does it come to that?"""

from typing import Annotated, Literal

from pydantic import Field

from simulation.scenario.types.section import (
    MOST_PEOPLE,
    Count,
    Duration,
    Name,
    Number,
    Section,
    Share,
    planned,
    reader_of,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration, UncertainRate, UncertainShare
from simulation.scenario.types.usual_range import Usual

#: Gangs that work on one repair at once, and events a day: more find no room, or leave nothing to mend.
MOST_GANGS, MOST_A_DAY = 20, 50.0

Stay = Annotated[float, reader_of("duration", "1 day", "3650 day"), Usual("duration", "7 day", "1100 day")]
Zone = Annotated[float, reader_of("length", "1 ft", "10000 ft"), Usual("length", "25 ft", "3000 ft")]
Every = Annotated[float, reader_of("duration", most="90 day"), Field(ge=0), Usual("duration", "30 min", "14 day")]


class Repair(Section):
    """The work of mending damaged mats: cut out and replaced one by one, or reached from the nearest key strip.

    The rows that are opened are laid again by the law of [laying], by the first crew of their area.
    """

    gangs: Annotated[Count, Field(le=MOST_GANGS), Usual("count", 1, 4)] = 1
    """Gangs that cut out mats at the same time, each with a saw. Planning value."""
    at_once: Annotated[Count, Field(le=MOST_GANGS), Usual("count", 1, 4)] = 1
    """Repairs that go on at the same time in a season of damage, each with gangs of its own. Planning value."""
    people: Annotated[Count, Field(le=MOST_PEOPLE), Usual("count", 3, 20)] = 6
    """People of one gang. Planning value: a saw, a hose and a watch at the cut, four to lift."""
    get_ready: Annotated[UncertainDuration, Usual("duration", "1 min", "12 h")] = planned(p10="20 min", p90="60 min")
    """From closing the strip until people, saw or winch and mats are there. Planning value."""
    cut: Annotated[UncertainDuration, Usual("duration", "1 min", "3 h")] = planned(p10="8 min", p90="20 min", scatter=0.3)
    """Cutting one mat: two cuts across its corners and one along its middle. Planning value."""
    lift_out: Annotated[UncertainDuration, Usual("duration", "1 min", "2 h")] = planned(p10="4 min", p90="12 min", scatter=0.3)
    """Lifting its pieces out and cleaning the edges around the hole. Planning value."""
    set_mat: Annotated[UncertainDuration, Usual("duration", "1 min", "2 h")] = planned(p10="5 min", p90="15 min", scatter=0.3)
    """Setting one replacement mat. Planning value."""
    screws: Annotated[UncertainDuration, Usual("duration", "1 min", "2 h")] = planned(p10="4 min", p90="12 min", scatter=0.3)
    """Setting and driving its screws. Planning value."""
    draw_out: Annotated[UncertainDuration, Usual("duration", "2 min", "6 h")] = planned(p10="15 min", p90="45 min", scatter=0.3)
    """Drawing out one key strip: the first screw, the winch, the pull. Planning value."""
    stuck: Annotated[UncertainShare, Usual("share", 0.01, 0.8)] = planned(low=0.0, mode=0.15, high=0.4)
    """Share of key strips that stick. Planning value."""
    free: Annotated[UncertainDuration, Usual("duration", "2 min", "12 h")] = planned(p10="20 min", p90="90 min", scatter=0.3)
    """Freeing one that sticks, beside drawing it out. Planning value."""
    take_up: Annotated[UncertainShare, Usual("share", 0.03, 2.0)] = planned(low=0.08, mode=0.17, high=0.5)
    """Taking up a row against the direction of assembly, as a share of the time to lay it. Around a sixth: 180 sq ft taken up in
    an hour of one person (service news 2011), about 30 laid (service news 2014); the spread is a planning value."""
    along: Annotated[Number, Field(ge=1, le=100), Usual("share", 1.0, 6.0)] = 2.0
    """Along the direction of assembly taking up a row takes this many times as long. That it is markedly slower: NAVEDTRA 14251
    ch. 11; the number is a planning value."""
    reverse: Annotated[Number, Field(ge=1, le=100), Usual("share", 1.0, 3.0)] = 1.3
    """Laying a row against the direction of assembly, where it was opened along it, takes this many times as long.
    Planning value, that of a guide rail's slower side."""
    mend: Annotated[UncertainRate, Usual("area rate", "5 ft**2/h", "2000 ft**2/h")] = planned(p10="50 ft**2/h", p90="120 ft**2/h")
    """Ground of a crater filled, tamped and graded in an hour, with the mats above it out. Planning value."""
    open_again: Annotated[UncertainDuration, Usual("duration", "1 min", "12 h")] = planned(p10="15 min", p90="45 min")
    """Sweeping and inspecting before the strip opens again. Planning value."""


class Damage(Section):
    """How often mats of an area are damaged while the field is in use, and where.

    What is damaged is found by the next inspection; the strip is closed from then until it is mended.
    """

    area: Name | None = None
    """The area in use. Default: the first one."""
    per_day: Annotated[Number, Field(ge=0, le=MOST_A_DAY), Usual("share", 0.001, 5.0)] = 0.05
    """Times a day that something is damaged, whether the strip is open or closed. Planning value: once in twenty days."""
    per_1000_landings: Annotated[Number, Field(ge=0, le=1000), Usual("share", 0.01, 100.0)] = 1.0
    """Times in 1,000 landings that something is damaged. Planning value."""
    landings: Annotated[Number, Field(ge=0, le=1000), Usual("share", 0.1, 300.0)] = 20.0
    """Landings a day while the strip is open. Planning value."""
    mats: Annotated[Number, Field(ge=1, le=200), Usual("share", 1.0, 30.0)] = 1.5
    """Mean number of mats damaged at a time, one at least (geometric). Planning value."""
    touchdown: Annotated[Zone, Usual("length", "25 ft", "3000 ft")] = written("500 ft")
    """Length, from either end, on which aircraft touch down. Planning value."""
    touchdown_share: Annotated[Share, Usual("share", 0.05, 1.0)] = 0.6
    """Share of the damage by landings that lies there, one half at either end. Planning value."""
    inspect_every: Every = written("24 h")
    """Time between two inspections; 0 h if all is seen at once. Planning value."""
    work: Literal["any hour", "shifts"] = "any hour"
    """Whether a repair goes on until it is done (`any hour`), or keeps the shifts, light and weather of the area's first crew,
    the stay beginning on the day of the start (`shifts`). Default: any hour, since a closed strip is urgent (planning value)."""
    stay: Stay = written("180 day")
    """How long the field is in use. Planning value."""
    since: Duration = written("0 h", alias="from")
    """From opening the field until the first damage can come. Default: at once (planning value)."""
