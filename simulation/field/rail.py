"""What does a guide rail take: sections, seals, gauges; and what must be done where its clearance is used up?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.clearance import Clearance, Sides, clearance_budget, rail_joints, sides_of
from simulation.scenario.types.quantities.measures import FEET, Measures

if TYPE_CHECKING:
    from simulation.field.rows import AreaRows
    from simulation.scenario.tables.ground import Area, Mat


@dataclass(frozen=True)
class Lane:
    """One side of a guide rail: its width, and the mats that it takes."""

    side: str
    width: float
    full: int
    half: int
    joints: int


@dataclass(frozen=True)
class RailTakeOff:
    """A guide rail and its joints.

    Attributes
    ----------
    offset : float
        From the left edge.
    lanes : tuple of Lane
        Left, right.
    sections : int
        The first, shorter one included.
    last_section : float
        Length to which the last one is cut.
    seals, gauges : int
    laid : float
        Length of the mats as they lie, with key strips and creep: the rail is as long.
    joints : tuple of float
        Stations from where laying begins, seals included.
    halves_beyond_the_mix : float
        Half mats needed for which the pallets that the full mats ask for bring none; negative where they bring more.
    budget : tuple of Clearance
    sides : Sides
    warnings : tuple of str
    """

    offset: float
    lanes: tuple[Lane, Lane]
    sections: int
    last_section: float
    seals: int
    gauges: int
    laid: float
    joints: tuple[float, ...]
    halves_beyond_the_mix: float
    budget: tuple[Clearance, ...]
    sides: Sides
    warnings: tuple[str, ...]


def take_off_rail(area: Area, rows: AreaRows, mat: Mat, strip_width: float, measures: Measures = FEET) -> RailTakeOff | None:
    """Return the guide rail of an area, None where it has none; its warnings in the units of `measures`."""
    if not area.guide_rail or rows.rail is None:
        return None
    rail = area.rail
    growth = rail.creep.mean + rail.uneven.mean
    laid = rows.count * (rows.depth + growth) + len(rows.key_strips) * strip_width
    joints = rail_joints(rail, laid, rail.seal)
    last = laid - (joints[-1] + rail.seal if joints else 0.0)
    budget, sides = clearance_budget(area, rows, strip_width), sides_of(area, rows)
    lack = rows.half - rows.full / mat.pallet_full * mat.pallet_half if mat.pallet_full else float(rows.half)
    return RailTakeOff(
        offset=rows.rail * mat.half,
        lanes=_lanes(rows, mat, area.width),
        sections=len(joints) + 1,
        last_section=max(last, 0.0),
        seals=len(joints),
        gauges=rail.gauges,
        laid=laid,
        joints=tuple(joints),
        halves_beyond_the_mix=lack,
        budget=budget,
        sides=sides,
        warnings=(*_used_up(area, budget[-1], rows.depth, measures), *_apart(area, sides, measures)),
    )


def _lanes(rows: AreaRows, mat: Mat, width: float) -> tuple[Lane, Lane]:
    assert rows.rail is not None
    lanes: list[Lane] = []
    for side, low, high in (("left", 0, rows.rail), ("right", rows.rail, round(width / mat.half))):
        counts = [0, 0, 0]
        for number, pattern in enumerate(rows.patterns):
            at = 0
            for piece in pattern.pieces:
                if low <= at < high:
                    counts[2 - piece] += rows.rows_with(number)
                at += piece
            counts[2] += rows.rows_with(number) * sum(low < joint < high for joint in pattern.joints)
        lanes.append(Lane(side, (high - low) * mat.half, *counts))
    return lanes[0], lanes[1]


def _used_up(area: Area, clearance: Clearance, depth: float, measures: Measures) -> list[str]:
    """Return what to do where the clearance falls below what is asked for."""
    if clearance.used_up is None:
        return []
    rail = area.rail
    ahead = f"{measures.gap.rounded(abs(clearance.shift), 0 if measures.metric else 1)}"
    start = f"{measures.length.rounded(clearance.used_up)}"
    where = f"{area.name}: from {start} on a joint of the rail lies less than {measures.gap.text(rail.clearance)} from one"
    # Shortened by this much, a section brings the joints back to the middle between those of the mats, whoever ran ahead.
    short = rail.section - (-clearance.shift) % depth
    feet_and_inches = f"{int(short)} ft {measures.gap.number(short % 1.0, 1)} in"
    size = f"{measures.length.of(short):.3f} m" if measures.metric else feet_and_inches
    if clearance.shift > 0:
        why = f"of the mats: rows have run {ahead} ahead of the rail"
        return [f"{where} {why}; before then close the rows up by re-seating them, or put in a short section of {size}"]
    why = f"of the mats: the rail has run {ahead} ahead of the rows"
    return [f"{where} {why}; put in a short section of {size} before then"]


def _apart(area: Area, sides: Sides, measures: Measures) -> list[str]:
    most = measures.gap.text(area.rail.sides_within)
    if sides.beyond is not None:
        return [
            f"{area.name}: from {measures.length.rounded(sides.beyond)} on the rows of one side of the rail lie more than "
            f"{most} ahead of the other's; re-seat the rows of the side that is ahead before then"
        ]
    if sides.mean + 2 * sides.scatter > area.rail.sides_within:
        ahead = measures.gap.number(sides.mean + 2 * sides.scatter, 0 if measures.metric else 1)
        return [
            f"{area.name}: luck alone can bring the rows of one side {ahead} {measures.gap.name} ahead of "
            f"the other's (two standard deviations); {most} is allowed, so measure both sides at every alignment check"
        ]
    return []
