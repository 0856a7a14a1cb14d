"""Geometry and quantities: rows, joints, rails, ramps, junctions, pallets, loads. No clock; of what is uncertain, the mean."""

from simulation.field.clearance import Clearance, rail_joints, strips_from_start
from simulation.field.fed_by_leg import fed_by_leg, not_alone, with_all_on_hand
from simulation.field.junctions import Junction, find_junctions, overlaps
from simulation.field.laying_edges import EdgeLayout, make_edges
from simulation.field.layout import Placed, Point, bounds_of, distance, place_areas, yard_point
from simulation.field.loads import Loads, count_loads
from simulation.field.order import Order
from simulation.field.pallets import PalletNeed, pallets_for
from simulation.field.pattern import RowPattern, brick, lanes
from simulation.field.rail import RailTakeOff, take_off_rail
from simulation.field.ramps import RampTakeOff, take_off_ramps
from simulation.field.rows import AreaRows, make_rows
from simulation.field.takeoff import AreaTakeOff, TakeOff, shortfall, take_off

__all__ = [
    "AreaRows",
    "AreaTakeOff",
    "Clearance",
    "EdgeLayout",
    "Junction",
    "Loads",
    "Order",
    "PalletNeed",
    "Placed",
    "Point",
    "RailTakeOff",
    "RampTakeOff",
    "RowPattern",
    "TakeOff",
    "bounds_of",
    "brick",
    "count_loads",
    "distance",
    "fed_by_leg",
    "find_junctions",
    "lanes",
    "make_edges",
    "make_rows",
    "not_alone",
    "overlaps",
    "pallets_for",
    "place_areas",
    "rail_joints",
    "shortfall",
    "strips_from_start",
    "take_off",
    "take_off_rail",
    "take_off_ramps",
    "with_all_on_hand",
    "yard_point",
]
