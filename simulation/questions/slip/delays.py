"""What can come late in a scenario, and by how much? Names and ranges as planners write them, and the changes behind them.

Deliveries, gangs, forklifts, crews and tasks each have a key that says from when on they are there; to come late is to add to it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import did_you_mean, refusal, shown

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario
    from simulation.scenario.tables.supply import Flights, Shipment

#: Delays where none are named. Planning value.
BY = "1 day,2 day,5 day"
#: Delays at once: more would take hours. Planning value.
MOST_DELAYS = 30
#: How delays are written, in a sentence.
WRITTEN = 'write delays such as "1 day,2 day,5 day", or FROM..TO by the day, or FROM..TO:STEP, such as "12 h..48 h:12 h"'
_DAY = 24.0
_BROUGHT_BY = {"trucks": "truck fleet", "flights": "timetable", "shipments": "shipment"}


@dataclass(frozen=True, order=True)
class Delay:
    """How late something comes.

    Attributes
    ----------
    hours : float
    text : str
        In words: whole days as ``2 days``, others as ``12 hours``.
    """

    hours: float
    text: str

    @classmethod
    def of(cls, hours: float) -> Delay:
        """Return a delay of so many hours."""
        size, name = (_DAY, "day") if abs(hours / _DAY - round(hours / _DAY)) < 1e-9 else (1.0, "hour")
        number = f"{round(hours / size, 2):g}"
        return cls(hours, f"{number} {name}{'' if number == '1' else 's'}")


@dataclass(frozen=True)
class Late:
    """Something that can come late.

    Attributes
    ----------
    name : str
        What it is asked for by: ``supply``, ``crew.B``.
    called : str
        What a sentence calls it.
    later : callable
        Takes hours, and returns the changes that make it come so much later than the scenario says.
    since : tuple of float
        When it, or each part of it, is there by the scenario: hours from the start; of a shipment the earliest of its range.
    """

    name: str
    called: str
    later: Callable[[float], tuple[Change, ...]]
    since: tuple[float, ...]


def read_delays(text: str) -> tuple[Delay, ...]:
    """Return delays as a planner writes them, the shortest first: ``1 day,2 day,5 day``, ``1 day..5 day``, ``12 h..48 h:12 h``.

    Raises
    ------
    ScenarioError
        If one cannot be read, is not above zero, runs backwards, or if there are too many.
    """
    delays = {round(hours, 9) for part in text.split(",") for hours in _hours_of(part.strip())}
    if len(delays) > MOST_DELAYS:
        raise refusal("by", f"{len(delays)} delays are too many", f"at most {MOST_DELAYS} are taken: write a longer step")
    return tuple(Delay.of(hours) for hours in sorted(delays))


def _hours_of(text: str) -> Iterator[float]:
    low, dots, rest = text.partition("..")
    if not dots:
        yield _read(text)
        return
    high, colon, step = rest.partition(":")
    first, last, each = _read(low), _read(high), _read(step) if colon else _DAY
    if last < first:
        raise refusal("by", f"{text} runs backwards", f'write "{high.strip()}..{low.strip()}"')
    count = int((last - first) / each + 1e-9) + 1
    if count > MOST_DELAYS:
        raise refusal("by", f"{text} holds {count:,} delays", f"at most {MOST_DELAYS} are taken: write a longer step")
    for number in range(count):
        yield first + number * each


def _read(text: str) -> float:
    from pydantic_core import PydanticCustomError

    from simulation.scenario.types.quantities.units import read_quantity, unit_hint

    try:
        hours = read_quantity("duration", text.strip())
    except PydanticCustomError:
        hint = unit_hint("duration", text)
        raise refusal("by", f"{shown(text.strip())} is no delay", f"{hint}{WRITTEN}") from None
    if hours <= 0:
        raise refusal("by", f"{shown(text.strip())} is not late", "write a time above zero")
    return hours


def delayable_items(scenario: Scenario, names: tuple[str, ...] = ()) -> tuple[Late, ...]:
    """Return what of a scenario is to come late.

    Parameters
    ----------
    scenario : Scenario
    names : tuple of str
        Default: all deliveries, the grading gangs, one forklift, each crew and each gang of tasks alone, as far as the scenario
        has them.

    Raises
    ------
    ScenarioError
        If there is nothing of a name in the scenario.
    """
    there = {late.name: late for late in _lates(scenario)}
    if not names:
        usual = ("supply", "grading", "forklift")
        return tuple(late for name, late in there.items() if name in usual or name.startswith(("crew.", "gang.")))
    return tuple(there[name] for name in dict.fromkeys(_known(name, there, scenario) for name in names))


def _known(name: str, there: dict[str, Late], scenario: Scenario) -> str:
    """Return by what of all that can come late a planner asks for it with a name, such as that of a shipment."""
    if name in there:
        return name
    shipments = _shipments_by_name(scenario)
    if at := shipments.get(re.sub(r"^(shipment |((supply|take_up)\.)?shipments\.)", "", name)):
        return at if at in there else "supply"  # it is all that is delivered
    if re.match(r"supply\b", name) and not (scenario.supply.trucks or scenario.supply.flights or _shipments(scenario)[1]):
        wrong = (
            "nothing brings pallets away" if scenario.takes_up else "nothing is delivered: all pallets are on hand at the start"
        )
        raise refusal("what", wrong, f"use one of: {', '.join(there)}")
    if name == "grading":
        wrong = "no end ramp is dug out" if scenario.takes_up else "no ground is left to grade"
        raise refusal("what", wrong, f"use one of: {', '.join(there)}")
    raise refusal("what", f"nothing called {shown(name)} can come late", did_you_mean(name, {**there, **shipments}))


def _lates(scenario: Scenario) -> Iterator[Late]:
    from simulation.construction import begins_at
    from simulation.scenario.types.mistakes import block_name

    moment = begins_at(scenario)  # what is there already is away from now on
    trucks, flights = scenario.supply.trucks, scenario.supply.flights
    times = [(f"supply.trucks.{number}", "from", max(fleet.since, moment)) for number, fleet in enumerate(trucks, 1)]
    times += [(f"supply.flights.{number}", "first", _next_landing(flight, moment)) for number, flight in enumerate(flights, 1)]
    there = [now for _, _, now in times]
    table, shipments = _shipments(scenario)
    for index, shipment in enumerate(shipments, 1):
        times.append((f"{table}.shipments.{index}", "put_off", shipment.put_off))
        there.append(shipment.earliest)
    if times:
        called = "every truck, flight and ship" if scenario.takes_up else "every delivery"
        yield replace(_shifted("supply", called, *((f"{block}.{key}", now) for block, key, now in times)), since=tuple(there))
    if len(times) > 1:
        names = {f"{table}.shipments.{index}": shipment.name for index, shipment in enumerate(shipments, 1)}
        for (block, key, now), hour in zip(times, there, strict=True):
            kind, number = block.split(".")[1:]
            called = f"{_BROUGHT_BY[kind]} {names.get(block) or number}"
            yield replace(_shifted(block, called, (f"{block}.{key}", now)), since=(hour,))
    ramps = any(area.end_ramps for area in scenario.area)
    if ramps if scenario.takes_up else scenario.grading.done < 1:
        yield _shifted(
            "grading", "digging out" if scenario.takes_up else "grading", ("grading.from", max(scenario.grading.since, moment))
        )
    since = tuple(max(since, moment) for since in scenario.forklifts.all_since)
    one_of = "one forklift" if len(since) > 1 else "the forklift"
    yield Late("forklift", one_of, _later_forklifts(since, len(since) - 1), since[-1:])
    if len(since) > 1:
        yield Late("forklifts", "every forklift", _later_forklifts(since, 0), since)
    crews = [(f"crew.{block_name(index, crew.name)}", crew) for index, crew in enumerate(scenario.crew)]
    for address, crew in crews:
        yield _shifted(f"crew.{crew.name}", f"crew {crew.name}", (f"{address}.from", max(crew.since, moment)))
    for index, gang in enumerate(scenario.gang):
        address = f"gang.{block_name(index, gang.name)}.from"
        yield _shifted(f"gang.{gang.name}", f"gang {gang.name}", (address, max(gang.since, moment)))
    for index, task in enumerate(scenario.task):
        address = f"task.{block_name(index, task.name)}.from"
        yield _shifted(f"task.{task.name}", f"task {task.name}", (address, max(task.since, moment)))
    if len(crews) > 1:
        yield _shifted("crews", "every crew", *((f"{address}.from", max(crew.since, moment)) for address, crew in crews))


def _shipments(scenario: Scenario) -> tuple[str, tuple[Shipment, ...]]:
    """Return the shipments of a job, and in which table they stand: those that bring pallets, or ships that take them away."""
    return ("take_up", scenario.take_up.shipments) if scenario.takes_up else ("supply", scenario.supply.shipments)


def _shipments_by_name(scenario: Scenario) -> dict[str, str]:
    """Return what each shipment that has a name is asked for by, by that name; the first of a name."""
    table, shipments = _shipments(scenario)
    numbered = [(shipment.name, f"{table}.shipments.{number}") for number, shipment in enumerate(shipments, 1)]
    return {name: at for name, at in reversed(numbered) if name}


def _next_landing(flight: Flights, now: float) -> float:
    """Return when a timetable has its next landing from now on."""
    return flight.first + max(0, math.ceil((now - flight.first) / flight.every - 1e-9)) * flight.every


def never_there(scenario: Scenario) -> tuple[str, ...]:
    """Return what a sentence calls the things that come by the last day simulated or after it by the scenario itself."""
    single = (late for late in _lates(scenario) if len(late.since) == 1)
    return tuple(late.called for late in single if late.since[0] >= scenario.horizon)


def _shifted(name: str, called: str, *times: tuple[str, float]) -> Late:
    """Return what comes late by moving each time at its address."""
    from simulation.scenario import Change

    def later(hours: float) -> tuple[Change, ...]:
        return tuple(Change(address, f"{now + hours!r} h") for address, now in times)

    return Late(name, called, later, tuple(now for _, now in times))


def _later_forklifts(since: tuple[float, ...], first: int) -> Callable[[float], tuple[Change, ...]]:
    """Return what makes the forklifts from `first` on come so many hours later."""
    from simulation.scenario import Change

    def later(hours: float) -> tuple[Change, ...]:
        each = [now + hours if number >= first else now for number, now in enumerate(since)]
        return (Change("forklifts.from", "[" + ", ".join(f'"{since_hour!r} h"' for since_hour in each) + "]"),)

    return later
