"""What a take-off says of rail, ramps, junctions, stands and loads, as a person reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.report import wording
from simulation.report.sections import print_section, table_of, terms

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import AreaTakeOff, TakeOff

INCHES = 12.0


def print_ground(quantities: TakeOff, console: Console) -> None:
    """Print what lies in and around the mats, each section only where there is something."""
    for area in quantities.areas:
        if area.rail is not None:
            print_section(console, f"Guide rail of {area.name}", _rail(area))
            title = "Clearance between joints of mats and rail; feet from where laying begins"
            print_section(console, title, clearance_table(area), *sides_of(area))
    ramped = [area for area in quantities.areas if area.ramps is not None]
    if ramped:
        remarks = [line for area in ramped for line in earth_of(area)]
        print_section(console, "End ramps: both of an area, cubic yards", ramps_table(ramped), *remarks)
    if quantities.junctions:
        print_section(console, "Junctions", junctions_table(quantities))
    if any(area.stands for area in quantities.areas):
        print_section(console, "Stands", stands_table(quantities))
    print_section(console, "Loads, if each brought everything alone", loads_table(quantities), *lifting_of(quantities))
    if quantities.warnings:
        table = terms()
        for number, line in enumerate(quantities.warnings, 1):
            table.add_row(str(number), line)
        print_section(console, "To be looked after", table)


def _rail(area: AreaTakeOff) -> Table:
    table = terms()
    for name, text in _rail_rows(area):
        table.add_row(name, text)
    return table


def rail_lines(area: AreaTakeOff) -> tuple[str, ...]:
    """Return what is said of an area's guide rail, a sentence for each thing."""
    return tuple(f"{name[0].upper()}{name[1:]}: {text}." for name, text in _rail_rows(area))


def _rail_rows(area: AreaTakeOff) -> list[tuple[str, str]]:
    rail = area.rail
    assert rail is not None
    lack = rail.halves_beyond_the_mix
    what = "lacking" if lack > 0 else "over"
    last = f"the last one cut to {rail.last_section:.1f} ft"
    lanes = [
        (
            f"{lane.side} lane",
            f"{lane.width:g} ft wide: {wording.number(lane.full)} full, {wording.number(lane.half)} half mats, "
            f"{wording.number(lane.joints)} end joints",
        )
        for lane in rail.lanes
    ]
    return [
        ("offset", f"{rail.offset:g} ft from the left edge"),
        *lanes,
        ("half mats", f"{wording.number(abs(lack))} {what} on the pallets that the full mats alone would ask for"),
        ("sections", f"{rail.sections} ({last}), {rail.seals} seals, {rail.gauges} gap gauges"),
        ("length", f"{rail.laid:,.1f} ft as laid, with key strips and creep; {area.length:,.6g} ft nominal"),
    ]


def clearance_table(area: AreaTakeOff) -> Table:
    """Return the clearance of an area's guide rail, by what uses it up."""
    assert area.rail is not None
    table = table_of("with", "least, in", "at, ft", "used up, ft", "shift, in")
    for one in area.rail.budget:
        used = "never" if one.used_up is None else f"{one.used_up:,.0f}"
        table.add_row(one.of, f"{INCHES * one.least:.1f}", f"{one.at:,.0f}", used, f"{INCHES * one.shift:+.1f}")
    return table


def sides_of(area: AreaTakeOff) -> list[str]:
    """Return what the table of clearances does not say."""
    assert area.rail is not None
    sides = area.rail.sides
    return [
        "Shift: how far rows have run ahead of the rail (+) or it of them (-), where the clearance is used up or at the last "
        "joint. Creep is the mean one: a build draws its own.",
        f"One side of the rail ahead of the other at the far end: {INCHES * sides.mean:.1f} in on average, "
        f"± {INCHES * sides.scatter:.1f} in from the luck of rows (one standard deviation).",
    ]


def ramps_table(areas: list[AreaTakeOff]) -> Table:
    """Return the end ramps of areas that have them."""
    table = table_of("area", "rows", "buried", "degrees", "drop, in", "excavation", "backfill")
    for area in areas:
        ramps = area.ramps
        assert ramps is not None
        volumes = (f"{ramps.excavation:,.1f}", f"{ramps.backfill:,.1f}")
        table.add_row(area.name, str(ramps.rows), str(ramps.buried), f"{ramps.slope:.1f}", f"{INCHES * ramps.drop:.1f}", *volumes)
    return table


def earth_of(area: AreaTakeOff) -> list[str]:
    """Return the earth of an area's end ramps, and how their slope stands to rule and practice."""
    ramps = area.ramps
    assert ramps is not None
    left = f"{abs(ramps.left_over):,.1f} loose {'left over' if ramps.left_over >= 0 else 'to be brought'}"
    length, width = ramps.trench
    return [
        f"{area.name}: a trench of {length:.1f} × {width:g} ft at each end; {ramps.spoil:,.1f} loose spoil; "
        f"{ramps.backfill:,.1f} to be compacted, in place; {left}.",
        *(f"{remark}." for remark in ramps.remarks),
    ]


def junctions_table(quantities: TakeOff) -> Table:
    """Return the junctions, their connectors and gaps."""
    table = table_of("area and what it meets", "feet", "connectors", "gap, in")
    for one in quantities.junctions:
        gap = f"{INCHES * one.gap:.1f}" if one.far else "-"
        table.add_row(f"{one.area}, {one.other}", f"{one.contact:g}", str(one.connectors), gap)
    return table


def stands_table(quantities: TakeOff) -> Table:
    """Return the stands, with what is drilled for them."""
    table = table_of("area", "stands", "tie-downs", "holes", "drill hours")
    for area in quantities.areas:
        if area.stands is not None:
            one = area.stands
            table.add_row(area.name, str(one.stands), str(one.tie_downs), str(one.holes), f"{one.hours:.1f}")
    return table


def loads_table(quantities: TakeOff) -> Table:
    """Return the loads of each carrier, and what governs them."""
    table = table_of("carrier", "pallets", "governed by", "loads", "lifts a load")
    for one in quantities.loads.by:
        table.add_row(one.carrier, str(one.pallets), one.governed_by, wording.number(one.loads), str(one.lifts))
    if not quantities.loads.by:
        table.add_row("none", "-", "-", "-", "-")
    return table


def lifting_of(quantities: TakeOff) -> list[str]:
    """Return what limits a load, and what a forklift lifts."""
    loads = quantities.loads
    limit = ", at its limit" if loads.at_its_limit else ""
    limits = [f"{one.carrier}: {', '.join(f'{limit} {count}' for limit, count in one.limits.items())}" for one in loads.by]
    return [
        *(f"Pallets on a load of {line}." for line in limits),
        f"To be brought: {wording.number(loads.pallets)} pallets, those of accessories included. A pallet of mats weighs "
        f"{wording.number(loads.gross)} lb; a forklift lifts {loads.per_lift} at once{limit} (NAVEDTRA 14081 ch. 8).",
    ]
