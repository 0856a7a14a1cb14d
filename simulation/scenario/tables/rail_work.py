"""Who sets the guide rails, and how fast?"""

from typing import Annotated

from simulation.scenario.types.section import CountOrNone, Duration, Extent, Section, Share, planned, written
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration
from simulation.scenario.types.usual_range import Usual


class RailGang(Section):
    """The gang that sets guide rails ahead of the mats, where an area has one; it keeps the laying crews' shift.

    How far ahead the rail may run follows from its kit: the gauges of each area's rail.
    """

    people: Annotated[CountOrNone, Usual("count", 1, 60)] = 6
    """People of the gang. Planning value."""
    section: Annotated[UncertainDuration, Usual("duration", "1 min", "2 h")] = planned(p10="6 min", p90="14 min", scatter=0.3)
    """Setting one section with its seal and its gauge. Planning value."""
    ahead: Annotated[Extent, Usual("length", "1 ft", "300 ft")] = written("20 ft")
    """A row is laid only where the rail reaches this far beyond it. Planning value: two sections."""
    low_spots: Annotated[Share, Usual("share", 0.002, 0.9)] = 0.1
    """Chance that the ground under a section lies low and is tamped first. Planning value."""
    tamp: Annotated[UncertainDuration, Usual("duration", "1 min", "4 h")] = planned(p10="10 min", p90="30 min", scatter=0.5)
    """Filling and tamping one low spot. Planning value."""
    short_section: Annotated[UncertainDuration, Usual("duration", "5 min", "12 h")] = planned(p10="40 min", p90="90 min")
    """Cutting a short section, setting it and moving on those set ahead of it, where clearance is used up. Planning value."""
    since: Duration = written("0 h", alias="from")
    """From the start until the gang is there. Default: there at the start (planning value)."""
