"""List what might help: one more of each thing, other hours and orders, a tenth less of each time, each trouble taken away."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.questions.bottlenecks.idea import FASTER, SHORTER, Idea, Kind, come_earlier, make_idea
from simulation.questions.bottlenecks.take_up_ideas import otherwise_taken_up, quicker_taken_up
from simulation.scenario.tables.supply import ON_EVERY_PALLET
from simulation.study.changes.other_hours import also_with_crews, shift_addresses

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: People added at once: about two teams in each of two crews. Planning value.
PEOPLE = 10
#: Hours on shift that laying edges wait for half mats, all together, from which another mix is tried: a shift. Planning value.
HALF_MATS_SHORT = 8.0
#: How half mats may come -> what that is called.
_PACKED = {"first": "half mats on pallets of their own, first", ON_EVERY_PALLET: "half mats on every pallet"}
#: Pallets a day: the most that a scenario may say, more than a field needs.
_NO_LIMIT = 1_000_000
#: No forklift works so long.
_NEVER = "1000000000 h"


def list_ideas(scenario: Scenario) -> Iterator[Idea]:
    """Yield what might be tried in a scenario, sound or not: more of each thing, each time a tenth shorter, no trouble."""
    yield from _more(scenario)
    yield from _quicker(scenario)
    yield from _without(scenario)


def _more(scenario: Scenario) -> Iterator[Idea]:
    supply = scenario.supply
    yield make_idea("one more forklift", Kind.MORE, ("forklifts.count", "+1"))
    if not supply.trucks:
        yield make_idea("one more truck", Kind.MORE, why_not="no truck drives")
    for number in range(1, len(supply.trucks) + 1):
        fleet = f" of fleet {number}" if len(supply.trucks) > 1 else ""
        yield make_idea(f"one more truck{fleet}", Kind.MORE, (f"supply.trucks.{number}.count", "+1"))
    if scenario.takes_up:
        graded = "" if any(area.end_ramps for area in scenario.area) else "no end ramp is dug out"
    else:
        graded = "no ground is left to grade" if scenario.grading.done >= 1 else ""
    yield make_idea("one more grading gang", Kind.MORE, ("grading.gangs", "+1"), why_not=graded)
    yield _one_more_crew(scenario)
    yield make_idea(f"{PEOPLE} more people in the crews", Kind.MORE, *_more_people(scenario))
    if scenario.takes_up:
        yield from _longer(scenario)
        yield _lights(scenario)
        yield from otherwise_taken_up(scenario)
        return
    yield from _more_at_tasks(scenario)
    yield from _longer(scenario)
    yield _lights(scenario)
    yield from _otherwise(scenario)


def _one_more_crew(scenario: Scenario) -> Idea:
    """Return the crew with the most people, the last of several, once more with all that it has."""
    from simulation.scenario.reading.blocks import free_name
    from simulation.scenario.types.mistakes import block_name, step_name

    index = max(reversed(range(len(scenario.crew))), key=lambda number: scenario.crew[number].people)
    like = scenario.crew[index]
    name = free_name(like.name, [crew.name for crew in scenario.crew])
    change = (f"crew.{step_name(name)}", f"copy of crew.{block_name(index, like.name)}")
    return make_idea(f"one more crew of {like.people} like {like.name}", Kind.MORE, change)


def _more_people(scenario: Scenario) -> Iterator[tuple[str, str]]:
    """Yield the people that are added to each crew: as many to each as can be, one more to the first ones."""
    from simulation.scenario.types.mistakes import block_name

    each, over = divmod(PEOPLE, len(scenario.crew))
    for index, crew in enumerate(scenario.crew):
        added = each + (index < over)
        if added:
            yield f"crew.{block_name(index, crew.name)}.people", f"+{added}"


def _more_at_tasks(scenario: Scenario) -> Iterator[Idea]:
    """Yield each gang of tasks with one team more."""
    from simulation.scenario.types.mistakes import step_name

    for gang in scenario.gang:
        team = max((task.team for task in scenario.task if task.gang == gang.name), default=1)
        yield make_idea(f"{team} more people in gang {gang.name}", Kind.MORE, (f"gang.{step_name(gang.name)}.people", f"+{team}"))
    for task in scenario.task:
        if task.gang is None and task.pieces > 1:  # more teams than pieces are of no use
            people = (task.people or task.team) + task.team
            yield make_idea(
                f"{task.team} more people at {task.name}", Kind.MORE, (f"task.{step_name(task.name)}.people", str(people))
            )


def _longer(scenario: Scenario) -> Iterator[Idea]:
    """Yield each kind of work that serves crews on its own hours and, besides, whenever a crew is on shift."""
    works = [("forklift", "forklifts", True), ("haul", "trucks", bool(scenario.supply.trucks))]
    works.append(("grading", "graders", scenario.grading.needed and not scenario.takes_up))
    for work, called, there in works:
        changes = also_with_crews(scenario, work) if there else []
        if changes:
            yield make_idea(f"{called} on shift with every crew", Kind.MORE, *changes)


def _otherwise(scenario: Scenario) -> Iterator[Idea]:
    """Yield what is neither more nor quicker: another order of areas, one area more, another mix where half mats are short.

    Areas that stand idle, and edges that wait for half mats, are seen in one drawn run, the one that `keystrip check` looks at.
    """
    from simulation.construction import run_once
    from simulation.construction.check.idle_edges import idle_edges
    from simulation.construction.plan.supply import may_be_packed_apart
    from simulation.scenario.types.mistakes import block_name

    crews = scenario.crew
    firsts = [crew.areas[0] for crew in crews]
    for index in reversed(range(1, len(crews))):
        crew = crews[index]
        if len(crew.areas) > 1 and crew.areas[0] in firsts[:index]:  # the last one that begins where another does
            areas = json.dumps(list(reversed(crew.areas)), ensure_ascii=False)
            change = (f"crew.{block_name(index, crew.name)}.areas", areas)
            yield make_idea(f"{crew.name} takes its areas backwards", Kind.OTHERWISE, change)
            break
    run = run_once(scenario)
    for idle in idle_edges(scenario, run.finished):
        crew, area = crews[idle.crew], scenario.area[idle.area].name
        areas = json.dumps([*crew.areas, area], ensure_ascii=False)
        yield make_idea(
            f"{crew.name} lays {area} as well", Kind.OTHERWISE, (f"crew.{block_name(idle.crew, crew.name)}.areas", areas)
        )
    mat = scenario.mat
    short = run.record["waited.half mats"] >= HALF_MATS_SHORT or governed_by_half_mats(scenario)
    if short and may_be_packed_apart(mat) and not scenario.takes_up:
        for order, words in _PACKED.items():
            if order not in ("last", scenario.supply.half_mats):
                yield make_idea(words, Kind.OTHERWISE, ("supply.half_mats", order), why_not=_nothing_to_pack(scenario))
    if short and mat.pallet_full > 1 and mat.pallet_half:
        mix = (("mat.pallet_full", "-1"), ("mat.pallet_half", "+2"))
        yield make_idea("two half mats for one full on each pallet", Kind.OTHERWISE, *mix)


def _nothing_to_pack(scenario: Scenario) -> str:
    from simulation.field import take_off

    return "" if take_off(scenario).comes > scenario.supply.on_hand else "no pallet is to come"


def _quicker(scenario: Scenario) -> Iterator[Idea]:
    yield from quicker_taken_up(scenario) if scenario.takes_up else _laid_quicker()
    if scenario.makes_ends:
        ends = (("temporary_end.make", SHORTER), ("temporary_end.take_up", SHORTER))
        yield make_idea("temporary ends 10 % quicker", Kind.QUICKER, *ends)
    yield make_idea("forklift repair 10 % quicker", Kind.QUICKER, ("forklifts.repair", SHORTER))
    supply = scenario.supply
    ways = (("supply.trucks.*.haul", SHORTER), ("supply.trucks.*.return", SHORTER))
    yield make_idea("haul 10 % shorter both ways", Kind.QUICKER, *ways, why_not="" if supply.trucks else "no truck drives")
    if supply.flights:
        yield make_idea("10 % less time between flights", Kind.QUICKER, ("supply.flights.*.every", SHORTER))
    if supply.shipments and not scenario.takes_up:
        yield come_earlier("supply", "shipment", supply.shipments)
        yield make_idea("bringing shipments off 10 % quicker", Kind.QUICKER, ("supply.shipments.*.discharge", SHORTER))


def _laid_quicker() -> Iterator[Idea]:
    for name, keys in (
        ("key strips 10 % quicker", ("key_strip", "starter_key_strip")),
        ("locking 10 % quicker", ("lock",)),
        ("placing 10 % quicker", ("place",)),
    ):
        yield make_idea(name, Kind.QUICKER, *((f"laying.{key}", SHORTER) for key in keys))
    yield make_idea("carrying 10 % quicker", Kind.QUICKER, ("laying.pick_up", SHORTER), ("laying.walk", FASTER))


def _without(scenario: Scenario) -> Iterator[Idea]:
    if scenario.takes_up:
        yield make_idea("no key strip that sticks", Kind.WITHOUT, ("repair.stuck", "0.0"))
    yield make_idea("no breakdowns", Kind.WITHOUT, ("forklifts.breakdown_every", _NEVER))
    dry = "the scenario has none" if scenario.weather.model == "none" else ""
    name = "no rain" if dry or only_rain(scenario) else "no rain, wind, heat or cold"  # all that the model speaks of goes with it
    yield make_idea(name, Kind.WITHOUT, ("weather.model", "none"), *_minding_nothing(scenario), why_not=dry)
    table, shipments = ("take_up", scenario.take_up.shipments) if scenario.takes_up else ("supply", scenario.supply.shipments)
    if any(shipment.chance < 1 for shipment in shipments):
        yield make_idea("every shipment on its first date", Kind.WITHOUT, (f"{table}.shipments.*.chance", "1.0"))
    if scenario.flying.closes and not scenario.takes_up:
        yield _no_flying(scenario)
    unlimited = "the scenario has none" if scenario.supply.per_day_limit is None else ""
    yield make_idea("no daily limit", Kind.WITHOUT, ("supply.per_day_limit", str(_NO_LIMIT)), why_not=unlimited)
    always, long = _around_the_clock(scenario), [(f"{address}.hours", '["00:00-24:00"]') for address in shift_addresses(scenario)]
    yield make_idea(
        "day and night under lights",
        Kind.NIGHT,
        *long,
        *_lighting(scenario),
        why_not="work goes on day and night already" if always else "",
    )


def _no_flying(scenario: Scenario) -> Idea:
    """Return the idea that flying never closes an area to work; from when on it is flown from, and its ramps, stay."""
    there = {"windows": scenario.flying.windows, "movements": scenario.flying.movements}
    keys = [key for key, times in there.items() if times]
    return make_idea(f"no flying {' or '.join(keys)}", Kind.WITHOUT, *((f"flying.{key}", "[]") for key in keys))


def _lights(scenario: Scenario) -> Idea:
    why_not = "" if _dark_on_shift(scenario) else "all work in the dark is lit already"
    return make_idea("lights on shift", Kind.MORE, *_lighting(scenario), why_not=why_not)


def _lighting(scenario: Scenario) -> list[tuple[str, str]]:
    return [(f"{address}.lighting", "true") for address in shift_addresses(scenario)]


def _minding_nothing(scenario: Scenario) -> Iterator[tuple[str, str]]:
    """Yield what takes away all that asks for weather other than rain, of which a scenario without weather says nothing."""
    if "stops" in scenario.model_fields_set:
        yield "stops", "{}"
    if scenario.heat is not None:
        for work in ("laying", "forklift", "haul", "grading"):
            yield f"heat.{work}", "none"
    if scenario.cold is not None:
        yield "cold.stops", "[]"
    if scenario.soil is not None:
        yield "soil.waits", "[]"


def _dark_on_shift(scenario: Scenario) -> bool:
    """Return whether any kind of work stands still in hours of its shift because nothing lights them."""
    from simulation.conditions import clock_plans
    from simulation.conditions.clock.calendar import DARK

    return any(cause == DARK and not rate for plan in clock_plans(scenario).values() for _, _, rate, cause in plan.calendar)


def _around_the_clock(scenario: Scenario) -> bool:
    """Return whether the calendar leaves every kind of work every hour."""
    from simulation.conditions import clock_plans

    return all(rate == 1.0 for plan in clock_plans(scenario).values() for _, _, rate, _ in plan.calendar)


def governed_by_half_mats(scenario: Scenario) -> bool:
    """Return whether it takes more pallets to have the half mats of a field than its full ones."""
    from simulation.field import take_off

    mat, quantities = scenario.mat, take_off(scenario)
    if not mat.pallet_full or not mat.pallet_half:
        return False
    return quantities.total("half") / mat.pallet_half > quantities.total("full") / mat.pallet_full


def only_rain(scenario: Scenario) -> bool:
    """Return whether rain is all of the weather that any work of a scenario minds."""
    from simulation.conditions import clock_plans

    return all(plan.limits is None for plan in clock_plans(scenario).values())
