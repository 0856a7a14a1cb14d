"""Geometry and quantities: rows, joints, rails, ramps, junctions, pallets, loads. No clock; of what is uncertain, the mean."""

from simulation.field.clearance import Clearance, rail_joints, strips_from_start
from simulation.field.faces import Face, faces_of
from simulation.field.junctions import Junction, junctions_of, overlaps
from simulation.field.layout import Placed, Point, bounds_of, distance, place_areas, yard_point
from simulation.field.loads import Loads, loads_of
from simulation.field.order import Order
from simulation.field.pallets import PalletNeed, pallets_for
from simulation.field.pattern import RowPattern, brick, lanes
from simulation.field.rail import RailTakeOff, rail_of
from simulation.field.ramps import RampTakeOff, ramps_of
from simulation.field.rows import AreaRows, rows_of
from simulation.field.takeoff import AreaTakeOff, TakeOff, shortfall, take_off

__all__ = [
    "AreaRows",
    "AreaTakeOff",
    "Clearance",
    "Face",
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
    "distance",
    "faces_of",
    "junctions_of",
    "lanes",
    "loads_of",
    "overlaps",
    "pallets_for",
    "place_areas",
    "rail_joints",
    "rail_of",
    "ramps_of",
    "rows_of",
    "shortfall",
    "strips_from_start",
    "take_off",
    "yard_point",
]
