"""What is a step? One thing one actor did, from when to when, and the step whose end let it start.

A step is a plain tuple, because a run makes thousands of them::

    (start, end, because, work, kind, actor, laying edge, number)

``because`` is itself a step, or None for start; ``end`` of the one equals ``start`` of the other to the bit. ``work`` is
hours at full rate; what else passed between start and end was lost to the clock of that kind of work. ``edge`` and ``number`` say
where: the laying edge and the rows laid, the truck's trip, and so on; −1 where neither applies.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

#: Places in a step.
START: Final = 0
END: Final = 1
BECAUSE: Final = 2
WORK: Final = 3
KIND: Final = 4
ACTOR: Final = 5
EDGE: Final = 6
NUMBER: Final = 7

# Any for `because`: a tuple type that holds itself would have to be spelled out to no end.
Step = tuple[float, float, Any, float, int, int, int, int]


@dataclass(frozen=True)
class Kind:
    """One kind of work: what it is called wherever hours are charged to it, and the clock it goes by.

    A kind without a clock passes on the calendar: a timetable, a limit, an order.
    """

    name: str
    clock: str | None


KINDS = (
    Kind("start", None),
    Kind("laying rows", "laying"),  # alignment checks included
    Kind("key strips", "laying"),
    Kind("re-seating", "laying"),
    Kind("connectors", "laying"),
    Kind("starter key strip", "laying"),
    Kind("final sweep, inspection and marking", "laying"),
    Kind("forklift trips", "forklift"),
    Kind("unloading", "forklift"),
    Kind("moving left-over mats", "forklift"),
    Kind("forklift off work", "forklift"),
    Kind("forklift repair", "repair"),
    Kind("loading at the port", "port"),
    Kind("haul", "haul"),
    Kind("trucks returning", "haul"),
    Kind("port's daily limit", "haul"),  # a truck is held up by it only while it could drive
    Kind("waiting for the next flight", None),
    Kind("resupply", None),
    Kind("late start", None),  # of whoever is not there at the start
    Kind("grading", "grading"),
    Kind("grading again", "grading"),  # what heavy rain has undone
    Kind("graded ground open to rain", None),  # until rain undoes some of it, while nothing else is left to grade
    Kind("guide rail", "laying"),
    Kind("tamping low spots", "laying"),
    Kind("short rail section", "laying"),
    Kind("re-seating for the rail", "laying"),
    Kind("key strips not there", None),
    Kind("rail not there", None),
    Kind("drilling tie-downs", "laying"),
    Kind("backfilling ramps", "grading"),
    Kind("moving to another laying edge", "laying"),
    Kind("laying edge waits for a crew", None),  # whose shift has ended, or who is elsewhere; what the crew's clock lost apart
    Kind("dry spell", None),
    Kind("wet spell", None),
)

(
    H_HOUR,
    ROW,
    KEY_STRIP,
    RESEAT,
    CONNECT,
    STARTER,
    CLOSING,
    FEED,
    UNLOAD,
    MOVE,
    OFF_WORK,
    REPAIR,
    LOAD,
    HAUL,
    WAY_BACK,
    DAILY_LIMIT,
    TIMETABLE,
    RESUPPLY,
    LATE_START,
    GRADING,
    GRADE_AGAIN,
    OPEN_TO_RAIN,
    RAIL,
    TAMP,
    SHORT_SECTION,
    CLOSE_UP,
    STRIPS_MISSING,
    RAIL_MISSING,
    DRILL,
    BACKFILL,
    CHANGE_EDGE,
    NO_CREW,
    DRY_SPELL,
    WET_SPELL,
) = range(len(KINDS))
