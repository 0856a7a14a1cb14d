"""What comes back of a field that is taken up: mats by state at the mean shares, the fewest pallets for them, loads; no clock."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.loads import Loads, count_loads
from simulation.field.rows import make_rows
from simulation.field.take_up_sections import areas_in_order

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario


@dataclass(frozen=True)
class Back:
    """Mats of one state: how many full and half ones at the mean share, the fewest pallets that hold them, pounds gross."""

    state: str
    full: float
    half: float
    pallets: int
    mass: float


@dataclass(frozen=True)
class ComingBack:
    """All that comes back.

    Attributes
    ----------
    by_state : tuple of Back
        Good, to be repaired, scrap.
    full, half : int
        Mats that lie in the areas that are taken up.
    square_feet : float
        Of them.
    loads : Loads
        What takes the fewest pallets away, if each fleet or timetable took all.
    """

    by_state: tuple[Back, ...]
    full: int
    half: int
    square_feet: float
    loads: Loads

    @property
    def pallets(self) -> int:
        """The fewest pallets of all."""
        return sum(back.pallets for back in self.by_state)

    @property
    def mass(self) -> float:
        """Pounds gross of all."""
        return math.fsum(back.mass for back in self.by_state)


def count_coming_back(scenario: Scenario) -> ComingBack:
    """Return what comes back of the areas of a scenario that are taken up, each state and size on pallets of its own."""
    take_up, mat, names = scenario.take_up, scenario.mat, areas_in_order(scenario)
    areas = [area for area in scenario.area if area.name in names]
    rows = [make_rows(area, mat) for area in areas]
    full, half = sum(area_rows.full for area_rows in rows), sum(area_rows.half for area_rows in rows)
    scrap, repair = take_up.scrap.mean, take_up.to_repair.mean
    holds = 2 * mat.pallet_full + mat.pallet_half
    by_state = []
    for state, share in (("good", 1.0 - scrap - repair), ("to be repaired", repair), ("scrap", scrap)):
        pallets = math.ceil(share * full / (holds // 2) - 1e-9) + math.ceil(share * half / holds - 1e-9)
        mass = share * (full + 0.5 * half) * mat.mass + pallets * mat.dunnage
        by_state.append(Back(state, share * full, share * half, pallets, mass))
    whole = sum(back.pallets for back in by_state)
    return ComingBack(tuple(by_state), full, half, sum(area.length * area.width for area in areas), count_loads(scenario, whole))
