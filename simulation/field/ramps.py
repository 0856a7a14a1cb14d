"""How deep do the end ramps of an area go, and how much ground is dug, put back and compacted for them?

Seen from the side a trench is a triangle under the rows that slope down, and a step at their free end where there is room to
work. The lowest rows are covered again up to the ground; those above stay open, as the way down that a wheel can still take.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.scenario.types.quantities.measures import FEET, Measures

if TYPE_CHECKING:
    from simulation.scenario.tables.area_parts import Ramp
    from simulation.scenario.tables.ground import Area, Mat

#: Depth of the free end below ground, in feet. NAVEDTRA 14251 ch. 11: 18 to 24 in.
HANDBOOK_DROP = (1.5, 2.0)
#: Degrees. Common practice.
PRACTICE_SLOPE = (15.0, 30.0)
CUBIC_FEET_PER_YARD = 27.0


@dataclass(frozen=True)
class RampTakeOff:
    """The end ramps of an area; volumes in cubic yards, of both ramps together.

    Attributes
    ----------
    ramps, rows, buried : int
        Ramps, and rows in the trench and buried of each.
    slope : float
        Degrees.
    drop : float
        Depth of the free end below ground, in feet.
    trench : tuple of float
        Length and width of one trench on the ground, in feet.
    excavation : float
        In place.
    spoil : float
        The same, loose.
    backfill : float
        Compacted, in place: what rollers compact.
    backfill_taken : float
        Of the excavation, in place, that it takes.
    left_over : float
        Loose, to be spread elsewhere; negative where ground must be brought because it shrinks when it is compacted.
    by_practice : tuple of float
        Depth that 15 and 30 degrees would give, in feet.
    by_handbook : tuple of float
        Slope that 18 and 24 in would give, in degrees.
    remarks : tuple of str
        Where the handbook or practice is not met, and that both cannot be.
    """

    ramps: int
    rows: int
    buried: int
    slope: float
    drop: float
    trench: tuple[float, float]
    excavation: float
    spoil: float
    backfill: float
    backfill_taken: float
    left_over: float
    by_practice: tuple[float, float]
    by_handbook: tuple[float, float]
    remarks: tuple[str, ...]


def take_off_ramps(area: Area, mat: Mat, measures: Measures = FEET) -> RampTakeOff | None:
    """Return the end ramps of an area, None where it has none; its remarks in the units of `measures`."""
    if not area.end_ramps:
        return None
    ramp = area.ramp
    long = ramp.rows * mat.row_depth
    slope = slope_of(ramp, long)
    drop, run = long * math.sin(slope), long * math.cos(slope)
    step = ramp.end_space * drop
    side = run * drop / 2 + step
    covered = ramp.buried / ramp.rows
    # Over the buried rows: a trapezoid from where the first of them begins down to the free end.
    over = (2.0 - covered) * drop / 2 * covered * run + step
    sides = 2 * ramp.side_space
    dug = 2 * side * (area.width + sides) / CUBIC_FEET_PER_YARD
    filled = 2 * (over * area.width + side * sides) / CUBIC_FEET_PER_YARD
    taken = filled / (1.0 - ramp.shrinkage)
    return RampTakeOff(
        ramps=2,
        rows=ramp.rows,
        buried=ramp.buried,
        slope=math.degrees(slope),
        drop=drop,
        trench=(run + ramp.end_space, area.width + sides),
        excavation=dug,
        spoil=dug * (1.0 + ramp.swell),
        backfill=filled,
        backfill_taken=taken,
        left_over=(dug - taken) * (1.0 + ramp.swell),
        by_practice=(_drop(PRACTICE_SLOPE[0], long), _drop(PRACTICE_SLOPE[1], long)),
        by_handbook=(_slope(HANDBOOK_DROP[0], long), _slope(HANDBOOK_DROP[1], long)),
        remarks=_remarks(area.name, math.degrees(slope), drop, long, measures),
    )


def slope_of(ramp: Ramp, long: float) -> float:
    """Return the slope of rows `long` feet in all, in radians: as written, or what the drop gives."""
    if ramp.slope is not None:
        return math.radians(ramp.slope)
    return math.asin((HANDBOOK_DROP[1] if ramp.drop is None else ramp.drop) / long)


def handbook_drop(measures: Measures) -> str:
    """Return the handbook's depth of a free end, in other units with its own beside them."""
    own = "18 to 24 in"
    low, high = HANDBOOK_DROP
    return f"{measures.gap.number(low)} to {measures.gap.rounded(high)} ({own})" if measures.metric else own


def _drop(degrees: float, long: float) -> float:
    return long * math.sin(math.radians(degrees))


def _slope(drop: float, long: float) -> float:
    return math.degrees(math.asin(min(drop / long, 1.0)))


def _remarks(name: str, slope: float, drop: float, long: float, measures: Measures) -> tuple[str, ...]:
    by_book = HANDBOOK_DROP[0] - 1e-9 <= drop <= HANDBOOK_DROP[1] + 1e-9
    by_practice = PRACTICE_SLOPE[0] - 1e-9 <= slope <= PRACTICE_SLOPE[1] + 1e-9
    meets = {
        (True, True): "which meets both the handbook and practice",
        (True, False): "which meets the handbook and not practice",
        (False, True): "which meets practice and not the handbook",
        (False, False): "which meets neither the handbook nor practice",
    }[by_book, by_practice]
    deep = measures.gap.rounded(drop, 0 if measures.metric else 1)
    said = [
        f"{name}: the free end lies {deep} below ground at {slope:.1f} degrees, {meets}: the "
        f"handbook has {handbook_drop(measures)} (NAVEDTRA 14251 ch. 11), practice 15 to 30 degrees"
    ]
    if _drop(PRACTICE_SLOPE[0], long) > HANDBOOK_DROP[1] + 1e-9 or _drop(PRACTICE_SLOPE[1], long) < HANDBOOK_DROP[0] - 1e-9:
        angles = " to ".join(f"{_slope(drop, long):.1f}" for drop in HANDBOOK_DROP)
        depths = " to ".join(measures.gap.number(_drop(angle, long)) for angle in PRACTICE_SLOPE)
        said.append(
            f"{name}: over {measures.length.text(long)} of rows the two cannot both be met: the handbook's depth is {angles} "
            f"degrees, and practice's slope {depths} {measures.gap.name} deep; the mat system's own manual decides"
        )
    return tuple(said)
