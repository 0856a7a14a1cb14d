"""What is legal in a scenario, and still likely not what its planner means?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.chance import mean
from simulation.conditions import daylight, on_shift
from simulation.field import take_off
from simulation.scenario import Mistake
from simulation.scenario.weather_rules import record_warnings

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.people import Shift

#: Hours a day that one crew can be asked to lay. Planning value.
LONG_DAY = 14
#: Days from hour zero that are looked at for darkness, and the share of the hours on shift that may be dark. Planning values.
FORTNIGHT, DARK = 14, 0.1


def warnings_of(scenario: Scenario) -> list[Mistake]:
    """Return a line for everything in a sound scenario that a planner should look at again."""
    found: list[Mistake] = []
    quantities = take_off(scenario)
    if quantities.need.pallets <= quantities.comes < quantities.order.pallets:
        found.append(
            Mistake(
                "supply.total",
                f"{quantities.comes} pallets cover the field, but not the spares of {scenario.supply.spares:.0%}",
                f"{quantities.order.pallets} would",
            )
        )
    if scenario.site is None and not scenario.shifts.all.lighting:
        found.append(Mistake("site", "is missing, so darkness is not considered", "write latitude, longitude and utc_offset"))
    if scenario.site is not None and "starts" not in scenario.model_fields_set:
        wrong = f"is missing, so hour zero is {scenario.starts:%Y-%m-%d %H:%M}, and daylight and dates follow from it"
        found.append(Mistake("starts", wrong, f"write starts = {scenario.starts:%Y-%m-%dT%H:%M:%S}, or your own date"))
    if scenario.weather.model == "none":
        found.append(Mistake("weather", "no rain is considered", "write wet_spell and dry_spell of the season"))
    found.extend(record_warnings(scenario.weather))
    if scenario.laying.efficiency.certain:
        found.append(
            Mistake(
                "laying.efficiency",
                "is stated as certain, so the forecast looks surer than it is",
                "write low, mode and high",
            )
        )
    ready = next(milestone for milestone in scenario.milestones if milestone.ready)
    left_out = [area.name for area in scenario.area if ready.areas and area.name not in ready.areas]
    if left_out:
        found.append(
            Mistake(
                f"milestone.{ready.name}.areas",
                f"readiness does not wait for {', '.join(left_out)}",
                "add it if it must be laid by then",
            )
        )
    alone = [area.name for area in scenario.area if area.start == "centre-out" and _crews_on(scenario, area.name) == 1]
    found.extend(
        Mistake(f"area.{name}.start", "one crew alone lays both faces, one after the other", "give the area a second crew")
        for name in alone
    )
    found.extend(_shifts(scenario))
    found.extend(_dark(scenario))
    found.extend(_too_late(scenario, quantities.comes - scenario.supply.on_hand))
    return found


def _shifts(scenario: Scenario) -> Iterator[Mistake]:
    hours = {kind: _by_minute(scenario.shifts.of(kind)) for kind in ("laying", "forklift")}
    if len(hours["laying"]) > 60 * LONG_DAY:
        yield Mistake(
            "shifts",
            f"the same crews lay for {len(hours['laying']) / 60:g} hours a day",
            f"write at most {LONG_DAY} hours, or read the people as those of one shift",
        )
    if not hours["laying"] & hours["forklift"]:
        places = scenario.forklifts.staged_ahead
        yield Mistake(
            "shifts",
            f"crews and forklifts are never on shift together, so a face lives on the {places} pallets staged beside it",
            "let the two shifts overlap",
        )


def _dark(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.site is None:
        return
    light = daylight(scenario.site, scenario.starts, FORTNIGHT)
    told: list[Shift] = []
    for kind in ("laying", "forklift", "haul", "grading"):
        shift = scenario.shifts.of(kind)
        if shift.lighting or shift in told:
            continue
        told.append(shift)
        spans = on_shift(shift, scenario.starts, 24.0 * FORTNIGHT)
        hours = sum(end - start for start, end in spans)
        lit = sum(max(0.0, min(end, dusk) - max(start, dawn)) for start, end in spans for dawn, dusk in light)
        if lit < (1 - DARK) * hours:
            key = "all" if getattr(scenario.shifts, kind) is None else kind
            dark, whole = (hours - lit) / FORTNIGHT, hours / FORTNIGHT
            wrong = f"{dark:.1f} of the {whole:.1f} hours a day on shift are dark, and nothing is done then"
            yield Mistake(f"shifts.{key}", wrong, "write lighting = true or hours of daylight, and check site.utc_offset")


def _by_minute(shift: Shift) -> set[int]:
    return {minute % 1440 for start, end in shift.hours for minute in range(round(60 * start), round(60 * end))}


def _too_late(scenario: Scenario, to_come: int) -> Iterator[Mistake]:
    supply, days = scenario.supply, scenario.horizon / 24
    for number, trucks in enumerate(supply.trucks, start=1):
        trip = sum(mean(part) for part in (trucks.load, trucks.haul, trucks.back))
        if trip > scenario.horizon:
            yield Mistake(
                f"supply.trucks.{number}.haul",
                f"a round trip takes {trip / 24:,.0f} days on average, longer than the horizon of {days:g}",
                "check the units",
            )
    landed = sum(flight.pallets * (1 + max(0.0, scenario.horizon - flight.first) // flight.every) for flight in supply.flights)
    if supply.flights and not supply.trucks and landed < to_come:
        yield Mistake(
            "supply.flights",
            f"by the horizon of {days:g} days {landed:,.0f} of {to_come:,} pallets have landed",
            "let more land, or write a later horizon",
        )


def _crews_on(scenario: Scenario, area: str) -> int:
    return sum(area in crew.areas for crew in scenario.crew)
