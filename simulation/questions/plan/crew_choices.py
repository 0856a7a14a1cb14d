"""What may be chosen of crews where nobody says? Who goes first, on which hours, who begins where, and people of each crew."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.space import Option
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario
    from simulation.scenario.tables.people import Crew

#: Crews whose areas may come in another order, the first of the file. Planning value: more make a search long.
ORDERED = 6
#: What part of the people that are free for crews work in them: all, or fewer. Planning value.
PARTS = (1.0, 0.75)
#: Equal crews in the place of a scenario's own, where these keep the same hours. Planning value.
EQUAL_CREWS = (1, 2, 3)


def crew_choices(scenario: Scenario, limits: Limits) -> tuple[tuple[Option, ...], ...]:
    """Return what may be chosen of crews, each choice with its values; how many people are in each comes last."""
    crews = scenario.crew
    return (
        (_as_written("each crew with its own people and areas"), *_other_first_crews(scenario)),
        (_as_written("each crew on the hours as written"), *_other_hours(scenario)),
        *(
            (_as_written(f"{crew.name} takes its areas as written"), *_other_orders(scenario, index))
            for index, crew in enumerate(crews[:ORDERED])
        ),
        (_as_written(_name_sizes([(crew.name, crew.people) for crew in crews])), *_other_crews(scenario, limits)),
    )


def _as_written(words: str) -> Option:
    return Option("", as_written=words)


def _name_sizes(crews: Sequence[tuple[str, int]]) -> str:
    return f"crew{'s' if len(crews) > 1 else ''} {', '.join(f'{name} {size}' for name, size in crews)}"


def _other_first_crews(scenario: Scenario) -> Iterator[Option]:
    """Yield pairs of crews of the same hours that trade places: of crews that are free together, the first of the file chooses.

    Each gets the people, areas and manner of the other, so that it is the same as if their blocks changed places.
    """
    for (index, first), (other_index, other) in combinations(enumerate(scenario.crew), 2):
        if (first.since, first.shift) == (other.since, other.shift):
            changes = (*_give(scenario, index, other), *_give(scenario, other_index, first))
            if changes:
                yield Option(f"{first.name} and {other.name} trade people and areas", changes)


def _other_hours(scenario: Scenario) -> Iterator[Option]:
    """Yield each crew on the hours of another one that keeps a shift of its own, as where a second crew goes on at night.

    A laying edge that is left at the end of a day has nobody at night unless a crew keeps those hours.
    """
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    kept = {crew.shift: (index, crew) for index, crew in reversed(list(enumerate(scenario.crew))) if crew.shift is not None}
    for index, crew in enumerate(scenario.crew):
        for shift, (other_index, other) in kept.items():
            if crew.shift is None and shift is not None:
                where = f"crew.{block_name(index, crew.name)}.shift"
                like = f"copy of crew.{block_name(other_index, other.name)}.shift"
                yield Option(f"{crew.name} keeps the hours of {other.name}", (Change(where, like),))


def _give(scenario: Scenario, index: int, other: Crew) -> Iterator[Change]:
    """Yield what makes a crew of another one, but for its name and hours."""
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    crew = scenario.crew[index]
    address = f"crew.{block_name(index, crew.name)}"
    if crew.people != other.people:
        yield Change(f"{address}.people", str(other.people))
    if crew.areas != other.areas:
        yield Change(f"{address}.areas", json.dumps(other.areas, ensure_ascii=False))
    if crew.second_crew != other.second_crew:
        yield Change(f"{address}.second_crew", other.second_crew)


def _other_orders(scenario: Scenario, index: int) -> Iterator[Option]:
    """Yield a crew with its areas backwards, beginning with its second one, or after its first one backwards."""
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    crew = scenario.crew[index]
    areas = list(crew.areas)
    orders = {tuple(reversed(areas)): "takes its areas backwards"}
    if len(areas) > 2:
        orders.setdefault((*areas[1:], areas[0]), f"begins with {areas[1]}")
        orders.setdefault((areas[0], *reversed(areas[1:])), f"lays {areas[0]}, then the others backwards")
    for order, words in orders.items():
        if list(order) != areas:
            address = f"crew.{block_name(index, crew.name)}.areas"
            yield Option(f"{crew.name} {words}", (Change(address, json.dumps(order, ensure_ascii=False)),))


def _other_crews(scenario: Scenario, limits: Limits) -> Iterator[Option]:
    """Yield other numbers and sizes of crews, with all people that are free for them, or fewer."""
    crews = scenario.crew
    own, even = tuple(crew.people for crew in crews), (1,) * len(crews)
    double = tuple(tuple(2 if index == larger else 1 for index in range(len(crews))) for larger in range(len(crews)))
    alike = len({(crew.since, crew.shift) for crew in crews}) == 1  # equal crews keep the hours that these have
    for part in PARTS:
        for weights in dict.fromkeys((own, even, *(double if len(crews) > 1 else ()))):
            yield Option("", spread=partial(_resize_crews, limits, part, weights))
        for count in EQUAL_CREWS if alike else ():
            if count != len(crews):
                yield Option("", spread=partial(_equal_crews, limits, part, count))


def _find_free(scenario: Scenario, limits: Limits, part: float) -> int:
    """Return how many people work in crews: a part of those whom driving, operating and grading leave."""
    people = count_people(scenario)
    free = people.crews if limits.people is None else limits.people - (people.total - people.crews)
    return max(1, int(part * free))


def _resize_crews(limits: Limits, part: float, weights: tuple[int, ...], scenario: Scenario) -> tuple[str, tuple[Change, ...]]:
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    sizes = share_out(_find_free(scenario, limits, part), weights)
    sized = list(zip(scenario.crew, sizes, strict=True))
    changes = (Change(f"crew.{block_name(index, crew.name)}.people", str(size)) for index, (crew, size) in enumerate(sized))
    return _name_sizes([(crew.name, size) for crew, size in sized]), tuple(changes)


def _equal_crews(limits: Limits, part: float, count: int, scenario: Scenario) -> tuple[str, tuple[Change, ...]]:
    from simulation.scenario.reading.teams import crews_instead

    sizes = share_out(_find_free(scenario, limits, part), [1] * count)
    named = " and ".join(map(str, dict.fromkeys(sizes)))
    return f"{count} crew{'' if count == 1 else 's'} of {named}", (crews_instead(sizes),)


def share_out(people: int, weights: Sequence[int]) -> list[int]:
    """Return so many people shared out by weights, whole, the remainder to the first ones.

    Examples
    --------
    >>> share_out(50, [1, 2]), share_out(7, [1, 1])
    ([17, 33], [4, 3])
    """
    sizes = [people * weight // sum(weights) for weight in weights]
    for index in range(people - sum(sizes)):
        sizes[index] += 1
    return sizes
