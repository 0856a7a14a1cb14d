"""What of a scenario comes only after the last hour that is simulated, so that no run ever sees it?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario import Mistake
from simulation.scenario.tables.supply import ONE_IN_A_HUNDRED
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.types.uncertainty.uncertain import Uncertain


def after_the_horizon(scenario: Scenario) -> Iterator[Mistake]:
    """Yield, by its key, whoever and whatever comes after the last day simulated."""
    days = scenario.horizon / 24
    for key, hours in _comings(scenario):
        if hours >= scenario.horizon:
            wrong = f"{hours / 24:,.4g} days is after the last day simulated, {days:,.4g} (horizon), so no run sees it"
            yield Mistake(key, wrong, "write an earlier time, a later horizon, or leave it out")
    for key, comes, put_off in _uncertain_comings(scenario):
        earliest, mean = comes.level.quantile(ONE_IN_A_HUNDRED) + put_off, comes.mean + put_off
        if mean >= scenario.horizon:
            who = "no run sees it" if earliest >= scenario.horizon else "only runs in which it is early see it"
            on_average = "" if comes.certain else " on average"
            wrong = f"{mean / 24:,.4g} days{on_average} is after the last day simulated, {days:,.4g} (horizon), so {who}"
            yield Mistake(key, wrong, "write an earlier time, a later horizon, or leave it out")


def _uncertain_comings(scenario: Scenario) -> Iterator[tuple[str, Uncertain, float]]:
    """Yield the key of every such time that is not known for certain, the time, and by how much it is put off."""
    for task in scenario.task:
        if task.comes is not None:
            yield f"task.{step_name(task.name)}.comes", task.comes, 0.0
    for number, shipment in enumerate(scenario.supply.shipments, start=1):
        yield f"supply.shipments.{number}.comes", shipment.comes, shipment.put_off
    for number, ship in enumerate(scenario.take_up.shipments if scenario.takes_up else (), start=1):
        yield f"take_up.shipments.{number}.comes", ship.comes, ship.put_off


def _comings(scenario: Scenario) -> Iterator[tuple[str, float]]:
    """Yield the key of every time from the start at which something begins, and the time."""
    supply = scenario.supply
    for crew in scenario.crew:
        yield f"crew.{step_name(crew.name)}.from", crew.since
    for gang in scenario.gang:
        yield f"gang.{step_name(gang.name)}.from", gang.since
    for task in scenario.task:
        yield f"task.{step_name(task.name)}.from", task.since
        for number, need in enumerate(task.after, 1):
            if need.date is not None:
                hours = (need.date - scenario.starts).total_seconds() / 3600.0
                yield f"task.{step_name(task.name)}.after.{number}.date", hours
    yield "forklifts.from", max(scenario.forklifts.all_since, default=0.0)
    for number, trucks in enumerate(supply.trucks, start=1):
        yield f"supply.trucks.{number}.from", trucks.since
    for number, flights in enumerate(supply.flights, start=1):
        yield f"supply.flights.{number}.first", flights.first
    if scenario.grading.needed:
        yield "grading.from", scenario.grading.since
    if any(area.guide_rail for area in scenario.area):
        yield "rail_gang.from", scenario.rail_gang.since
    for key, parts in (("key_strips", supply.key_strips), ("rail", supply.rail)):
        if parts is not None and parts.since is not None:
            yield f"supply.{key}.from", parts.since
