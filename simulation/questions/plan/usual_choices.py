"""What may be chosen where nobody says? Start, forklifts, trucks, graders, the hours of those who serve crews, and the crews.

Whoever drives and grades is counted with the people on site. So a truck or a grading gang that nobody waits for is worth its
people in the crews. The order of loading is among it where it is written otherwise than by default.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.plan.crew_choices import crew_choices
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.space import Option
from simulation.scenario.tables.supply import ON_EVERY_PALLET
from simulation.study.changes.default_plans import STARTS, start_change
from simulation.study.changes.other_hours import also_with_crews

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Forklifts beyond those of the scenario that are tried where no limit is given. Planning value: what can be lent within a day.
MORE_FORKLIFTS = 2
#: What part of each fleet's trucks drives. Planning values: what can be had within a day, and what may be spared.
PARTS_OF_A_FLEET = (0.5, 0.75, 1.25)


def usual_choices(scenario: Scenario, limits: Limits) -> tuple[tuple[Option, ...], ...]:
    """Return what may be chosen where nobody says, each choice with its values; one of a single value is left out."""
    first, take_up = scenario.area[0], scenario.take_up
    if scenario.takes_up:
        starts = _values(f"{take_up.direction} the direction of assembly", _other_direction(scenario))
    else:
        starts = _values(f"{first.name} {STARTS[first.start]}", _other_starts(scenario))
    choices = (
        starts,
        _values(wording.counted(scenario.forklifts.count, "forklift"), _other_forklifts(scenario, limits)),
        _values(_name_trucks([fleet.count for fleet in scenario.supply.trucks]), _other_trucks(scenario, limits)),
        _values(wording.counted(scenario.grading.gangs, "grading gang"), _other_gangs(scenario)),
        *(_values(f"{called} on their own hours", _longer(scenario, work, called)) for work, called in _list_served(scenario)),
        _values(f"half mats {scenario.supply.half_mats}", _other_packing(scenario)),
        _values("key strips as written", _strips_first(scenario)),
        *crew_choices(scenario, limits),
    )
    return tuple(options for options in choices if len(options) > 1) or (starts,)


def _values(as_written: str, others: Iterable[Option]) -> tuple[Option, ...]:
    return Option("", as_written=as_written), *others


def _other_starts(scenario: Scenario) -> Iterator[Option]:
    first = scenario.area[0]
    for start, words in STARTS.items():
        if start != first.start:
            yield Option(f"{first.name} {words}", (start_change(scenario, start),))


def _other_direction(scenario: Scenario) -> Iterator[Option]:
    from simulation.scenario import Change

    other = "along" if scenario.take_up.direction == "against" else "against"
    yield Option(f"{other} the direction of assembly", (Change("take_up.direction", other),))


def _other_forklifts(scenario: Scenario, limits: Limits) -> Iterator[Option]:
    """Yield one forklift fewer, and up to as many as may be."""
    from simulation.scenario import Change

    own = scenario.forklifts.count
    most = limits.forklifts if limits.forklifts is not None else own + MORE_FORKLIFTS
    for number in range(max(1, min(own - 1, most)), most + 1):
        if number != own:
            yield Option(wording.counted(number, "forklift"), (Change("forklifts.count", str(number)),))


def _other_trucks(scenario: Scenario, limits: Limits) -> Iterator[Option]:
    """Yield fewer and more trucks, in each fleet by the same part, and as many as may be where that is fewer."""
    from simulation.scenario import Change

    own = tuple(fleet.count for fleet in scenario.supply.trucks)
    several = [tuple(max(1, round(part * count)) for count in own) for part in PARTS_OF_A_FLEET]
    if own and limits.trucks is not None and len(own) <= limits.trucks < sum(own):
        several.append(tuple(max(1, limits.trucks * count // sum(own)) for count in own))
    for counts in dict.fromkeys(several):
        if counts != own:
            changes = (Change(f"supply.trucks.{number}.count", str(count)) for number, count in enumerate(counts, 1))
            yield Option(_name_trucks(counts), tuple(changes))


def _name_trucks(counts: Sequence[int]) -> str:
    return " and ".join(wording.counted(count, "truck") for count in counts)


def _other_gangs(scenario: Scenario) -> Iterator[Option]:
    """Yield a single grading gang, one fewer, and one more."""
    from simulation.scenario import Change

    own = scenario.grading.gangs
    if scenario.grading.needed and not scenario.takes_up:
        for gangs in dict.fromkeys((1, own - 1, own + 1)):
            if gangs not in (0, own):
                yield Option(wording.counted(gangs, "grading gang"), (Change("grading.gangs", str(gangs)),))


def _list_served(scenario: Scenario) -> Iterator[tuple[str, str]]:
    """Yield each kind of work that serves crews on hours of its own, and what it is called."""
    yield "forklift", "forklifts"
    if scenario.supply.trucks:
        yield "haul", "trucks"
    if scenario.grading.needed and not scenario.takes_up:
        yield "grading", "graders"


def _longer(scenario: Scenario, work: str, called: str) -> Iterator[Option]:
    """Yield a kind of work on shift whenever a crew is: a laying edge whose crew has no forklift soon has no mats."""
    from simulation.scenario import Change

    changes = also_with_crews(scenario, work)
    if changes:
        yield Option(f"{called} on shift with every crew", tuple(Change(*change) for change in changes))


def _other_packing(scenario: Scenario) -> Iterator[Option]:
    """Yield how else half mats may come, where somebody has thought of it: they are packed apart."""
    from simulation.scenario import Change

    if scenario.supply.half_mats != ON_EVERY_PALLET and not scenario.takes_up:
        for packing in ("first", ON_EVERY_PALLET):
            if packing != scenario.supply.half_mats:
                yield Option(f"half mats {packing}", (Change("supply.half_mats", packing),))


def _strips_first(scenario: Scenario) -> Iterator[Option]:
    """Yield key strips on the first load, where they come with a later one."""
    from simulation.scenario import Change

    strips = scenario.supply.key_strips
    if strips is not None and strips.load is not None and strips.load > 1 and not scenario.takes_up:
        yield Option("key strips with the first load", (Change("supply.key_strips.load", "1"),))
