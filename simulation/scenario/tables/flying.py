"""From when on is a field flown from while it is still being laid, and when must nobody lay there?"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from simulation.scenario.tables.shifts import Breaks
from simulation.scenario.types.section import Duration, Name, Section, written
from simulation.scenario.types.usual_range import Usual


class Flying(Section):
    """Use of an area before all is laid: in its windows nobody lays there. Forklifts, trucks and tasks are not stopped.

    How far people, mats and pallets stand back, and whether an unfinished strip may be used at all, is for licensed practice
    and local rules.
    """

    since: Name | None = Field(default=None, alias="from")
    """The milestone from which on it is used. Default: from none on, nobody flies."""
    area: Name | None = None
    """The area that is closed to laying. Default: that of the milestone, the first of several."""
    windows: Breaks = ()
    """Spans of local time, every day, in which aircraft use it, such as "06:00-10:00". Default: none, laying goes on."""
    clear_before: Annotated[Duration, Usual("duration", "1 min", "3 h")] = written("30 min")
    """Before each window, from which on people clear the area. Planning value."""
    clear_after: Annotated[Duration, Usual("duration", "1 min", "3 h")] = written("15 min")
    """After each window, until people are back at work. Planning value."""
