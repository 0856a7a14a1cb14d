"""What follows from the drawing alone: rows, mats, joints, key strips, pallets, and all that is ordered, dug and brought."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.junctions import Junction, find_junctions, overlaps
from simulation.field.loads import Loads, count_loads
from simulation.field.lopsided_order import LopsidedOrder, find_lopsided
from simulation.field.order import Counted, Order, counted_for, order_of
from simulation.field.pallets import PalletNeed, pallets_for, pooled_pallets
from simulation.field.rail import RailTakeOff, take_off_rail
from simulation.field.ramps import RampTakeOff, take_off_ramps
from simulation.field.rows import AreaRows, make_rows
from simulation.field.stands import StandsTakeOff, take_off_stands
from simulation.field.to_order import ToOrder, to_order
from simulation.scenario.types.mistakes import Mistake, ScenarioError
from simulation.scenario.types.quantities.measures import FEET, Measures
from simulation.scenario.types.remembered import remembered

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.types.quantities.snapped import Snapped


@dataclass(frozen=True)
class AreaTakeOff:
    """Quantities of one area. Lengths in feet, area in square feet."""

    name: str
    length: float
    width: float
    square_feet: float
    rows: int
    ramp_rows: int
    full: int
    half: int
    joints: int
    key_strips: int
    starter_key_strips: int
    alone: PalletNeed
    """Pallets if this area had to be covered by pallets of its own, without spares."""
    rail: RailTakeOff | None = None
    ramps: RampTakeOff | None = None
    stands: StandsTakeOff | None = None


@dataclass(frozen=True)
class TakeOff:
    """Quantities of the field.

    Attributes
    ----------
    areas : tuple of AreaTakeOff
    need : PalletNeed
        Pallets the field needs without spares, pooled or area by area as the scenario says.
    order : PalletNeed
        The same with spares, and with what takes the place of used mats that cannot be laid.
    by_area_alone : float
        Pallets by square feet only, for comparison: wrong wherever the widths do not use the pallet's own mix.
    comes : int
        Pallets that the scenario says will come; the order where it does not say.
    mass : float
        Gross pounds of the pallets that come.
    junctions : tuple of Junction
    ordered : Order
        Everything that is ordered, with spares.
    loads : Loads
        What brings it.
    warnings : tuple of str
        What is legal, and must be looked after.
    to_order : ToOrder
        The sum of pallets, of which every number of pallets is a part.
    snapped : tuple of Snapped
        Lengths that were read as whole numbers of rows or mats.
    lopsided : LopsidedOrder or None
        Where one kind of mat decides the order and much of the other is left over.
    measures : Measures
        The units in which its words and tables are; its numbers are in those used inside.
    """

    areas: tuple[AreaTakeOff, ...]
    need: PalletNeed
    order: PalletNeed
    by_area_alone: float
    comes: int
    mass: float
    junctions: tuple[Junction, ...]
    ordered: Order
    loads: Loads
    warnings: tuple[str, ...]
    to_order: ToOrder
    snapped: tuple[Snapped, ...] = ()
    lopsided: LopsidedOrder | None = None
    measures: Measures = FEET

    def total(self, quantity: str) -> float:
        """Return the sum over areas of one quantity, by the name of its field."""
        values: list[float] = [getattr(area, quantity) for area in self.areas]
        return sum(values)


@remembered
def take_off(scenario: Scenario) -> TakeOff:
    """Return the quantities of a scenario's field.

    Raises
    ------
    ScenarioError
        If two areas lie on the same ground, or the pallets hold none of a kind of mat that they take.

    Examples
    --------
    >>> from simulation import load_scenario
    >>> take_off(load_scenario()).total("rows")
    1770
    """
    if wrong := overlaps(scenario) or _not_on_a_pallet(scenario):
        raise ScenarioError(scenario.title, wrong)
    mat = scenario.mat
    junctions = find_junctions(scenario)
    areas: list[AreaTakeOff] = []
    counted: list[Counted] = []
    for area in scenario.area:
        rows: AreaRows = make_rows(area, mat)
        rail = take_off_rail(area, rows, mat, scenario.key_strips.width, scenario.measures)
        counted += counted_for(scenario, area, rows, rail, junctions)
        areas.append(
            AreaTakeOff(
                name=area.name,
                length=area.length,
                width=area.width,
                square_feet=area.length * area.width,
                rows=rows.count,
                ramp_rows=len(rows.ramps),
                full=rows.full,
                half=rows.half,
                joints=rows.joints,
                key_strips=len(rows.key_strips),
                starter_key_strips=int(rows.starter is not None),
                alone=pallets_for(rows.full, rows.half, mat),
                rail=rail,
                ramps=take_off_ramps(area, mat, scenario.measures),
                stands=take_off_stands(area),
            )
        )
    spares, unfit = scenario.supply.spares, 0.0 if scenario.used_mats is None else scenario.used_mats.expected_unfit
    pools, whole = _pools(areas, scenario), (1.0 + spares) / (1.0 - unfit) - 1.0
    need, spared, order = (pooled_pallets(pools, mat, more) for more in (0.0, spares, whole))
    square_feet = sum(area.square_feet for area in areas)
    on_pallet = (mat.pallet_full * mat.full + mat.pallet_half * mat.half) * mat.row_depth
    comes = max(order.pallets, scenario.supply.on_hand) if scenario.supply.total is None else scenario.supply.total
    ordered = order_of(scenario, counted, order)
    others = ordered.total_pallets - order.pallets
    return TakeOff(
        areas=tuple(areas),
        need=need,
        order=order,
        by_area_alone=square_feet / on_pallet,
        comes=comes,
        mass=comes * scenario.mat.gross_pallet,
        junctions=tuple(junctions),
        ordered=ordered,
        loads=count_loads(scenario, max(0, comes - scenario.supply.on_hand) + others),
        warnings=tuple(
            [line for area in areas if area.rail for line in area.rail.warnings]
            + [junction.warning for junction in junctions if junction.warning]
        ),
        to_order=to_order(scenario.supply, need, spared, order, ordered, comes, unfit),
        snapped=tuple(scenario.snapped),
        lopsided=find_lopsided(pools, mat, order, whole),
        measures=scenario.measures,
    )


def _pools(areas: list[AreaTakeOff], scenario: Scenario) -> list[tuple[int, int]]:
    """Return the full and half mats that are covered together: those of the field, or of each area."""
    if scenario.supply.pools == "field":
        return [(sum(area.full for area in areas), sum(area.half for area in areas))]
    return [(area.full, area.half) for area in areas]


def shortfall(scenario: Scenario) -> list[Mistake]:
    """Return why the field cannot be covered by the pallets that come: nothing, or one mistake that names the shortfall."""
    if missing := _not_on_a_pallet(scenario):
        return missing
    quantities = take_off(scenario)
    need, comes = quantities.need, quantities.comes
    if comes < need.pallets:
        return [
            Mistake(
                "supply.total",
                f"{comes} pallets come, {need.pallets - comes} too few: {need.governed_by} ask for {need.pallets}",
                f"write at least {need.pallets}, or {quantities.order.pallets} with spares",
            )
        ]
    supply = scenario.supply
    shipped = sum(shipment.pallets for shipment in supply.shipments)
    if comes > supply.on_hand + shipped and not (supply.trucks or supply.flights):
        by_shipment = f", {shipped} come by shipment" if shipped else ""
        return [
            Mistake(
                "supply.on_hand",
                f"{supply.on_hand} pallets are on hand{by_shipment}, nothing brings more, and the order with spares is {comes}",
                f"write on_hand = {comes - shipped}, or add [[supply.trucks]] or [[supply.flights]]",
            )
        ]
    return []


def _not_on_a_pallet(scenario: Scenario) -> list[Mistake]:
    """Return what is wrong where the rows take a kind of mat of which a pallet holds none."""
    mat = scenario.mat
    rows = [make_rows(area, mat) for area in scenario.area]
    for kind, needed, held in (
        ("full", any(row.full for row in rows), mat.pallet_full),
        ("half", any(row.half for row in rows), mat.pallet_half),
    ):
        if needed and not held:
            return [Mistake(f"mat.pallet_{kind}", f"the field needs {kind} mats and a pallet holds none", "write 1 or more")]
    return []
