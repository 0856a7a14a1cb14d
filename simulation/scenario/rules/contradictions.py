"""Which parts of a scenario, each well written, cannot be true together?"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from simulation.scenario.rules.carrying import overloaded
from simulation.scenario.rules.conditions_rules import conditions_mistakes
from simulation.scenario.rules.damage_rules import damage_mistakes
from simulation.scenario.rules.leg_rules import leg_mistakes
from simulation.scenario.rules.milestones import (
    asks_once,
    choice_known,
    ends_sound,
    flying_sound,
    milestone_tasks,
    ready_once,
    stretch_laid,
    usable_length,
)
from simulation.scenario.rules.own_pallets import own_pallets
from simulation.scenario.rules.shares import shares_whole
from simulation.scenario.rules.supply_rules import SUPPLY
from simulation.scenario.rules.take_up_rules import areas_come_up, loads_leave, take_up_mistakes
from simulation.scenario.rules.tasks import gang_has_tasks, gang_known, needs_met, rings
from simulation.scenario.rules.unlayable import UNLAYABLE, too_large
from simulation.scenario.rules.unmeant import unmeant
from simulation.scenario.rules.weather_rules import outlook_mistakes, weather_mistakes
from simulation.scenario.tables.ground import Area, Milestone
from simulation.scenario.tables.people import Crew
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.sky import Weather
from simulation.scenario.tables.take_up import TakeUpMilestone
from simulation.scenario.types.mistakes import Mistake, block_name, did_you_mean, nearest
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain
from simulation.scenario.types.unreadable import UNREAD, apply_rule

#: Names of a list that are compared with those that there are: comparing takes long, and nobody misspells more.
_COMPARED = 5

#: Times that it may begin to rain up to the last day simulated, and the share of hours that may be wet. Planning values: the
#: wettest coasts
#: have rain in less than half of their hours.
MOST_SPELLS, MOST_WET = 20_000, 0.95

Rule = Callable[..., Iterator[Mistake]]


def contradictions(scenario: Scenario) -> list[Mistake]:
    """Return every contradiction, in the order in which a planner reads the file.

    A value that could not be read contradicts nothing: the rules that need it are silent.
    """
    mistakes: list[Mistake] = []
    for rule in (_names, _mat, _pallet, too_large):
        mistakes += apply_rule(rule, scenario)
    mistakes += apply_rule(_of_each, "area", scenario.area, (*UNLAYABLE, _joins_known, _worked), scenario)
    mistakes += apply_rule(_of_each, "crew", scenario.crew, (_areas_known, _areas_once, _few_people), scenario)
    for rule in (_openers, shares_whole, _zeros, _too_many_late, _spells, *SUPPLY):
        mistakes += apply_rule(rule, scenario)
    for rule in (own_pallets, overloaded, unmeant, _yard_known):
        mistakes += apply_rule(rule, scenario)
    mistakes += conditions_mistakes(scenario)
    mistakes += apply_rule(damage_mistakes, scenario)
    mistakes += apply_rule(take_up_mistakes, scenario)
    of_take_up = (_areas_known, _areas_once, areas_come_up, loads_leave)
    mistakes += apply_rule(_of_each, "take_up.milestone", scenario.take_up.milestone, of_take_up, scenario)
    mistakes += apply_rule(ready_once, "take_up.milestone", scenario.take_up.milestone)
    mistakes += apply_rule(leg_mistakes, scenario)
    mistakes += weather_mistakes(scenario.weather)
    mistakes += apply_rule(outlook_mistakes, scenario)
    mistakes += apply_rule(_of_each, "gang", scenario.gang, (gang_has_tasks,), scenario)
    mistakes += apply_rule(_of_each, "task", scenario.task, (gang_known, needs_met), scenario)
    mistakes += apply_rule(rings, scenario)
    rules = (_areas_known, _areas_once, asks_once, stretch_laid, usable_length, milestone_tasks)
    mistakes += apply_rule(_of_each, "milestone", scenario.milestone, rules, scenario)
    mistakes += apply_rule(ready_once, "milestone", scenario.milestone)
    mistakes += apply_rule(flying_sound, scenario)
    mistakes += apply_rule(ends_sound, scenario)
    mistakes += apply_rule(choice_known, scenario)
    return mistakes


def _of_each(kind: str, blocks: Sequence[Any], rules: Iterable[Rule], scenario: Scenario) -> Iterator[Mistake]:
    for index, block in enumerate(blocks):
        here = f"{kind}.{block_name(index, block.name)}"
        for rule in rules:
            yield from apply_rule(rule, here, block, scenario)


def _names(scenario: Scenario) -> Iterator[Mistake]:
    kinds: tuple[tuple[str, Sequence[Any]], ...]
    kinds = (
        ("area", scenario.area),
        ("crew", scenario.crew),
        ("gang", scenario.gang),
        ("task", scenario.task),
        ("milestone", scenario.milestone),
        ("take_up.milestone", scenario.take_up.milestone),
        ("supply.shipments", scenario.supply.shipments),
        ("take_up.shipments", scenario.take_up.shipments),
    )
    for kind, blocks in kinds:
        yield from apply_rule(_repeated, kind, blocks)


def _repeated(kind: str, blocks: Sequence[Any]) -> Iterator[Mistake]:
    names = [block.name for block in blocks if block.name is not UNREAD]
    for index, name in enumerate(names):
        if name is not None and name in names[:index] and name not in names[index + 1 :]:
            wrong = f"{names.count(name)} {kind.rpartition('.')[-1].removesuffix('s')}s bear this name"
            yield Mistake(f"{kind}.{block_name(index, name)}", wrong, "give each its own")


def _unknown(key: str, names: Iterable[str], scenario: Scenario) -> Iterator[Mistake]:
    areas = {area.name for area in scenario.area}
    for number, name in enumerate(name for name in names if name not in areas):
        right = did_you_mean(name, areas) if number < _COMPARED else "write the name of an area"
        yield Mistake(key, f'there is no area "{name}"', right)


def _joins_known(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if area.joins:
        yield from _unknown(f"{here}.joins.area", [area.joins.area], scenario)
    if area.beside is not None:
        yield from _unknown(f"{here}.beside.area", [area.beside.area], scenario)
    if area.meets is not None:
        yield from _unknown(f"{here}.meets", [area.meets], scenario)


def _areas_known(here: str, block: Crew | Milestone | TakeUpMilestone, scenario: Scenario) -> Iterator[Mistake]:
    yield from _unknown(f"{here}.areas", block.areas, scenario)


def _yard_known(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.supply.yard:
        yield from _unknown("supply.yard.area", [scenario.supply.yard.area], scenario)


def _mat(scenario: Scenario) -> Iterator[Mistake]:
    if abs(scenario.mat.full - 2 * scenario.mat.half) > 1e-6:
        yield Mistake("mat.full", "a full mat is not as long as two half mats", "write full = 2 × half")


def _pallet(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.mat.pallet_full + scenario.mat.pallet_half == 0:
        yield Mistake("mat", "a pallet holds no mats", "write pallet_full or pallet_half above 0")


def _worked(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    areas = {area.name for area in scenario.area}
    named = {name for crew in scenario.crew for name in crew.areas}
    # A name that is misspelt in a crew's list is told there.
    misspelt = sorted(named - areas)[:_COMPARED]
    if area.name not in named and area.name not in {nearest(name, areas) for name in misspelt}:
        yield Mistake(here, "no crew works this area", "add it to the areas of a crew")


def _areas_once(here: str, block: Crew | Milestone | TakeUpMilestone, _: Scenario) -> Iterator[Mistake]:
    for name in sorted({name for name in block.areas if block.areas.count(name) > 1}):
        yield Mistake(f"{here}.areas", f'"{name}" stands in the list twice', "write each area once")


def _few_people(here: str, crew: Crew, scenario: Scenario) -> Iterator[Mistake]:
    overhead, team = scenario.laying.overhead, scenario.laying.team_size
    least = overhead + team + 1
    if crew.people < least:
        wrong = f"{crew.people} are too few to carry a mat: {overhead} are overhead, a team is {team} and one locks"
        yield Mistake(f"{here}.people", wrong, f"write at least {least}")


def _openers(scenario: Scenario) -> Iterator[Mistake]:
    laying = scenario.laying
    if laying.openers > laying.overhead:
        wrong = f"{laying.openers} are more than the {laying.overhead} of overhead that they belong to"
        yield Mistake("laying.openers", wrong, f"write at most {laying.overhead}")


def _zeros(scenario: Scenario) -> Iterator[Mistake]:
    laying = scenario.laying
    for key, quantity, then in (
        ("laying.efficiency", laying.efficiency, "a row would never end"),
        ("laying.place", laying.place, "a row would take no time"),
        ("forklifts.efficiency", scenario.forklifts.efficiency, "a trip would never end"),
        ("forklifts.breakdown_every", scenario.forklifts.breakdown_every, "a forklift would never work"),
        ("grading.efficiency", scenario.grading.efficiency, "the ground would never be ready"),
        ("grading.rate", scenario.grading.rate, "the ground would never be ready"),
    ):
        yield from apply_rule(_zero, key, quantity, then)


def _zero(key: str, quantity: Uncertain, then: str) -> Iterator[Mistake]:
    if lowest(quantity) <= 0:
        yield Mistake(key, f"can fall to zero, and {then}", "write a lowest value above 0")


def _too_many_late(scenario: Scenario) -> Iterator[Mistake]:
    count, since = scenario.forklifts.count, scenario.forklifts.since
    if isinstance(since, tuple) and len(since) > count:
        yield Mistake("forklifts.from", f"{len(since)} times are more than the {count} forklifts", f"write at most {count}")


def lowest(quantity: Uncertain) -> float:
    """Return what the level of a quantity can fall to; a lognormal one is always above zero."""
    match quantity.level:
        case Constant(value):
            return value
        case Pert(low=low):
            return low
        case Lognormal(p10=p10):
            return p10
        case Records(values):
            return values[0]


def _spells(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.weather.model == "chain":
        yield from apply_rule(_spell, "weather.wet_spell", scenario.weather.wet_spell, scenario)
        yield from apply_rule(_spell, "weather.dry_spell", scenario.weather.dry_spell, scenario)
        yield from apply_rule(_too_many_spells, scenario)
        yield from apply_rule(_rain_for_ever, scenario.weather)


def _spell(key: str, spell: float, scenario: Scenario) -> Iterator[Mistake]:
    if spell < scenario.weather.step:
        wrong = "is shorter than a step of the chain, and every spell lasts at least one"
        yield Mistake(key, wrong, "write a longer spell or a shorter step")


def _too_many_spells(scenario: Scenario) -> Iterator[Mistake]:
    both = scenario.weather.wet_spell + scenario.weather.dry_spell
    if scenario.horizon > MOST_SPELLS * both:
        wrong = f"up to the last day simulated it would begin to rain {scenario.horizon / both:,.0f} times"
        yield Mistake("weather.dry_spell", wrong, "write longer spells, or an earlier horizon")


def _rain_for_ever(weather: Weather) -> Iterator[Mistake]:
    wet, dry = weather.wet_spell, weather.dry_spell
    if wet > MOST_WET * (wet + dry):
        wrong = f"it would rain in {100 * (wet / (wet + dry)):.1f} % of all hours"
        yield Mistake("weather.wet_spell", wrong, "check the units: write mean lengths of a wet and of a dry spell")
