"""Which quantities of a scenario are uncertain, and under which address does each stand?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.plan.follow_up import stands_key
from simulation.construction.plan.rail import rail_key
from simulation.construction.plan.tasks import task_key
from simulation.scenario.types.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: What taking up has in common with repairs.
_OF_REPAIR = ("take_up", "draw_out", "stuck", "free")


def uncertain_quantities(scenario: Scenario) -> dict[str, Uncertain]:
    """Return every uncertain quantity of the scenario by its address; those of a guide rail only where there is one."""
    railed = [area for area in scenario.area if area.guide_rail]
    sections = ("laying", "forklifts", "grading", *(["rail_gang"] if railed else []))
    quantities = {
        f"{section}.{name}": value
        for section in sections
        for name, value in getattr(scenario, section)
        if isinstance(value, Uncertain)
    }
    if scenario.used_mats is not None:
        quantities |= {"used_mats.bent": scenario.used_mats.bent, "used_mats.scrap": scenario.used_mats.scrap}
    for number, fleet in enumerate(scenario.supply.trucks, start=1):
        trips = {"load": fleet.load, "haul": fleet.haul, "return": fleet.back}
        quantities |= {f"supply.trucks.{number}.{name}": value for name, value in trips.items()}
    for number, shipment in enumerate(scenario.supply.shipments, start=1):
        quantities |= {f"supply.shipments.{number}.{name}": getattr(shipment, name) for name in ("comes", "discharge")}
    for area in railed:
        quantities |= {f"{rail_key(area)}.creep": area.rail.creep, f"{rail_key(area)}.uneven": area.rail.uneven}
    for task in scenario.task:
        quantities[f"{task_key(task)}.each"] = task.each
        if task.comes is not None:
            quantities[f"{task_key(task)}.comes"] = task.comes
    quantities |= {f"{stands_key(area)}.drill": area.stands.drill for area in scenario.area if area.stands is not None}
    if scenario.temporary_end is not None:
        quantities |= {f"temporary_end.{name}": getattr(scenario.temporary_end, name) for name in ("make", "take_up")}
    if scenario.takes_up:
        quantities |= {f"take_up.{name}": value for name, value in scenario.take_up if isinstance(value, Uncertain)}
        for number, ship in enumerate(scenario.take_up.shipments, start=1):
            quantities |= {f"take_up.shipments.{number}.{name}": getattr(ship, name) for name in ("comes", "discharge")}
        quantities |= {f"repair.{name}": getattr(scenario.repair, name) for name in _OF_REPAIR}
    return quantities
