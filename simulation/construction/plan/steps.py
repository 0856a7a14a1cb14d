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
    """One kind of work, declared once: whoever charges hours to it, tells whose it is or shows it reads it here.

    Attributes
    ----------
    name : str
        What it is called wherever hours are charged to it.
    clock : str or None
        The clock it goes by. A kind without one passes on the calendar: a timetable, a limit, an order.
    owner : str
        Whose work it is, or who is waited for.
    doing : str
        What somebody at it is said to do in a replay; {} is where. Empty where the name says it.
    lays : str
        ``edge`` where whichever crew is at a laying edge does it there, ``area`` where one does it for a whole area; else empty.
    only : str
        Without which part of a plan nobody does it, such as ``tasks`` or ``shipments``. Empty where any construction may know it.
    """

    name: str
    clock: str | None
    owner: str
    doing: str = ""
    lays: str = ""
    only: str = ""


CREWS, FORKLIFTS, SUPPLY, GRADERS, RAIL_GANG, SKY = "crews", "forklifts", "supply", "grading", "rail gang", "weather"
TASKS, TAKE_UP, ENDS = "tasks", "take-up", "temporary ends"
#: Where a field is taken up: those of the crews who lift, those who clean, inspect, stack and band, and what brings pallets away.
LIFTERS, HANDLERS, TRUCKS, SHIPS = "crews lifting", "crews handling mats", "trucks", "ships"
#: Final sweep, inspection and marking: of nobody's making, so it stands for itself.
SWEEP = "final sweep, inspection and marking"
_declared: list[Kind] = []


def _kind(name: str, clock: str | None, owner: str, doing: str = "", lays: str = "", only: str = "") -> int:
    """Declare a kind of work and return its number; the order is that of a record's columns."""
    _declared.append(Kind(name, clock, owner, doing, lays, only))
    return len(_declared) - 1


