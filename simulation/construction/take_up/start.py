"""Everybody of a take-up is set to work, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from simulation.construction.actors.weather import weather
from simulation.construction.site.pallets.stock import Stock
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp
from simulation.construction.take_up.crews import Handlers, Lifters
from simulation.construction.take_up.digging import dig
from simulation.construction.take_up.forklifts import YardForklift
from simulation.construction.take_up.leaving import flight, truck
from simulation.construction.take_up.parties import Party, Point
from simulation.construction.take_up.ships import Ship


@dataclass(frozen=True)
class AtTakeUp:
    """Who takes a field up."""

    field: ComingUp
    crews: tuple[Party, ...]
    forklifts: tuple[YardForklift, ...]


def start_take_up(site: Site, stock: Stock, actor: Callable[[str, str], int]) -> AtTakeUp:
    """Let everybody begin.

    Parameters
    ----------
    site : Site
    stock : Stock
        Whose limit of the day holds for what leaves.
    actor : callable
        Returns the number of an actor of a kind and name.
    """
    plan, start = site.plan, site.start
    field = ComingUp(site, stock)
    if not plan.sky.dry:
        start(weather(site, actor("weather", "weather")))
    ramped = [section for section in field.plan.sections if section.ramps]
    for gang in range(min(plan.gangs, len(ramped))):
        start(dig(site, field, ramped[gang :: plan.gangs], actor("grading", f"gang {gang + 1}")))
    for fleet in plan.supply.fleets:
        for number in range(fleet.count):
            name = f"{fleet.key.rpartition('.')[2]}.{number + 1}"
            start(truck(site, field, fleet, number, actor("truck", name)))
    for number, timetable in enumerate(plan.supply.flights):
        start(flight(site, field, timetable, number, actor("flight", f"{number + 1}")))
    for number, ship in enumerate(field.plan.ships):
        start(Ship(site, field, ship, number, actor("shipment", f"{number + 1}")).work())
    crews = tuple(Party(actor("crew", crew.name), crew) for crew in plan.crews)
    field.parties = crews
    for number, (lifters, handlers) in enumerate(zip(crews[::2], crews[1::2], strict=True)):
        point = Point()
        field.at_work += 1
        start(Lifters(field, lifters, point).work())
        start(Handlers(field, handlers, point, str(number)).work())
    forklifts = tuple(
        YardForklift(number, actor("forklift", f"{number + 1}"), site, field) for number in range(plan.forklifts.count)
    )
    for forklift in forklifts:
        start(forklift.work())
    for milestone in plan.milestones:
        actor("milestone", milestone.name)
    return AtTakeUp(field, crews, forklifts)
