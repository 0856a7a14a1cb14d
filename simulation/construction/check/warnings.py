"""What is legal in a scenario, and still likely not what its planner means?"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from simulation.conditions import daylight, on_shift
from simulation.conditions.clock.shift_pattern import longest_of, rests
from simulation.construction.check.after_the_horizon import after_the_horizon
from simulation.construction.check.closed_to_laying import closed_to_laying
from simulation.construction.check.field_warnings import field_warnings
from simulation.construction.check.shipments_too_large import shipments_too_large
from simulation.construction.check.ships_of_take_up import ships_of_take_up
from simulation.construction.check.tasks_left import crews_stopped, may_never_begin, tasks_left
from simulation.construction.check.without_effect import without_effect
from simulation.field import TakeOff, take_off
from simulation.scenario import Mistake
from simulation.scenario.rules.lookalikes import look_alike
from simulation.scenario.rules.on_earth import unusual_weather
from simulation.scenario.rules.weather_rules import record_warnings
from simulation.scenario.types.mistakes import step_name
from simulation.scenario.types.usual import unusual

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift

#: Hours a day that one crew can be asked to lay, or to be there from its first hour to its last. Planning value.
LONG_DAY = 14
#: Hours for which a crew may lay from what stands beside its laying edge without being asked about. Planning value.
ALONE = 1.0
#: Feet to a yard beyond which nobody drives a forklift for each pallet. Planning value: a mile.
FAR = 5280.0
#: Days from the start that are looked at for darkness, and the share of the hours on shift that may be dark. Planning values.
FORTNIGHT, DARK = 14, 0.1


def find_warnings(scenario: Scenario) -> list[Mistake]:
    """Return a line for everything in a sound scenario that a planner should look at again."""
    quantities = take_off(scenario)
    of_site = scenario.site.utc_offset if scenario.site else None
    laid = not scenario.takes_up  # what comes, and what readiness waits for, is of laying
    return [
        *(_few_spares(scenario, quantities) if laid else ()),
        *_not_considered(scenario),
        *record_warnings(scenario.weather, scenario.starts, scenario.horizon, scenario.source.file, of_site),
        *_certain(scenario),
        *_in_no_time(scenario),
        *(_not_waited_for(scenario) if laid else ()),
        *(_alone(scenario) if laid else ()),
        *unusual(scenario, scenario.measures),
        *unusual_weather(scenario.weather),
        *field_warnings(scenario, quantities),
        *_shifts(scenario),
        *_hour_zero_at_rest(scenario),
        *_dark(scenario),
        *_never_on(scenario),
        *after_the_horizon(scenario),
        *without_effect(scenario),
        *ships_of_take_up(scenario),
        *(shipments_too_large(scenario, quantities) if laid else ()),
        *closed_to_laying(scenario),
        *tasks_left(scenario),
        *crews_stopped(scenario),
        *may_never_begin(scenario),
        *look_alike(scenario),
        *_far_yard(scenario),
        *(_too_late(scenario, quantities.comes - scenario.supply.on_hand) if laid else ()),
    ]


def _few_spares(scenario: Scenario, quantities: TakeOff) -> Iterator[Mistake]:
    if quantities.need.pallets <= quantities.comes < quantities.order.pallets:
        wrong = f"{quantities.comes} pallets cover the field, but not the spares of {100 * scenario.supply.spares:.0f} %"
        yield Mistake("supply.total", wrong, f"{quantities.order.pallets} would")


def _not_considered(scenario: Scenario) -> Iterator[Mistake]:
    """Yield what of the place and the season is not written, so that a forecast knows nothing of it."""
    if scenario.site is None and not all(shift.lighting for _, shift in _shifts_kept(scenario)):
        yield Mistake("site", "is missing, so darkness is not considered", "write latitude, longitude and utc_offset")
    if scenario.site is not None and "starts" not in scenario.model_fields_set:
        wrong = f"is missing, so start is {scenario.starts:%Y-%m-%d %H:%M}, and daylight and dates follow from it"
        yield Mistake("starts", wrong, f"write starts = {scenario.starts:%Y-%m-%dT%H:%M:%S}, or your own date")
    if scenario.weather.model == "none":
        yield Mistake("weather", "no rain is considered", "write wet_spell and dry_spell of the season")


def _certain(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.laying.efficiency.certain:
        wrong = "is stated as certain, so the forecast looks surer than it is"
        yield Mistake("laying.efficiency", wrong, "write low, mode and high")


def _not_waited_for(scenario: Scenario) -> Iterator[Mistake]:
    ready = next(milestone for milestone in scenario.milestones if milestone.ready)
    left_out = [area.name for area in scenario.area if ready.areas and area.name not in ready.areas]
    if left_out:
        wrong = f"readiness does not wait for {', '.join(left_out)}"
        yield Mistake(f"milestone.{ready.name}.areas", wrong, "add it if it must be laid by then")


def _alone(scenario: Scenario) -> Iterator[Mistake]:
    for area in scenario.area:
        if area.start == "centre-out" and _crews_on(scenario, area.name) == 1:
            wrong = "one crew alone lays both laying edges, one after the other"
            yield Mistake(f"area.{area.name}.start", wrong, "give the area a second crew")


def _shifts(scenario: Scenario) -> Iterator[Mistake]:
    kept = _shifts_of_crews(scenario)
    for key, shift in kept.items():
        laid, there = len(_by_minute(shift)) / 60, longest_of(shift)
        if max(laid, there) > LONG_DAY + 1e-9:
            who = "the same people lay" if key == "shifts" else "the same people of this crew lay"
            how = f"{who} for {laid:g} hours a day" if laid >= there else f"{who} from first to last for {there:g} hours a day"
            yield Mistake(key, how, f"write at most {LONG_DAY} hours, and another crew with a shift of its own for the others")
    if not set[int]().union(*map(_by_minute, kept.values())) & _by_minute(scenario.shifts.of("forklift")):
        places = scenario.forklifts.staged_ahead
        yield Mistake(
            "shifts",
            f"crews and forklifts are never on shift together, so an edge has only the {places} pallets beside it",
            "let the two shifts overlap",
        )
    else:
        yield from _without_forklifts(scenario, kept)


def _without_forklifts(scenario: Scenario, kept: dict[str, Shift]) -> Iterator[Mistake]:
    """Yield the shifts of crews in which nobody brings pallets for long: what stands beside a laying edge does not last."""
    drive, places = _by_minute(scenario.shifts.of("forklift")), scenario.forklifts.staged_ahead
    for key, shift in kept.items():
        gaps = [gap for gap in _stretches(_by_minute(shift) - drive) if len(gap) > 60 * ALONE]
        if gaps:
            when = " and ".join(f"from {_clock(gap.start)} to {_clock(gap.stop)}" for gap in gaps)
            yield Mistake(
                key,
                f"{when} no forklift is on shift, so an edge has only the {places} pallets beside it",
                "give [shifts.forklift] these hours too; if that is long for one operator, two sets are counted by themselves",
            )


def _clock(minute: int) -> str:
    """Return a minute of a day, or of the next one, as on a clock; midnight is the end of a day."""
    of_day = minute if minute <= 1440 else minute - 1440
    return f"{of_day // 60:02d}:{of_day % 60:02d}"


def _stretches(minutes: frozenset[int]) -> list[range]:
    """Return the stretches that minutes of a day make, one over midnight whole."""
    begins = sorted(minute for minute in minutes if (minute - 1) % 1440 not in minutes)
    return [range(begin, next(end for end in range(begin, begin + 1441) if end % 1440 not in minutes)) for begin in begins]


def _hour_zero_at_rest(scenario: Scenario) -> Iterator[Mistake]:
    """Yield the shifts to whose people start is a day of rest, which a planner who counts from it may not mean."""
    for key, shift in _shifts_kept(scenario):
        if rests(shift, scenario.starts, 0):
            wrong = f"start, {scenario.starts:%Y-%m-%d}, is a {scenario.starts:%A}, on which no shift begins"
            yield Mistake(f"{key}.rest_on", wrong, "write a later starts, or take the day out of rest_on")


def _dark(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.site is None:
        return
    light = daylight(scenario.site, scenario.starts, FORTNIGHT)
    seen: list[Shift] = []
    for key, shift in _shifts_kept(scenario):
        if shift.lighting or shift in seen:
            continue
        seen.append(shift)
        spans = on_shift(shift, scenario.starts, 24.0 * FORTNIGHT)
        hours = sum(end - start for start, end in spans)
        lit = sum(max(0.0, min(end, dusk) - max(start, dawn)) for start, end in spans for dawn, dusk in light)
        if lit < (1 - DARK) * hours:
            dark, whole = (hours - lit) / FORTNIGHT, hours / FORTNIGHT
            wrong = f"{dark:.1f} of the {whole:.1f} hours a day on shift are dark, and nothing is done then"
            yield Mistake(key, wrong, "write lighting = true or hours of daylight, and check site.utc_offset")


def _shifts_of_crews(scenario: Scenario) -> dict[str, Shift]:
    """Return the shifts that crews keep, by the key that they are written under; "shifts" is that of those without their own."""
    return {
        f"crew.{step_name(crew.name)}.shift" if crew.shift else "shifts": crew.shift or scenario.shifts.of("laying")
        for crew in scenario.crew
    }


def _shifts_kept(scenario: Scenario) -> list[tuple[str, Shift]]:
    """Return every shift that somebody keeps, with its key."""
    crews = _shifts_of_crews(scenario)
    kinds = [kind for kind in ("laying", "forklift", "haul", "grading") if kind != "laying" or "shifts" in crews]
    of_kinds = [
        (f"shifts.{'all' if getattr(scenario.shifts, kind) is None else kind}", scenario.shifts.of(kind)) for kind in kinds
    ]
    return [*of_kinds, *((key, shift) for key, shift in crews.items() if key != "shifts")]


def _never_on(scenario: Scenario) -> Iterator[Mistake]:
    """Yield crews that find no laying edge: those that came first are there in all hours that they are, and keep their edges."""
    coming = sorted(range(len(scenario.crew)), key=lambda number: (scenario.crew[number].since, number))
    hours = [_by_minute(crew.shift or scenario.shifts.of("laying")) for crew in scenario.crew]
    edges = {area.name: 2 if area.start == "centre-out" else 1 for area in scenario.area}
    for turn, number in enumerate(coming):
        crew = scenario.crew[number]
        mine = hours[number]
        others = [scenario.crew[other] for other in coming[:turn] if mine <= hours[other]]
        before = {area: [other for other in others if area in other.areas] for area in crew.areas}
        if crew.second_crew != "elsewhere" or any(len(edges_open) < edges[area] for area, edges_open in before.items()):
            continue
        first = before[crew.areas[0]][0]
        if any(mine != hours[other] for other in coming[:turn]):
            yield Mistake(
                f"crew.{step_name(crew.name)}.second_crew",
                f"{first.name} is on shift in all its hours and keeps its edge of {crew.areas[0]}, so {crew.name} would not lay",
                'write second_crew = "relief" to lay in turns, or hours in which nobody else is there',
            )


def _by_minute(shift: Shift) -> frozenset[int]:
    return _minutes(shift.hours)


@lru_cache(maxsize=256)
def _minutes(hours: tuple[tuple[float, float], ...]) -> frozenset[int]:
    return frozenset(minute % 1440 for start, end in hours for minute in range(round(60 * start), round(60 * end)))


def _in_no_time(scenario: Scenario) -> Iterator[Mistake]:
    """Yield the work that every mat takes and for which no time is written; other work of no time is left out, and is meant."""
    for name in ("pick_up", "lock"):
        if getattr(scenario.laying, name).mean == 0:
            yield Mistake(f"laying.{name}", "takes no time, and every mat asks for it", "write what it takes, or leave it out")


def _far_yard(scenario: Scenario) -> Iterator[Mistake]:
    yard = scenario.supply.yard
    if yard is not None:
        area = next(area for area in scenario.area if area.name == yard.area)
        along = max(-yard.station, yard.station - area.length, 0.0)
        for key, away in (("station", along), ("offset", abs(yard.offset))):
            if away > FAR:
                wrong = f"the yard lies {scenario.measures.length.text(away)} off, and forklifts drive there for every pallet"
                yield Mistake(f"supply.yard.{key}", wrong, "check the unit; leave it if it is meant")


def _too_late(scenario: Scenario, to_come: int) -> Iterator[Mistake]:
    supply, days = scenario.supply, scenario.horizon / 24
    for number, trucks in enumerate(supply.trucks, start=1):
        trip = sum(part.mean for part in (trucks.load, trucks.haul, trucks.back))
        if trip > scenario.horizon:
            yield Mistake(
                f"supply.trucks.{number}.haul",
                f"a round trip takes {trip / 24:,.0f} days on average, longer than the last day simulated of {days:g}",
                "check the units",
            )
    landed = sum(flight.pallets * (1 + max(0.0, scenario.horizon - flight.first) // flight.every) for flight in supply.flights)
    landed += sum(shipment.pallets for shipment in supply.shipments if shipment.earliest < scenario.horizon)
    if supply.flights and not supply.trucks and landed < to_come:
        yield Mistake(
            "supply.flights",
            f"within the {days:g} days simulated {landed:,.0f} of {to_come:,} pallets have landed",
            "let more land, or write a later horizon",
        )


def _crews_on(scenario: Scenario, area: str) -> int:
    return sum(area in crew.areas for crew in scenario.crew)
