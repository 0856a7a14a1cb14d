"""What did the work at a laying edge wait for, and until when? Noted as it begins to wait; nothing of the run depends on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from simulation.construction.plan.steps import END, Step

if TYPE_CHECKING:
    from simulation.construction.plan.plan import Plan
    from simulation.construction.site.edges.laying_edge import LayingEdge
    from simulation.construction.site.site import Site

#: What is waited for.
FULL_MATS, HALF_MATS, BOTH_MATS = "full mats", "half mats", "full and half mats"
FOR_MATS = (FULL_MATS, HALF_MATS, BOTH_MATS)
GROUND, RAIL_AHEAD, STRIPS, SHORT_RAIL, CONNECTED = (
    "graded ground",
    "the guide rail",
    "key strips",
    "a short rail section",
    "connectors and starter key strip",
)
#: What is waited for where crews lend people to tasks.
PEOPLE = "people lent to tasks"
#: What is waited for where a temporary end stands and another of its area is still being made.
OTHER_END = "another temporary end"
#: What is waited for where a field is taken up.
HANDLERS, FORKLIFTS, RAMPS = "handlers", "forklifts", "ramps dug out"
WHEN_UP = (HANDLERS, FORKLIFTS, RAMPS)
WHAT = (*FOR_MATS, GROUND, RAIL_AHEAD, STRIPS, SHORT_RAIL, CONNECTED)


def waited_for(plan: Plan) -> tuple[str, ...]:
    """Return what may be waited for in the runs of a plan."""
    if plan.take_up is not None:
        return WHEN_UP
    lent = (PEOPLE,) if any(gang.crew is not None for gang in plan.gangs_of_tasks) else ()
    return (*WHAT, *lent, *((OTHER_END,) if plan.ends else ()))


class Wait(NamedTuple):
    """Hours in which the work at a laying edge waited.

    Attributes
    ----------
    edge : int
    what : str
        One of `WHAT`.
    start, end : float
        Hours since the start; `end` is that of the run where the wait did not end.
    ended_by : Step or None
        What ended it; None where nothing did.
    """

    edge: int
    what: str
    start: float
    end: float
    ended_by: Step | None


#: A wait that has begun: the laying edge, one of `WHAT`, since when, and the event that is fired with the step that ends it.
Waiting = tuple[int, str, float, Any]


def lacking(edge: LayingEdge, row: int) -> str:
    """Return which mats a laying edge lacks for a row, of those in its opened pallets."""
    full, half = edge.loose_full < edge.full[row], edge.loose_half < edge.half[row]
    return BOTH_MATS if full and half else HALF_MATS if half else FULL_MATS


def ended_waits(site: Site, over: float) -> Iterator[tuple[int, str, float, float, Step | None]]:
    """Yield the parts of a `Wait` for each wait of a run that is over at an hour, in the order in which they began."""
    for edge, what, start, event in site.waits:
        ended: Step | None = event.value if event.triggered else None
        end = over if ended is None or over < ended[END] else ended[END]
        if end > start:
            yield edge, what, start, end, ended


def list_waits(site: Site, over: float) -> list[Wait]:
    """Return the waits of a run that is over at an hour, in the order in which they began."""
    return [Wait(*parts) for parts in ended_waits(site, over)]
