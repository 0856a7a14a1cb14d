"""What could be otherwise in a scenario? One more of each thing, a tenth less of each time, and each trouble taken away.

Each is a few changes of the scenario by address, so it is kept and repeated like any other scenario. What cannot be tried in a
scenario, such as one more truck where none drives, is named with the reason.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario

#: People added at once: about two teams in each of two crews. Planning value.
PEOPLE = 10
#: What a time is multiplied by where it is a tenth shorter, and a speed where the way takes a tenth less time.
SHORTER, FASTER = "x0.9", f"x{1 / 0.9!r}"
#: Pallets a day: the most that a scenario may say, more than a field needs.
_NO_LIMIT = 1_000_000
#: No forklift works so long.
_NEVER = "1000000000 h"


class Kind(Enum):
    """What kind of thing is otherwise."""

    MORE = "more of it"
    QUICKER = "a tenth quicker"
    WITHOUT = "without the trouble"


@dataclass(frozen=True)
class WhatIf:
    """One thing that could be otherwise.

    Attributes
    ----------
    name : str
    kind : Kind
    changes : tuple of Change
    scenario : Scenario
        With the changes in it.
    """

    name: str
    kind: Kind
    changes: tuple[Change, ...]
    scenario: Scenario


@dataclass(frozen=True)
class LeftOut:
    """One thing that cannot be tried in a scenario, and why."""

    name: str
    why: str


@dataclass(frozen=True)
class _Idea:
    name: str
    kind: Kind
    changes: tuple[Change, ...]
    why_not: str = ""


def what_ifs_of(scenario: Scenario) -> tuple[tuple[WhatIf, ...], tuple[LeftOut, ...]]:
    """Return what can be tried in a scenario, and what cannot."""
    from simulation.build import compile_plan
    from simulation.scenario import ScenarioError, vary

    tried: list[WhatIf] = []
    left_out: list[LeftOut] = []
    for idea in (*_more(scenario), *_quicker(scenario), *_without(scenario)):
        if idea.why_not:
            left_out.append(LeftOut(idea.name, idea.why_not))
            continue
        try:
            varied = vary(scenario, idea.changes)
            compile_plan(varied)
        except ScenarioError as error:
            first = error.mistakes[0]
            left_out.append(LeftOut(idea.name, f"{first.key}: {first.wrong}" if first.key else first.wrong))
            continue
        if varied.model_dump() == scenario.model_dump():
            left_out.append(LeftOut(idea.name, "it is so already"))
        else:
            tried.append(WhatIf(idea.name, idea.kind, idea.changes, varied))
    return tuple(tried), tuple(left_out)


def _idea(name: str, kind: Kind, *changes: tuple[str, str], why_not: str = "") -> _Idea:
    from simulation.scenario import Change

    return _Idea(name, kind, tuple(Change(*one) for one in changes), why_not)


def _more(scenario: Scenario) -> Iterator[_Idea]:
    supply = scenario.supply
    yield _idea("one more forklift", Kind.MORE, ("forklifts.count", "+1"))
    if not supply.trucks:
        yield _idea("one more truck", Kind.MORE, why_not="no truck drives")
    for number in range(1, len(supply.trucks) + 1):
        fleet = f" of fleet {number}" if len(supply.trucks) > 1 else ""
        yield _idea(f"one more truck{fleet}", Kind.MORE, (f"supply.trucks.{number}.count", "+1"))
    graded = "no ground is left to grade" if scenario.grading.done >= 1 else ""
    yield _idea("one more grading gang", Kind.MORE, ("grading.gangs", "+1"), why_not=graded)
    yield _one_more_crew(scenario)
    yield _idea(f"{PEOPLE} more people in the crews", Kind.MORE, *_more_people(scenario))


def _one_more_crew(scenario: Scenario) -> _Idea:
    """Return the crew with the most people, the last of several, once more: on the same areas, and there at hour zero."""
    names = {crew.name for crew in scenario.crew}
    like = max(reversed(scenario.crew), key=lambda crew: crew.people)
    name = next(name for number in range(2, len(names) + 3) if (name := f"{like.name[:56]} {number}") not in names)
    blocks = [(crew.name, crew, crew.since) for crew in scenario.crew] + [(name, like, 0.0)]
    text = ", ".join(
        f"{{ name = {_quoted(called)}, people = {crew.people}, areas = [{', '.join(map(_quoted, crew.areas))}], "
        f'second_crew = "{crew.second_crew}", from = "{since!r} h" }}'
        for called, crew, since in blocks
    )
    return _idea(f"one more crew of {like.people} like {like.name}", Kind.MORE, ("crew", f"[{text}]"))


def _more_people(scenario: Scenario) -> Iterator[tuple[str, str]]:
    """Yield the people that are added to each crew: as many to each as can be, one more to the first ones."""
    from simulation.scenario.mistakes import block_name

    each, over = divmod(PEOPLE, len(scenario.crew))
    for index, crew in enumerate(scenario.crew):
        added = each + (index < over)
        if added:
            yield f"crew.{block_name(index, crew.name)}.people", f"+{added}"


def _quicker(scenario: Scenario) -> Iterator[_Idea]:
    for name, keys in (
        ("key strips 10 % quicker", ("key_strip", "starter_key_strip")),
        ("locking 10 % quicker", ("lock",)),
        ("placing 10 % quicker", ("place",)),
    ):
        yield _idea(name, Kind.QUICKER, *((f"laying.{key}", SHORTER) for key in keys))
    yield _idea("carrying 10 % quicker", Kind.QUICKER, ("laying.pick_up", SHORTER), ("laying.walk", FASTER))
    yield _idea("forklift repair 10 % quicker", Kind.QUICKER, ("forklifts.repair", SHORTER))
    supply = scenario.supply
    ways = (("supply.trucks.*.haul", SHORTER), ("supply.trucks.*.return", SHORTER))
    yield _idea("haul 10 % shorter both ways", Kind.QUICKER, *ways, why_not="" if supply.trucks else "no truck drives")
    if supply.flights:
        yield _idea("10 % less time between flights", Kind.QUICKER, ("supply.flights.*.every", SHORTER))


def _without(scenario: Scenario) -> Iterator[_Idea]:
    yield _idea("no breakdowns", Kind.WITHOUT, ("forklifts.breakdown_every", _NEVER))
    dry = "the scenario has none" if scenario.weather.model == "none" else ""
    yield _idea("no rain", Kind.WITHOUT, ("weather.model", "none"), why_not=dry)
    unlimited = "the scenario has none" if scenario.supply.per_day_limit is None else ""
    yield _idea("no daily limit", Kind.WITHOUT, ("supply.per_day_limit", str(_NO_LIMIT)), why_not=unlimited)
    shifts = ["all", *(kind for kind in ("laying", "forklift", "haul", "grading") if getattr(scenario.shifts, kind))]
    dark, always = _dark_on_shift(scenario), _around_the_clock(scenario)
    lit = [(f"shifts.{one}.lighting", "true") for one in shifts]
    yield _idea("lights on shift", Kind.WITHOUT, *lit, why_not="" if dark else "nobody is on shift in the dark")
    long = [(f"shifts.{one}.hours", '["00:00-24:00"]') for one in shifts]
    yield _idea(
        "day and night under lights", Kind.WITHOUT, *long, *lit, why_not="work goes on day and night already" if always else ""
    )


def _dark_on_shift(scenario: Scenario) -> bool:
    """Return whether any kind of work loses hours of its shift to the dark."""
    from simulation.conditions import clock_plans
    from simulation.conditions.calendar import DARK

    return any(cause == DARK for plan in clock_plans(scenario).values() for _, _, _, cause in plan.calendar)


def _around_the_clock(scenario: Scenario) -> bool:
    """Return whether the calendar leaves every kind of work every hour."""
    from simulation.conditions import clock_plans

    return all(rate == 1.0 for plan in clock_plans(scenario).values() for _, _, rate, _ in plan.calendar)


def _quoted(name: str) -> str:
    """Return a name as a text of TOML."""
    return json.dumps(name, ensure_ascii=False)
