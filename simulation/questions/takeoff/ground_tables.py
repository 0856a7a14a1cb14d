"""What a take-off says of rail, ramps, junctions, stands and loads, as a person reads it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.terminal_table import new_table, print_section, terms

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import AreaTakeOff, TakeOff
    from simulation.scenario.types.measures import Measures


def print_ground(quantities: TakeOff, console: Console) -> None:
    """Print what lies in and around the mats, each section only where there is something."""
    told = quantities.told
    for area in quantities.areas:
        if area.rail is not None:
            print_section(console, f"Guide rail of {area.name}", _rail(area, told))
            title = "Clearance between joints of mats and rail; stations from where laying begins"
            print_section(console, title, clearance_table(area, told), *sides_of(area, told))
    ramped = [area for area in quantities.areas if area.ramps is not None]
    if ramped:
        remarks = [line for area in ramped for line in earth_of(area, told)]
        print_section(console, f"End ramps: both of an area, {told.earth.name}", ramps_table(ramped, told), *remarks)
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


def _rail(area: AreaTakeOff, told: Measures) -> Table:
    table = terms()
    for name, text in _rail_rows(area, told):
        table.add_row(name, text)
    return table


def rail_lines(area: AreaTakeOff, told: Measures) -> tuple[str, ...]:
    """Return what is said of an area's guide rail, a sentence for each thing."""
    return tuple(f"{name[0].upper()}{name[1:]}: {text}." for name, text in _rail_rows(area, told))


def _rail_rows(area: AreaTakeOff, told: Measures) -> list[tuple[str, str]]:
    rail = area.rail
    assert rail is not None
    lack = rail.halves_beyond_the_mix
    what = "lacking" if lack > 0 else "over"
    last = f"the last one cut to {told.length.rounded(rail.last_section, 2 if told.metric else 1)}"
    lanes = [
        (
            f"{lane.side} lane",
            f"{told.length.text(lane.width)} wide: {wording.number(lane.full)} full, {wording.number(lane.half)} half mats, "
            f"{wording.number(lane.joints)} end joints",
        )
        for lane in rail.lanes
    ]
    return [
        ("offset", f"{told.length.text(rail.offset)} from the left edge"),
        *lanes,
        ("half mats", f"{wording.number(abs(lack))} {what} on the pallets that the full mats alone would ask for"),
        ("sections", f"{rail.sections} ({last}), {rail.seals} seals, {rail.gauges} gap gauges"),
        (
            "length",
            f"{told.length.rounded(rail.laid, 1)} as laid, with key strips and creep; {told.length.text(area.length)} nominal",
        ),
    ]


def clearance_table(area: AreaTakeOff, told: Measures) -> Table:
    """Return the clearance of an area's guide rail, by what uses it up."""
    assert area.rail is not None
    gap, length, digits = told.gap, told.length, 0 if told.metric else 1
    table = new_table("with", f"least, {gap.name}", f"at, {length.name}", f"used up, {length.name}", f"shift, {gap.name}")
    for one in area.rail.budget:
        used = "never" if one.used_up is None else length.number(one.used_up)
        shift = f"{gap.of(one.shift):+.{digits}f}"
        table.add_row(one.of, gap.number(one.least, digits), length.number(one.at), used, shift)
    return table


def sides_of(area: AreaTakeOff, told: Measures) -> list[str]:
    """Return what the table of clearances does not say."""
    assert area.rail is not None
    sides = area.rail.sides
    return [
        "Shift: how far rows have run ahead of the rail (+) or it of them (-), where the clearance is used up or at the last "
        "joint. Creep is the mean one: a run draws its own.",
        f"One side of the rail ahead of the other at the far end: {told.gap.rounded(sides.mean, 1)} on average, "
        f"± {told.gap.rounded(sides.scatter, 1)} from the luck of rows (one standard deviation).",
    ]


def ramps_table(areas: list[AreaTakeOff], told: Measures) -> Table:
    """Return the end ramps of areas that have them."""
    table = new_table("area", "rows", "buried", "degrees", f"drop, {told.gap.name}", "excavation", "backfill")
    for area in areas:
        ramps = area.ramps
        assert ramps is not None
        volumes = (told.earth.number(ramps.excavation, 1), told.earth.number(ramps.backfill, 1))
        table.add_row(
            area.name,
            str(ramps.rows),
            str(ramps.buried),
            f"{ramps.slope:.1f}",
            told.gap.number(ramps.drop, 0 if told.metric else 1),
            *volumes,
        )
    return table


def earth_of(area: AreaTakeOff, told: Measures) -> list[str]:
    """Return the earth of an area's end ramps, and how their slope stands to rule and practice."""
    ramps = area.ramps
    assert ramps is not None
    left = f"{told.earth.number(abs(ramps.left_over), 1)} loose {'left over' if ramps.left_over >= 0 else 'to be brought'}"
    length, width = ramps.trench
    return [
        f"{area.name}: a trench of {told.length.number(length, 1)} × {told.length.rounded(width, 1)} at each end; "
        f"{told.earth.number(ramps.spoil, 1)} loose spoil; {told.earth.number(ramps.backfill, 1)} to be compacted, in place; "
        f"{left}.",
        *(f"{remark}." for remark in ramps.remarks),
    ]


def junctions_table(quantities: TakeOff) -> Table:
    """Return the junctions, their connectors and gaps."""
    told = quantities.told
    table = new_table("area and what it meets", told.length.name, "connectors", f"gap, {told.gap.name}")
    for one in quantities.junctions:
        gap = told.gap.number(one.gap, 1) if one.far else "-"
        table.add_row(f"{one.area}, {one.other}", told.length.short(one.contact), str(one.connectors), gap)
    return table


def stands_table(quantities: TakeOff) -> Table:
    """Return the stands, with what is drilled for them."""
    table = new_table("area", "stands", "tie-downs", "holes", "drill hours")
    for area in quantities.areas:
        if area.stands is not None:
            one = area.stands
            table.add_row(area.name, str(one.stands), str(one.tie_downs), str(one.holes), f"{one.hours:.1f}")
    return table


def loads_table(quantities: TakeOff) -> Table:
    """Return the loads of each carrier, and what governs them."""
    table = new_table("carrier", "pallets", "governed by", "loads", "lifts a load")
    for one in quantities.loads.by:
        table.add_row(one.carrier, str(one.pallets), one.governed_by, wording.number(one.loads), str(one.lifts))
    if not quantities.loads.by:
        table.add_row("none", "-", "-", "-", "-")
    return table


def lifting_of(quantities: TakeOff) -> list[str]:
    """Return what limits a load, and what a forklift lifts."""
    loads, sums = quantities.loads, quantities.to_order
    limit = ", at its limit" if loads.at_its_limit else ""
    limits = [f"{one.carrier}: {', '.join(f'{limit} {count}' for limit, count in one.limits.items())}" for one in loads.by]
    return [
        *(f"Pallets on a load of {line}." for line in limits),
        f"To be brought: {wording.number(loads.pallets)} pallets, {wording.number(sums.deliveries)} of mats in the deliveries "
        f"that are planned and {wording.number(sums.beside)} of everything else. A pallet of mats weighs "
        f"{quantities.told.mass.rounded(loads.gross)}; a forklift lifts {loads.per_lift} at once{limit} (NAVEDTRA 14081 ch. 8).",
    ]
