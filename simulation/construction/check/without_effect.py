"""What is written, and changes no run: use of the field in no hours, people's way where nobody comes along, a date gone by?"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.construction.plan.supply import may_be_packed_apart
from simulation.field import take_off
from simulation.scenario import Mistake
from simulation.scenario.tables.supply import ON_EVERY_PALLET
from simulation.scenario.types.mistakes import listed, step_name
from simulation.scenario.types.uncertainty.distributions import Constant

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Milestone

_ONE_KIND = "a pallet holds one kind of mat, or a single half mat, which has room beside full ones"
#: Tables that tell of laying alone, as they are written: a take-up reads none of them.
OF_LAYING = {
    "milestone": "[[milestone]]",
    "task": "[[task]]",
    "gang": "[[gang]]",
    "flying": "[flying]",
    "temporary_end": "[temporary_end]",
}


def without_effect(scenario: Scenario) -> Iterator[Mistake]:
    """Yield, by its key, what is written and changes nothing."""
    yield from _flying(scenario)
    yield from _temporary_end(scenario)
    for table, shipments in (("supply", scenario.supply.shipments), ("take_up", scenario.take_up.shipments)):
        for number, shipment in enumerate(shipments, 1):
            if shipment.again is not None and shipment.chance == 1.0:
                wrong = "changes nothing, since it is sure to come"
                yield Mistake(f"{table}.shipments.{number}.again", wrong, "write chance, or leave it out")
    if scenario.supply.half_mats != ON_EVERY_PALLET:
        to_come = take_off(scenario).comes - scenario.supply.on_hand
        why = "no pallet is to come" if not to_come else "" if may_be_packed_apart(scenario.mat) else _ONE_KIND
        if why:
            yield Mistake("supply.half_mats", f"changes nothing, since {why}", "leave it out")
    for task in scenario.task:
        for number, need in enumerate(task.after, 1):
            if need.date is not None and need.date <= scenario.starts:
                wrong = f"{need.date:%Y-%m-%d %H:%M} is not after the start, so nothing waits for it"
                key = f"task.{step_name(task.name)}.after.{number}.date"
                yield Mistake(key, wrong, f"write a date after {scenario.starts:%Y-%m-%d %H:%M}, or leave it out")
    leg = scenario.leg
    if "people_time" in leg.model_fields_set and not leg.crews and not leg.forklifts:
        wrong = "changes nothing, since neither crews nor forklifts come from the other field"
        yield Mistake("leg.people_time", wrong, "write leg.crews or leg.forklifts, or leave it out")
    limits, price = scenario.limits, scenario.limits.price
    if limits.spend is not None and not any((price.person, price.forklift, price.truck, price.grading_gang)):
        yield Mistake("limits.spend", "limits nothing, since nothing has a price", "write [limits.price], or leave it out")
    if scenario.takes_up:
        yield from _of_laying(scenario)


def _flying(scenario: Scenario) -> Iterator[Mistake]:
    flying = scenario.flying
    if flying.since is not None and not flying.closes and not scenario.makes_ends:
        wrong = "changes nothing, since neither windows nor movements are written"
        yield Mistake("flying.from", wrong, "write one of them, or leave it out")
    elif "movement" in flying.model_fields_set and flying.closes and not flying.movements:
        yield Mistake("flying.movement", "changes nothing, since no movements are written", "write movements, or leave it out")


def _temporary_end(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line where temporary ends are written and none is ever made."""
    if scenario.temporary_end is None or scenario.temporary_end.milestones == () or scenario.takes_up:
        return
    asking = [milestone for milestone in scenario.milestones if scenario.temporary_ends_of(milestone)]
    lengths = {area.name: area.length for area in scenario.area}
    if not asking:
        wrong = "changes nothing, since no milestone asks for a usable length and nobody flies before all is laid"
        yield Mistake("temporary_end", wrong, "write usable in a milestone, or [flying], or leave it out")
    elif all(_asks_for_all(milestone, lengths) for milestone in asking):
        wrong = f"changes nothing, since by {asking[0].name} the whole area is laid"
        yield Mistake("temporary_end", wrong, "write a milestone of a shorter length, or leave it out")


def _asks_for_all(milestone: Milestone, lengths: dict[str, float]) -> bool:
    if milestone.usable is not None:
        return milestone.usable.length >= lengths[milestone.usable.area] - 1e-6
    return bool(milestone.areas)


def _of_laying(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line that names the tables of a file whose job is to take up that tell of laying alone."""
    written = tomllib.loads(scenario.source.text)
    tables = [key for key in OF_LAYING if written.get(key)]
    names = [OF_LAYING[key] for key in tables]
    if scenario.supply.shipments:
        tables.append("supply.shipments")
        names.append("[[supply.shipments]]")
    yield from _people_as_in_laying(scenario)
    if tables:
        right = "leave it out; its milestones are [[take_up.milestone]]" if tables == ["milestone"] else "leave it out"
        wrong = f"a take-up does not read {listed(names)}, which {'tells' if len(names) == 1 else 'tell'} of laying"
        yield Mistake(tables[0], wrong, right)


def _people_as_in_laying(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line for each way of crews to come and go that is known of laying alone."""
    laying = scenario.laying
    written = {
        "laying.absence": ("everybody is there", laying.absence.level != Constant(0.0)),
        "laying.finish_rows": ("crews leave at the end of their hours", laying.finish_rows > 0.0),
        **{
            f"crew.{step_name(crew.name)}.second_crew": ("each crew has a section of its own", crew.second_crew != "elsewhere")
            for crew in scenario.crew
        },
    }
    for key, (instead, is_written) in written.items():
        if is_written:
            yield Mistake(key, f"changes nothing where the field is taken up: there {instead}", "leave it out")
