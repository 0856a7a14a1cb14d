"""What people and machines would take by the handbooks, as a person reads it."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from simulation.field import TakeOff
from simulation.present.words import wording
from simulation.questions.forecast.yardsticks.handbook_labour import SOURCE as LABOUR
from simulation.questions.forecast.yardsticks.handbook_labour import ByTheBook, by_the_book
from simulation.questions.forecast.yardsticks.handbook_machines import Machines, machines_by_the_book
from simulation.scenario import Scenario
from simulation.scenario.types.quantities.measures import Measures


def book_rows(scenario: Scenario, quantities: TakeOff) -> list[tuple[str, str]]:
    """Return labour, earthwork and hauling by the handbook, each with what is said of it."""
    surfacing = _labour(scenario, quantities)
    machines = machine_lines(machines_by_the_book(scenario, quantities), scenario.measures)
    return [("surfacing", f"{duration(surfacing)}: {labour(surfacing, scenario)}"), *machines]


def _labour(scenario: Scenario, quantities: TakeOff) -> ByTheBook:
    return by_the_book(scenario, quantities.total("square_feet"))


def duration(book: ByTheBook) -> str:
    """Return the handbook's workdays, and how many days of the calendar they take."""
    workdays = f"{book.workdays:.1f} workdays"
    if math.isinf(book.days):
        return f"{workdays}, which days of rest never leave"
    if book.days - book.workdays > 1e-9:
        return f"{workdays}, with days of rest {book.days:.1f} calendar days"
    return f"{workdays}, as many calendar days"


def labour(book: ByTheBook, scenario: Scenario) -> str:
    """Return how the handbook's duration comes about."""
    by = scenario.book
    present = "all" if by.availability == 1 else f"{by.availability:g}"
    return (
        f"{wording.number(book.person_days)} person-days of 8 h at {labour_rate(by.hours_per_1000_sqft, scenario.measures)}, "
        f"over {wording.counted(book.crew, 'person', 'people')} on site, {present} of them present, "
        f"{book.net_hours:.1f} h a day each ({LABOUR})"
    )


def labour_rate(per_thousand: float, measures: Measures) -> str:
    """Return the handbook's person-hours for an area, in other units with its own beside them."""
    own = f"{per_thousand:,g} person-hours per 1,000 sq ft"
    per = per_thousand / 1000.0 / measures.hundred.of(1.0)
    return f"{_three_digits(per)} person-hours per {measures.hundred.name} ({own})" if measures.metric else own


def _three_digits(number: float) -> str:
    return f"{number:,.0f}" if number >= 100.0 else f"{number:.3g}"


def machine_lines(machines: Machines, measures: Measures) -> list[tuple[str, str]]:
    """Return what each machine would take, one line each, and only where it has something to do."""
    lines: list[tuple[str, str]] = []
    earth = measures.earth
    if machines.loose:
        dozers = wording.counted(machines.dozers, "dozer")
        moved = f"{earth.number(machines.loose)} loose {earth.name} at {earth.number(machines.dozer_output)} an hour"
        text = f"{machines.dozer_hours:.1f} h of one for {moved}"
        lines.append(("dozer", f"{text}; {dozers} asked for (training slides on FM 5-434)"))
    if machines.compacted:
        output = earth.number(machines.roller_output)
        text = f"{machines.roller_hours:.1f} h for {earth.rounded(machines.compacted)} at {output} an hour, compacted"
        lines.append(("roller", f"{text} (course solution)"))
    if machines.grader_miles:
        lines.append(
            (
                "grader",
                f"{machines.grader_hours:.1f} h over {measures.way.rounded(machines.grader_miles, 2)} of blade (NAVEDTRA 14081)",
            )
        )
    for haul in machines.hauls:
        text = (
            f"{haul.hours:.1f} h for {wording.counted(haul.loads, 'load')} at {haul.loads_an_hour:.2f} an hour, a cycle being "
            f"{haul.cycle:.3f} h; {haul.governed_by} govern{'s' if haul.governed_by == 'loading' else ''} (course page)"
        )
        lines.append((f"hauling, fleet {haul.fleet}", text))
    return lines


def book_record(scenario: Scenario, quantities: TakeOff) -> dict[str, Any]:
    """Return labour, earthwork and hauling by the handbook as one JSON object; hours, cubic yards, miles."""
    return {"labour": asdict(_labour(scenario, quantities)), "machines": asdict(machines_by_the_book(scenario, quantities))}
