"""Rail, ramps, junctions, stands and loads of a field as tables."""

from __future__ import annotations

from simulation.field import AreaTakeOff, TakeOff
from simulation.present.answer import Block, Part, Table, Terms
from simulation.present.words import wording
from simulation.scenario.types.quantities.measures import Measures


def ground_parts(quantities: TakeOff) -> tuple[Part, ...]:
    """Return what lies in and around the mats, each part only where there is something."""
    measures = quantities.measures
    parts = [
        Part(f"Guide rail of {area.name}", _rail_blocks(area, measures)) for area in quantities.areas if area.rail is not None
    ]
    tables = []
    ramped = [area for area in quantities.areas if area.ramps is not None]
    if ramped:
        tables.append(_ramps_table(ramped, measures))
    if quantities.junctions:
        tables.append(_junctions_table(quantities))
    if any(area.stands for area in quantities.areas):
        tables.append(_stands_table(quantities))
    return (*parts, *map(Part.of, (*tables, _loads_table(quantities))))


def _rail_blocks(area: AreaTakeOff, measures: Measures) -> tuple[Block, ...]:
    return Terms(tuple(_rail_rows(area, measures))), _clearance_table(area, measures)


def _rail_rows(area: AreaTakeOff, measures: Measures) -> list[tuple[str, str]]:
    rail = area.rail
    assert rail is not None
    lack = rail.halves_beyond_the_mix
    what = "lacking" if lack > 0 else "over"
    last = f"the last one cut to {measures.length.rounded(rail.last_section, 2 if measures.metric else 1)}"
    laid = measures.length.rounded(rail.laid, 1)
    lanes = [
        (
            f"{lane.side} lane",
            f"{measures.length.text(lane.width)} wide: {wording.number(lane.full)} full, {wording.number(lane.half)} half mats, "
            f"{wording.number(lane.joints)} end joints",
        )
        for lane in rail.lanes
    ]
    return [
        ("offset", f"{measures.length.text(rail.offset)} from the left edge"),
        *lanes,
        ("half mats", f"{wording.number(abs(lack))} {what} on the pallets that the full mats alone would ask for"),
        ("sections", f"{rail.sections} ({last}), {rail.seals} seals, {rail.gauges} gap gauges"),
        ("length", f"{laid} as laid, with key strips and creep; {measures.length.text(area.length)} nominal"),
    ]


def _clearance_table(area: AreaTakeOff, measures: Measures) -> Table:
    """Return the clearance of an area's guide rail, by what uses it up."""
    assert area.rail is not None
    gap, length, digits = measures.gap, measures.length, 0 if measures.metric else 1
    rows = []
    for line in area.rail.budget:
        used = "never" if line.used_up is None else length.number(line.used_up)
        shift = f"{gap.of(line.shift):+.{digits}f}"
        rows.append((line.of, gap.number(line.least, digits), length.number(line.at), used, shift))
    return Table(
        "Clearance between joints of mats and rail; stations from where laying begins",
        ("with", f"least, {gap.name}", f"at, {length.name}", f"used up, {length.name}", f"shift, {gap.name}"),
        tuple(rows),
        notes=_clearance_notes(area, measures),
    )


def _clearance_notes(area: AreaTakeOff, measures: Measures) -> tuple[str, ...]:
    assert area.rail is not None
    sides = area.rail.sides
    return (
        "Shift: how far rows have run ahead of the rail (+) or the rail ahead of them (-), where the clearance is used up or at "
        "the last joint. Creep is the mean one: each run draws its own.",
        f"One side of the rail is ahead of the other at the far end by {measures.gap.rounded(sides.mean, 1)} on average, "
        f"± {measures.gap.rounded(sides.scatter, 1)} because rows vary (one standard deviation).",
    )


