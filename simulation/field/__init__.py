"""Geometry and quantities: rows, joints, key strips, faces, pallets. No clock and no chance in here."""

from simulation.field.faces import Face, faces_of
from simulation.field.layout import Placed, Point, distance, place_areas, yard_point
from simulation.field.pallets import PalletNeed, pallets_for
from simulation.field.pattern import RowPattern, brick
from simulation.field.rows import AreaRows, rows_of
from simulation.field.takeoff import AreaTakeOff, TakeOff, shortfall, take_off

__all__ = [
    "AreaRows",
    "AreaTakeOff",
    "Face",
    "PalletNeed",
    "Placed",
    "Point",
    "RowPattern",
    "TakeOff",
    "brick",
    "distance",
    "faces_of",
    "pallets_for",
    "place_areas",
    "rows_of",
    "shortfall",
    "take_off",
    "yard_point",
]
