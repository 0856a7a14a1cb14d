"""Which columns may a site log have, and what stands in each?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from simulation.scenario.types.mistakes import listed, nearest

Holds = Literal["date", "text", "count", "number", "length"]


@dataclass(frozen=True)
class LogColumn:
    """One column: its name in the first line, what its cells hold, what it is for, and what is taken where it is missing.

    Columns that are `written` stand in an empty log; the others say how things stand at a moment, for who wants to.
    """

    name: str
    holds: Holds
    meaning: str
    missing: str = ""
    written: bool = True


COLUMNS = (
    LogColumn("date", "date", "the day on which the shift begins, such as 2031-04-02"),
    LogColumn(
        "shift",
        "text",
        "its hours, such as 06:00-18:00, or its number on that day; a single time is a moment at which somebody took stock",
        "each line counts for all the hours of the day that its crew keeps",
    ),
    LogColumn("crew", "text", "who laid", "who laid is known only where one crew alone could have"),
    LogColumn("people", "count", "how many of the crew were there", "everybody is taken to have been there"),
    LogColumn("area", "text", "where", "all rows are taken to lie in the one area"),
    LogColumn(
        "side", "text", "low or high, where an area is laid from its centre", "it is asked for where an area has two sides"
    ),
    LogColumn(
        "rows",
        "count",
        "rows laid in the shift, there; on a line with a single time, how many lie in all",
        "rows follow from the stations reached",
    ),
    LogColumn("station", "length", "or the station reached, such as 1530 ft", ""),
    LogColumn("hours worked", "number", "hours that the crew worked there", "the hours of the shift count as worked"),
    LogColumn(
        "hours lost",
        "number",
        "hours that it could not; on a line without a crew, hours that trucks could not come",
        "nothing says how many hours were lost",
    ),
    LogColumn(
        "lost to", "text", "to what: rain, wind, mats, ground, forklifts, ship, ...", "nothing says what hours were lost to"
    ),
    LogColumn(
        "pallets received", "count", "pallets that came to the yard", "as many pallets are taken to have come as the rows needed"
    ),
    LogColumn("by air", "count", "how many of these were flown in", "pallets are taken to have come by whatever brings them"),
    LogColumn("mats rejected", "count", "full mats found damaged", "no full mat is taken to have been damaged"),
    LogColumn("half mats rejected", "count", "half mats found damaged", "no half mat is taken to have been damaged"),
    LogColumn("forklifts up", "count", "forklifts in order", "all forklifts are taken to be in order"),
    LogColumn("key strips", "count", "key strips set in the shift, there", "a key strip is set just before the row behind it"),
    LogColumn(
        "rows graded", "number", "rows that the ground is ready for, there", "ground is as far as gangs come at each run's rate"
    ),
    LogColumn(
        "staged", "count", "pallets that stand unopened at the laying edge", "forklifts are taken to have kept edges supplied"
    ),
    LogColumn("remarks", "text", "whatever else is worth keeping; nobody but people read it"),
    LogColumn("full mats open", "count", "full mats of opened pallets there", written=False),
    LogColumn("half mats open", "count", "half mats of opened pallets there", written=False),
    LogColumn("rail sections", "count", "sections of guide rail that are set there", written=False),
    LogColumn("yard", "count", "pallets in the yard", written=False),
    LogColumn("sky", "text", "wet or dry, at the end of the line", written=False),
    LogColumn(
        "under way",
        "text",
        "what is under way or done, such as truck 1.2 coming 14:20 / forklift 2 down 09:15 / reached runway open 14:30",
        written=False,
    ),
)
BY_NAME = {column.name: column for column in COLUMNS}
#: Other names that columns go by.
ALSO = {
    "rows laid": "rows",
    "station reached": "station",
    "pallets": "pallets received",
    "rejected": "mats rejected",
    "present": "people",
    "pallets staged": "staged",
    "pallets in the yard": "yard",
    "graded": "rows graded",
}


def column_named(cell: str) -> str:
    """Return the name of the column that a cell of the first line means; empty where it means none."""
    name = " ".join(cell.strip().lower().replace("_", " ").split())
    return name if name in BY_NAME else ALSO.get(name, "")


def column_meant(cell: str) -> str:
    """Return the hint for a name that is none of a column."""
    near = nearest(cell.strip().lower(), [*BY_NAME, *ALSO])
    return f"did you mean {near}? Notes go under remarks" if near else f"use one of: {listed(tuple(BY_NAME))}"
