"""What is ordered, item by item, by which rule is each counted, and on how many pallets and how much ground does it stand?"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from simulation.field.keystrips import count_by_length, lengths_of

if TYPE_CHECKING:
    from simulation.field.junctions import Junction
    from simulation.field.pallets import PalletNeed
    from simulation.field.rail import RailTakeOff
    from simulation.field.rows import AreaRows
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.tables.scenario import Scenario

End = Literal["low", "high"]
_ENDS: tuple[End, End] = ("low", "high")
_BRICK = "brick pattern: two half mats in every pair of rows and lane"
_EVERY = (
    "across the area after the first five rows, then every key_strips_every, or as key_strip_zones say (NAVEDTRA 14251 ch. 11)"
)
_STARTER = "one in the middle of a centre-out area (NAVEDTRA 14251 ch. 11)"
_BAR = "one for each end joint (common practice)"
_SECTIONS = "first the shorter one, then the others, along the mats as they lie (NAVEDTRA 14251 ch. 11)"
_SEAL = "one between two sections (NAVEDTRA 14251 ch. 11)"
_GAUGE = "ten or more behind the leading joint (common practice)"
_CONNECTOR = "along each junction, one for each length of connector (planning value)"
_END = "across each end that no ramp buries and no junction takes (planning value)"
_TIE = "tie_downs for each stand (planning value)"
_SPACER = "row_spacers for each crew (planning value)"
_TOOL = "for each crew (planning value)"

MATS, STRIPS, RAIL, SMALL = "mats", "key strips", "rail", "small parts and tools"
#: Areas bear names that are not empty, so this one stands for what belongs to none.
NO_AREA = ""


@dataclass(frozen=True)
class Counted:
    """So many of one item for one area, and the rule behind the count; no spares."""

    area: str
    item: str
    count: int
    rule: str
    on: str
    each: float
    """Pounds."""
    spared: bool = True
    """Whether spares are ordered of it."""


@dataclass(frozen=True)
class OrderLine:
    """One item of the order: what the field needs, what is ordered with spares, pounds in all."""

    item: str
    need: int
    order: int
    mass: float
    on: str
    rule: str


@dataclass(frozen=True)
class PalletGroup:
    """Pallets of one kind, and their gross pounds."""

    what: str
    pallets: int
    mass: float


@dataclass(frozen=True)
class Order:
    """Everything that is ordered.

    Attributes
    ----------
    by_area : tuple of Counted
    lines : tuple of OrderLine
    pallets : tuple of PalletGroup
    stacks : int
    yard : float
        Square feet under stacks and aisles, with all pallets in the yard at once.
    spares : float
        Share ordered beyond what is needed, of all but mats, whose pallets hold their own, and what crews work with.
    """

    by_area: tuple[Counted, ...]
    lines: tuple[OrderLine, ...]
    pallets: tuple[PalletGroup, ...]
    stacks: int
    yard: float
    spares: float

    @property
    def mass(self) -> float:
        """Gross pounds."""
        return sum(group.mass for group in self.pallets)

    @property
    def total_pallets(self) -> int:
        """Pallets of mats and of everything else."""
        return sum(group.pallets for group in self.pallets)


def counted_for(
    scenario: Scenario, area: Area, rows: AreaRows, rail: RailTakeOff | None, junctions: Iterable[Junction]
) -> Iterator[Counted]:
    """Yield what one area takes, item by item."""
    unit = scenario.measures.length
    name, mat, parts, strips = area.name, scenario.mat, scenario.accessories, scenario.key_strips
    yield Counted(name, "full mat", rows.full, _BRICK, MATS, mat.mass)
    yield Counted(name, "half mat", rows.half, _BRICK, MATS, mat.mass / 2)
    yield Counted(name, "locking bar", rows.joints, _BAR, SMALL, parts.locking_bar_mass)
    widths = tuple(lane.width for lane in rail.lanes) if rail else (area.width,)
    pieces = sorted(count_by_length(widths, lengths_of(strips.lengths, mat.full), mat.half).items(), reverse=True)
    for length, count in pieces:
        each = length * strips.mass
        yield Counted(name, f"key strip, {unit.text(length)}", count * len(rows.key_strips), _EVERY, STRIPS, each)
    for length, count in pieces if rows.starter is not None else ():
        yield Counted(name, f"starter key strip, {unit.text(length)}", count, _STARTER, STRIPS, length * strips.starter_mass)
    if rail:
        first, other = area.rail.first_section, area.rail.section
        yield Counted(name, f"rail section, {unit.text(first)}", 1, _SECTIONS, RAIL, first * parts.rail_mass)
        yield Counted(name, f"rail section, {unit.text(other)}", rail.sections - 1, _SECTIONS, RAIL, other * parts.rail_mass)
        yield Counted(name, "rail seal", rail.seals, _SEAL, SMALL, parts.seal_mass)
        yield Counted(name, "gap gauge", rail.gauges, _GAUGE, SMALL, parts.gauge_mass, spared=False)
    length = parts.connector or mat.full
    each = length * parts.connector_mass
    own = [junction for junction in junctions if junction.area == name]
    yield Counted(name, "connector", sum(junction.connectors for junction in own), _CONNECTOR, SMALL, each)
    ends = len(ends_with_connectors(scenario, area)) * end_connectors_across(scenario, area)
    yield Counted(name, "end connector", ends, _END, SMALL, each)
    if area.stands is not None:
        yield Counted(name, "tie-down", area.stands.count * area.stands.tie_downs, _TIE, SMALL, parts.tie_down_mass)


def end_connectors_across(scenario: Scenario, area: Area) -> int:
    """Return how many end connectors close one end of an area."""
    return math.ceil(area.width / (scenario.accessories.connector or scenario.mat.full) - 1e-9)


def ends_with_connectors(scenario: Scenario, area: Area) -> tuple[End, ...]:
    """Return which ends of an area are closed by a row of end connectors, once for each row.

    Where their number is written, the low end has the first, the high end the second, and all others are taken to be at the low.
    """
    if area.end_connectors is not None:
        return (*_ENDS, *_ENDS[:1] * area.end_connectors)[: area.end_connectors]
    if area.end_ramps:
        return ()
    taken: set[End] = {
        joined.joins.end
        for joined in scenario.area
        if joined.joins is not None and joined.joins.area == area.name and joined.joins.end
    }
    if area.joins is not None and area.joins.at in (0.0, area.length):
        near, far = _ENDS if area.joins.at == 0.0 else _ENDS[::-1]
        taken |= {near, far} if area.meets else {near}
    return tuple(end for end in _ENDS if end not in taken)


def for_the_crews(scenario: Scenario) -> Iterator[Counted]:
    """Yield what belongs to no area."""
    parts, crews = scenario.accessories, len(scenario.crew)
    yield Counted(
        NO_AREA, "locking bar, row spacer", parts.row_spacers * crews, _SPACER, SMALL, parts.locking_bar_mass, spared=False
    )
    for tool, count in parts.tools.items():
        yield Counted(NO_AREA, tool, count * crews, _TOOL, SMALL, parts.tool_mass, spared=False)


def order_of(scenario: Scenario, by_area: Iterable[Counted], mats: PalletNeed) -> Order:
    """Return the order: every item with its spares, on pallets of its kind.

    Parameters
    ----------
    scenario : Scenario
    by_area : iterable of Counted
    mats : PalletNeed
        The pallets of mats, spares included.
    """
    counted = [line for line in (*by_area, *for_the_crews(scenario)) if line.count]
    mat, spares = scenario.mat, scenario.accessories.spares
    lines: list[OrderLine] = []
    for item in dict.fromkeys(line.item for line in counted):
        same = [line for line in counted if line.item == item]
        need, first = sum(line.count for line in same), same[0]
        if first.on == MATS:
            order = mats.pallets * (mat.pallet_full if item == "full mat" else mat.pallet_half)
        else:
            order = math.ceil(round(need * (1.0 + spares * first.spared), 9))
        lines.append(OrderLine(item, need, order, order * first.each, first.on, first.rule))
    groups = [PalletGroup(MATS, mats.pallets, sum(line.mass for line in lines if line.on == MATS) + mats.pallets * mat.dunnage)]
    for what in (STRIPS, RAIL, SMALL):
        net = sum(line.mass for line in lines if line.on == what)
        pallets = math.ceil(round(net / scenario.accessories.pallet, 9))
        if pallets:
            groups.append(PalletGroup(what, pallets, net + pallets * mat.dunnage))
    lines.sort(key=lambda line: (MATS, STRIPS, RAIL, SMALL).index(line.on))
    # A stack holds pallets of one kind.
    store = scenario.storage
    stacks = sum(math.ceil(group.pallets / store.stacked) for group in groups)
    foot = (store.length or mat.full) * store.width
    return Order(tuple(counted), tuple(lines), tuple(groups), stacks, stacks * foot / (1.0 - store.aisles), spares)
