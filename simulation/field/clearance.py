"""How near do the joints of mats come to those of a guide rail, and where is the clearance used up?

The rail begins with a shorter section, so that its joints fall between those of the mats. Then three things shift one against the
other: key strips lie between rows, seals between sections, and rows creep apart because mats fit loosely. Stations are feet from
where laying begins; creep is the mean one, the same in every row.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.field.rows import AreaRows
    from simulation.scenario.tables.area_parts import Rail
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.types.uncertainty.uncertain import Uncertain

#: Clearance smaller than asked for by less than this is a matter of rounding.
_ROUNDING = 1e-9
#: Coefficients of variation of the scatters that go by name: of gamma distributions of shape 1 and 2.
_NAMED = {"exponential": 1.0, "erlang-2": math.sqrt(0.5)}


@dataclass(frozen=True)
class Clearance:
    """The clearance along a rail, with some of what shifts its joints against those of the mats.

    Attributes
    ----------
    of : str
        What is counted.
    least : float
        Smallest distance from a joint of the mats to one of the rail.
    at : float
        Where that is.
    used_up : float or None
        First joint of the rail with less clearance than asked for.
    shift : float
        How far mats have run ahead of their nominal place against the rail, there or, where it is not used up, at the last joint;
        negative where the rail has run ahead.
    """

    of: str
    least: float
    at: float
    used_up: float | None
    shift: float


@dataclass(frozen=True)
class Sides:
    """How far the rows of one side of the rail come to lie ahead of those of the other.

    Attributes
    ----------
    mean : float
        At the far end of the area, from creep that differs between the sides.
    scatter : float
        One standard deviation there, from the luck of single rows alone.
    beyond : float or None
        Where the mean passes what is allowed.
    """

    mean: float
    scatter: float
    beyond: float | None


def mat_joints(rows: int, depth: float, strips: tuple[int, ...], width: float, creep: float) -> list[float]:
    """Return the joints between rows, in rising order, both edges of every key strip among them.

    Parameters
    ----------
    rows : int
    depth : float
        Module of a row.
    strips : tuple of int
        A key strip lies before each of these rows, counted from where laying begins.
    width : float
        Of a key strip along the travel axis.
    creep : float
        Of one row.
    """
    pitch, before = depth + creep, sorted(strips)
    joints: list[float] = []
    for row in range(1, rows + 1):
        passed = bisect_left(before, row)  # strips before an earlier row
        joints.append(row * pitch + passed * width)
        if width and passed < len(before) and before[passed] == row:
            joints.append(joints[-1] + width)
    return joints


def rail_joints(rail: Rail, length: float, seal: float) -> list[float]:
    """Return the ends of the rail's sections that lie within a length, in rising order."""
    joints: list[float] = []
    at = rail.first_section
    while at < length - _ROUNDING:
        joints.append(at)
        at = rail.first_section + len(joints) * (rail.section + seal)
    return joints


def strips_from_start(area: Area, rows: AreaRows) -> tuple[int, ...]:
    """Return before which rows key strips lie, rows counted from where laying begins."""
    if area.start_from == "high":
        return tuple(sorted(rows.count - row for row in rows.key_strips))
    return rows.key_strips


def clearance(of: str, area: Area, rows: AreaRows, width: float = 0.0, seal: float = 0.0, creep: float = 0.0) -> Clearance:
    """Return the clearance along the whole rail with what is given of key strips' width, seals and creep."""
    strips = strips_from_start(area, rows)
    joints = mat_joints(rows.count, rows.depth, strips, width, creep)
    least, at, used_up, shift = math.inf, 0.0, None, 0.0
    for number, end in enumerate(rail_joints(area.rail, joints[-1], seal)):
        index = bisect_left(joints, end)
        near = min(abs(end - joint) for joint in joints[max(index - 1, 0) : index + 1])
        if near < least - _ROUNDING:
            least, at = near, end
        if used_up is None:
            passed = (area.rail.first_section + number * area.rail.section) / rows.depth
            shift = passed * creep + bisect_left(strips, passed) * width - number * seal
            if near < area.rail.clearance - _ROUNDING:
                used_up = end
    return Clearance(of, least, at, used_up, shift)


def clearance_budget(area: Area, rows: AreaRows, strip_width: float) -> tuple[Clearance, ...]:
    """Return the clearance without anything, with each thing that uses it up alone, and with all of them on the worse side."""
    rail = area.rail
    creep, uneven = rail.creep.mean, rail.uneven.mean
    together = [clearance("all together", area, rows, strip_width, rail.seal, creep + more) for more in {0.0, uneven}]
    return (
        clearance("nominal pitch", area, rows),
        clearance("key strips alone", area, rows, width=strip_width),
        clearance("seals alone", area, rows, seal=rail.seal),
        clearance("creep alone", area, rows, creep=creep),
        min(together, key=lambda clearance: (math.inf if clearance.used_up is None else clearance.used_up, clearance.least)),
    )


def sides_of(area: Area, rows: AreaRows) -> Sides:
    """Return how far one side of the rail comes to lie ahead of the other."""
    uneven = area.rail.uneven.mean
    scatter = area.rail.creep.mean * _variation(area.rail.creep) * math.sqrt(2 * rows.count)
    most = area.rail.sides_within
    beyond = math.floor(most / uneven + 1) * rows.depth if uneven * rows.count > most else None
    return Sides(uneven * rows.count, scatter, beyond)


def _variation(quantity: Uncertain) -> float:
    return _NAMED[quantity.scatter] if isinstance(quantity.scatter, str) else quantity.scatter
