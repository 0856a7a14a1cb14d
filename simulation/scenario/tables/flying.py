"""From when on is a field flown from while it is still being laid, and when must nobody work there?"""

from typing import Annotated

from pydantic import Field

from simulation.scenario.tables.shifts import Breaks, Times
from simulation.scenario.types.section import MOST_BLOCKS, Duration, Name, Position, Section, at_most, planned, written
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration
from simulation.scenario.types.usual_range import Usual


class Flying(Section):
    """Use of an area before all is laid: in its windows nobody works there, neither crews, rail gang and grading gangs nor
    forklifts and tasks. Trucks, the yard and other areas go on. What is under way at the first use stops for a window too; only a
    forklift ends the trip that it is on, a few minutes. Where a temporary end must stand and is late, nobody flies, so the window
    stops nothing until it stands.

    How far people, mats and pallets stand back, and whether an unfinished strip may be used at all, is for licensed practice
    and local rules.
    """

    since: Name | None = Field(default=None, alias="from")
    """The milestone from which on it is used. Default: from none on, nobody flies."""
    area: Name | None = None
    """The area that is closed to work. Default: that of the milestone, the first of several."""
    windows: Breaks = ()
    """Spans of local time, every day, in which aircraft use it, such as "06:00-10:00". Default: none, laying goes on."""
    movements: Times = ()
    """Local times, every day, at which a single aircraft lands or takes off, such as "07:30". Default: none."""
    movement: Annotated[Duration, Usual("duration", "1 min", "1 h")] = written("10 min")
    """How long one of these movements takes. Planning value."""
    clear_before: Annotated[Duration, Usual("duration", "1 min", "3 h")] = written("30 min")
    """Before each window or movement, from which on people clear the area, and put mats and pallets back. Planning value."""
    clear_after: Annotated[Duration, Usual("duration", "1 min", "3 h")] = written("15 min")
    """After each window or movement, until people are back at work. Planning value."""
    stand_back: Annotated[Position | None, Field(ge=0), Usual("length", "100 ft", "3000 ft")] = None
    """From either end of the stretch in use: farther off, work goes on in windows. Default: nowhere, the whole area is closed."""

    @property
    def closes(self) -> bool:
        """Whether it ever closes an area."""
        return bool(self.windows or self.movements)


class TemporaryEnd(Section):
    """A ramp or tapered edge at an open laying edge, so that what lies can be used before its area is whole.

    Whoever lays there makes it: for each milestone that asks for a usable length, and for each flying window. It is taken up
    before the next row. A laying edge that has come to the end of its area needs none. How it is made, and whether an unfinished
    strip may be used at all, is for licensed practice and local rules.
    """

    milestones: Annotated[tuple[Name, ...] | None, at_most(MOST_BLOCKS)] = None
    """The milestones for which one is made; an empty list makes none. Default: those that ask for a usable length, and the one
    from which on the field is flown from."""
    make: Annotated[UncertainDuration, Usual("duration", "10 min", "12 h")] = planned(p10="40 min", p90="100 min", scatter=0.2)
    """Making one, with the sweep of what was laid since the last one. Planning value."""
    take_up: Annotated[UncertainDuration, Usual("duration", "5 min", "12 h")] = planned(p10="20 min", p90="50 min", scatter=0.2)
    """Taking it up, until rows can be laid on. Planning value."""