H_HOUR = _kind("start", None, "")
ROW = _kind("laying rows", "laying", CREWS, "lays rows, {}", lays="edge")  # alignment checks included
KEY_STRIP = _kind("key strips", "laying", CREWS, "sets a key strip, {}", lays="edge")
RESEAT = _kind("re-seating", "laying", CREWS, "re-seats rows, {}", lays="edge")
CONNECT = _kind("connectors", "laying", CREWS, "sets connectors, {}", lays="area")
STARTER = _kind("starter key strip", "laying", CREWS, "starter key strip, {}", lays="area")
CLOSING = _kind(SWEEP, "laying", SWEEP)
FEED = _kind("forklift trips", "forklift", FORKLIFTS, "takes a pallet to {}")
UNLOAD = _kind("unloading", "forklift", FORKLIFTS, "unloads at the yard")
MOVE = _kind("moving left-over mats", "forklift", FORKLIFTS, "moves left-over mats to {}")
OFF_WORK = _kind("forklift off work", "forklift", FORKLIFTS, "off work")
REPAIR = _kind("forklift repair", "repair", FORKLIFTS, "under repair")
LOAD = _kind("loading at the port", "port", SUPPLY, "loading")
HAUL = _kind("haul", "haul", SUPPLY, "on the road here")
WAY_BACK = _kind("trucks returning", "haul", SUPPLY, "on the way back")
# A truck is held up by it only while it could drive. More trucks change neither a limit nor a timetable: each stands for itself.
DAILY_LIMIT = _kind("port's daily limit", "haul", "port's daily limit", "held by the daily limit")
TIMETABLE = _kind("waiting for the next flight", None, "waiting for the next flight")
RESUPPLY = _kind("resupply", None, SUPPLY)
LATE_START = _kind("late start", None, "late start", "not there yet")  # of whoever is not there at the start
GRADING = _kind("grading", "grading", GRADERS, "grades {}")
GRADE_AGAIN = _kind("grading again", "grading", GRADERS, "grades again {}")  # what heavy rain has undone
# Until rain undoes some of it, while nothing else is left to grade.
OPEN_TO_RAIN = _kind("graded ground open to rain", None, SKY, "waits, nothing is left to grade")
RAIL = _kind("guide rail", "laying", RAIL_GANG, "sets guide rail, {}")
TAMP = _kind("tamping low spots", "laying", RAIL_GANG, "tamps low spots, {}")
SHORT_SECTION = _kind("short rail section", "laying", RAIL_GANG, "sets a short section, {}")
CLOSE_UP = _kind("re-seating for the rail", "laying", CREWS, "re-seats rows for the rail, {}", lays="edge")
STRIPS_MISSING = _kind("key strips not there", None, SUPPLY)
RAIL_MISSING = _kind("rail not there", None, SUPPLY)
DRILL = _kind("drilling tie-downs", "laying", CREWS, "drills tie-downs, {}")
BACKFILL = _kind("backfilling ramps", "grading", GRADERS, "backfills a ramp, {}")
CHANGE_EDGE = _kind("moving to another laying edge", "laying", CREWS, "goes to {}")
# Whose shift has ended, or who is elsewhere; what the crew's clock lost stands apart.
NO_CREW = _kind("laying edge waits for a crew", None, CREWS)
# Work beside laying: a chain of causes tells it by the name of the task, `trace.chain.task_cause`.
TASK = _kind("task", "laying", TASKS, "at a task beside laying", only=TASKS)
NOT_DELIVERED = _kind("what a task needs not there", None, SUPPLY, only=TASKS)
# Loads whose hours are known when a run begins.
ARRIVAL = _kind("waiting for a load on its way", None, SUPPLY, only="arrivals")
# A ship, a barge or an airdrop: nobody on site makes it come earlier, so the wait stands for itself.
SHIPMENT = _kind("waiting for a shipment", None, "waiting for a shipment", only="shipments")
DISCHARGE = _kind("bringing a shipment off", "port", SUPPLY, "brings a shipment off", only="shipments")
# An area is flown from while work there would go on: whoever was sent away from it waits for the end of the window.
CLOSED = _kind("closed for flying", "forklift", "closed for flying", only="flying")
# Where a stretch is used before its area is whole; who is at the laying edge makes its end, and takes it up before laying on.
MAKE_END = _kind("making temporary ends", "laying", ENDS, "makes a temporary end, {}", lays="edge", only=ENDS)
TAKE_END_UP = _kind("taking temporary ends up", "laying", ENDS, "takes a temporary end up, {}", lays="edge", only=ENDS)
# Until it is time to make it; and where there is too little for taking it up, a row and making it again.
# What flying and the crew's clock take stands apart.
END_STANDS = _kind("waiting for temporary ends", "laying", ENDS, "waits, its temporary end stands, {}", only=ENDS)
# Taking up; see `construction.take_up`.
DRAW_OUT = _kind("drawing key strips out", "laying", LIFTERS, "draws a key strip out, {}", only=TAKE_UP)
FREE_STRIP = _kind("freeing key strips that stick", "laying", LIFTERS, "frees a key strip that sticks, {}", only=TAKE_UP)
UNCOUPLE = _kind("taking connectors off", "laying", LIFTERS, "takes connectors off, {}", only=TAKE_UP)
TIE_DOWNS_OFF = _kind("taking tie-downs off", "laying", LIFTERS, "takes tie-downs off, {}", only=TAKE_UP)
ENDS_OFF = _kind("taking end connectors off", "laying", LIFTERS, "takes end connectors off, {}", only=TAKE_UP)
FREE_ROW = _kind("freeing rows that stick", "laying", LIFTERS, "frees a row that sticks, {}", only=TAKE_UP)
LIFT = _kind("lifting rows", "laying", LIFTERS, "lifts rows, {}", only=TAKE_UP)
RAIL_UP = _kind("taking guide rail up", "laying", LIFTERS, "takes guide rail up, {}", only=TAKE_UP)
GONE_HOME = _kind("crew between its shifts", "laying", LIFTERS, "off shift", only=TAKE_UP)
SORT = _kind("cleaning, inspecting and stacking", "laying", HANDLERS, "cleans, inspects and stacks mats, {}", only=TAKE_UP)
BAND = _kind("banding pallets", "laying", HANDLERS, "bands a pallet, {}", only=TAKE_UP)
DIG_OUT = _kind("digging ramps out", "grading", GRADERS, "digs a ramp out, {}", only=TAKE_UP)
BRING_IN = _kind("pallets to the yard", "forklift", FORKLIFTS, "takes a pallet to the yard from {}", only=TAKE_UP)
LOAD_OUT = _kind("loading out", "forklift", FORKLIFTS, "loads pallets out of the yard", only=TAKE_UP)
HAUL_AWAY = _kind("haul to the port", "haul", TRUCKS, "on the road to the port", only=TAKE_UP)
UNLOAD_AWAY = _kind("unloading at the port", "port", TRUCKS, "unloading at the port", only=TAKE_UP)
DRIVE_BACK = _kind("trucks coming back empty", "haul", TRUCKS, "on the way back here", only=TAKE_UP)
ON_BOARD = _kind("bringing pallets on board", "port", SHIPS, "brings pallets on board", only=SHIPS)
DRY_SPELL = _kind("dry spell", None, SKY)
WET_SPELL = _kind("wet spell", None, SKY)

#: All of them; a new one stands before the two spells of weather.
KINDS = tuple(_declared)
#: What crews do at a laying edge, whichever of them is on.
AT_AN_EDGE = frozenset(number for number, kind in enumerate(KINDS) if kind.lays == "edge")
#: The same without temporary ends, which say nothing of how fast rows are laid, and what one of them does for a whole area.
OF_LAYING = frozenset(number for number, kind in enumerate(KINDS) if kind.lays and kind.only != ENDS)
