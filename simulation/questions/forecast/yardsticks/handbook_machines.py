"""How long would dozer, roller, grader and trucks take by the handbook? Handbook outputs beside the simulation, without any
spread.

dozer: ideal output × factors (training slides on FM 5-434); roller: 16.3 × width × speed × lift × efficiency / passes (course
solution); grader: passes × distance / (speed × efficiency) (NAVEDTRA 14081); trucks: loads an hour, no more than trucks / cycle
and than are loaded one after another (course page).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.field import TakeOff
from simulation.scenario import Scenario
from simulation.scenario.tables.handbook import Dozer, Grader, Roller
from simulation.scenario.tables.supply import Trucks

#: Compacted cubic yards an hour of a roller 1 ft wide at 1 mph with layers of 1 in, in one pass.
_ROLLER = 16.3
_INCHES, _FEET_PER_MILE, _MINUTES = 12.0, 5280.0, 60.0


@dataclass(frozen=True)
class Haul:
    """One fleet of trucks: hours of a cycle, loads an hour, what limits them, and the hours until all its loads are there."""

    fleet: int
    cycle: float
    loads_an_hour: float
    governed_by: str
    loads: int
    hours: float


@dataclass(frozen=True)
class Machines:
    """The handbook's answer for earthwork and hauling. Volumes in cubic yards.

    Attributes
    ----------
    loose, dozer_output, dozer_hours : float
        Loose earth to be moved, what a dozer moves an hour, and the hours of one.
    dozers : int
        That do it within the hours asked for.
    compacted, roller_output, roller_hours : float
    grader_miles, grader_hours : float
        Of ground that is not ready at the start, one pass over all of it.
    hauls : tuple of Haul
        Each fleet as if it brought everything alone.
    """

    loose: float
    dozer_output: float
    dozer_hours: float
    dozers: int
    compacted: float
    roller_output: float
    roller_hours: float
    grader_miles: float
    grader_hours: float
    hauls: tuple[Haul, ...]


def machines_by_the_book(scenario: Scenario, quantities: TakeOff) -> Machines:
    """Return the handbook's hours for what the take-off has to be dug, put back, graded and brought."""
    book = scenario.book
    ramps = [area.ramps for area in quantities.areas if area.ramps is not None]
    loose = book.earth + sum(ramp.spoil for ramp in ramps)
    compacted = book.fill + sum(ramp.backfill for ramp in ramps)
    moved, rolled = dozer_output(book.dozer), roller_output(book.roller)
    lanes = sum(area.length * math.ceil(area.width / book.grader.blade - 1e-9) for area in quantities.areas)
    miles = (1.0 - scenario.grading.done) * lanes / _FEET_PER_MILE
    return Machines(
        loose=loose,
        dozer_output=moved,
        dozer_hours=loose / moved,
        dozers=math.ceil(loose / moved / book.dozer.within),
        compacted=compacted,
        roller_output=rolled,
        roller_hours=compacted / rolled,
        grader_miles=miles,
        grader_hours=grader_hours(book.grader, miles),
        hauls=tuple(
            haul
            for number, fleet in enumerate(scenario.supply.trucks, 1)
            if (haul := _haul(number, fleet, book.unload, quantities.loads.pallets - quantities.loads.shipped)) is not None
        ),
    )


def dozer_output(dozer: Dozer) -> float:
    """Return the loose cubic yards that a dozer moves an hour."""
    return dozer.ideal * math.prod(dozer.factors)


def roller_output(roller: Roller) -> float:
    """Return the compacted cubic yards of a roller an hour."""
    layer = _INCHES * roller.lift
    return _ROLLER * roller.width * roller.speed * layer * (roller.minutes / _MINUTES) / roller.passes


def grader_hours(grader: Grader, miles: float) -> float:
    """Return the hours of a grader over a distance."""
    return sum(work.passes * miles / (work.speed * grader.efficiency) for work in grader.passes)


def _haul(number: int, fleet: Trucks, unload: float, pallets: int) -> Haul | None:
    """Return the hauling of a fleet; None where its cycle takes no time at all."""
    loading = fleet.load.mean
    cycle = loading + fleet.haul.mean + unload + fleet.back.mean
    if cycle <= 0:
        return None
    by_trucks, by_loading = fleet.count / cycle, 1.0 / loading if loading else math.inf
    an_hour = min(by_trucks, by_loading)
    loads = math.ceil(pallets / fleet.pallets)
    return Haul(number, cycle, an_hour, "trucks" if by_trucks <= by_loading else "loading", loads, loads / an_hour)
