"""What is to be done beside laying: tasks, what each needs first, and the gangs that do them?"""

from typing import Annotated, Literal

from pydantic import Field

from simulation.scenario.tables.shifts import Shift
from simulation.scenario.types.moment import Moment
from simulation.scenario.types.section import (
    MOST_BLOCKS,
    MOST_PEOPLE,
    Count,
    Duration,
    Name,
    Position,
    Section,
    at_most,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration
from simulation.scenario.types.usual_range import Usual

#: What stands before the name of a crew whose people do a task.
FROM_CREW = "from crew "


class Gang(Section):
    """People who do tasks, one task at a time, in the order in which these can be begun."""

    name: Name
    people: Annotated[Count, Field(le=MOST_PEOPLE), Usual("count", 1, 100)]
    """Everybody in it."""
    shift: Shift | None = None
    """When it is on shift. Default: with the crews, [shifts.laying]."""
    since: Duration = written("0 h", alias="from")
    """From the start until it is there. Default: there at the start (planning value)."""


class Need(Section):
    """What must be there before a task begins: rows of an area, laid and checked, another task, a load, a shipment or a date; one
    of them.
    """

    area: Name | None = None
    """An area, the whole of it unless `from` and `to`, or `row`, are written."""
    start: Position | None = Field(default=None, alias="from")
    """Station at which the part of the area begins. Default: its low end."""
    to: Position | None = None
    """Station at which it ends. Default: its high end."""
    row: Count | None = None
    """Or one row of the area, counted from its low end."""
    task: Name | None = None
    """Another task."""
    load: Annotated[Count | None, Usual("count", 1, 10_000)] = None
    """The load that brings what it needs, counted as loads are unloaded in the yard, whatever brings them."""
    shipment: Name | None = None
    """The shipment, by its name, that brings what it needs: it is there when the last lot is unloaded in the yard. Where it never
    comes, the task never begins."""
    date: Moment | None = None
    """The local date and time before which it does not begin."""


class Task(Section):
    """Work beside laying: so many pieces, each of which takes so long."""

    name: Name
    after: Annotated[tuple[Need, ...], at_most(MOST_BLOCKS)] = ()
    """What must be done before it begins. Default: nothing, it can begin at the start."""
    area: Name | None = None
    """Where it is done: in the flying windows of that area it stops. Default: the first area that it needs rows of, else beside
    the field."""
    gang: Name | None = None
    """The gang that does it; or "from crew NAME": people of that crew leave it for the task's time, as many as `people`, and come
    back to it; a crew that is left with fewer than it takes to lay a mat stops. Default: a gang of its own that keeps the crews'
    hours."""
    people: Annotated[Count | None, Field(le=MOST_PEOPLE), Usual("count", 1, 100)] = None
    """People of a gang of its own, or those that leave a crew. Not together with a named gang. Default: one team."""
    team: Annotated[Count, Field(le=200), Usual("count", 1, 30)] = 1
    """People who work at one piece together: a gang works at as many pieces at once as it has teams. Planning value."""
    pieces: Annotated[Count, Field(le=100_000), Usual("count", 1, 5_000)] = 1
    """How many pieces there are. Default: one, whose time is that of the task."""
    each: Annotated[UncertainDuration, Usual("duration", "10 s", "30 day")]
    """One team's time at one piece, as it passes on shift."""
    stops: Literal["laying", "forklift", "haul", "lifting", "grading", "none"] = "laying"
    """The kind of work whose weather stops it; `none` is work under cover. Default: what stops laying (planning value)."""
    since: Duration = written("0 h", alias="from")
    """From the start until it may begin. Default: from the start (planning value)."""
    comes: Annotated[UncertainDuration | None, Usual("duration", "1 h", "365 day")] = None
    """From the start until what it needs is delivered, by whatever brings no pallets. Default: that is there at the start."""

    @property
    def whose(self) -> str:
        """Who does it, in words."""
        if self.lender is not None:
            return f"{self.people or self.team} of crew {self.lender}"
        return "a gang of its own" if self.gang is None else f"gang {self.gang}"

    @property
    def lender(self) -> str | None:
        """The crew whose people do it; None where a gang does."""
        return self.gang.removeprefix(FROM_CREW) if self.gang is not None and self.gang.startswith(FROM_CREW) else None