def _ramps_table(areas: list[AreaTakeOff], measures: Measures) -> Table:
    """Return the end ramps of areas that have them, with their earth, and how their slope stands to rule and practice."""
    rows = []
    for area in areas:
        ramps = area.ramps
        assert ramps is not None
        drop = measures.gap.number(ramps.drop, 0 if measures.metric else 1)
        volumes = (measures.earth.number(ramps.excavation, 1), measures.earth.number(ramps.backfill, 1))
        rows.append((area.name, str(ramps.rows), str(ramps.buried), f"{ramps.slope:.1f}", drop, *volumes))
    return Table(
        f"End ramps: both of an area, {measures.earth.name}",
        ("area", "rows", "buried", "degrees", f"drop, {measures.gap.name}", "excavation", "backfill"),
        tuple(rows),
        notes=tuple(line for area in areas for line in _describe_earth(area, measures)),
    )


def _describe_earth(area: AreaTakeOff, measures: Measures) -> list[str]:
    """Return the earth of an area's end ramps, and how their slope stands to rule and practice."""
    ramps = area.ramps
    assert ramps is not None
    left = f"{measures.earth.number(abs(ramps.left_over), 1)} loose {'left over' if ramps.left_over >= 0 else 'to be brought'}"
    length, width = ramps.trench
    return [
        f"{area.name}: a trench of {measures.length.number(length, 1)} × {measures.length.rounded(width, 1)} at each end; "
        f"{measures.earth.number(ramps.spoil, 1)} loose spoil; {measures.earth.number(ramps.backfill, 1)} to be compacted, in "
        f"place; {left}.",
        *(f"{remark}." for remark in ramps.remarks),
    ]


def _junctions_table(quantities: TakeOff) -> Table:
    """Return the junctions, their connectors and gaps."""
    measures = quantities.measures
    rows = []
    for junction in quantities.junctions:
        gap = measures.gap.number(junction.gap, 1) if junction.far else "-"
        contact = measures.length.short(junction.contact)
        rows.append((f"{junction.area}, {junction.other}", contact, str(junction.connectors), gap))
    columns = ("area and what it meets", measures.length.name, "connectors", f"gap, {measures.gap.name}")
    return Table("Junctions", columns, tuple(rows))


def _stands_table(quantities: TakeOff) -> Table:
    """Return the stands, with what is drilled for them."""
    rows = [
        (area.name, str(stands.stands), str(stands.tie_downs), str(stands.holes), f"{stands.hours:.1f}")
        for area in quantities.areas
        if (stands := area.stands) is not None
    ]
    return Table("Stands", ("area", "stands", "tie-downs", "holes", "drill hours"), tuple(rows))


def _loads_table(quantities: TakeOff) -> Table:
    """Return the loads of each carrier, what governs them, and what a forklift lifts."""
    rows = [
        (load.carrier, str(load.pallets), load.governed_by, wording.number(load.loads), str(load.lifts))
        for load in quantities.loads.by
    ]
    return Table(
        "Loads, if each carrier brought everything alone",
        ("carrier", "pallets", "governed by", "loads", "lifts a load"),
        tuple(rows or [("none", "-", "-", "-", "-")]),
        words=frozenset({2}),
        notes=tuple(_describe_loads(quantities)),
    )


def _describe_loads(quantities: TakeOff) -> list[str]:
    """Return what limits a load, and what a forklift lifts."""
    loads, sums = quantities.loads, quantities.to_order
    limit = ", at its limit" if loads.at_its_limit else ""
    limits = [f"{line.carrier}: {', '.join(f'{limit} {count}' for limit, count in line.limits.items())}" for line in loads.by]
    shipped = f" Of these {wording.number(loads.shipped)} come by shipment, which no carrier brings." if loads.shipped else ""
    return [
        *(f"Pallets on a load of {line}." for line in limits),
        f"To be brought: {wording.number(loads.pallets)} pallets, {wording.number(sums.deliveries)} of mats in the deliveries "
        f"that are planned and {wording.number(sums.beside)} of everything else.{shipped} A pallet of mats weighs "
        f"{quantities.measures.mass.rounded(loads.gross)}; a forklift lifts {loads.per_lift} at once{limit} "
        "(NAVEDTRA 14081 ch. 8).",
    ]
