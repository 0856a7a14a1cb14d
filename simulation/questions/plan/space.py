"""What may be chosen, and what limits it? Every plan that keeps within the limits, each a few changes of the scenario.

A plan is one value of each choice. Some choices follow from the others: how large crews can be from how many people drive and
grade beside them.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import product
from typing import TYPE_CHECKING

from simulation.study.default_plans import STARTS, start_change
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario

#: Forklifts beyond those of the scenario that are tried where no limit is given. Planning value: what can be lent within a day.
MORE_FORKLIFTS = 2
#: What part of the people that are free for crews work in them: all, or fewer. Planning value.
PARTS = (1.0, 0.75)
#: Equal crews in the place of a scenario's own, where these keep the same hours. Planning value.
EQUAL_CREWS = (1, 2, 3)


@dataclass(frozen=True)
class Limits:
    """What there is at most; None where nothing limits it.

    Attributes
    ----------
    people : int or None
        On site at any hour, operators, drivers and all sets of them included.
    forklifts : int or None
    loads_a_day : int or None
        Pallets that may come to the yard in a day.
    """

    people: int | None = None
    forklifts: int | None = None
    loads_a_day: int | None = None

    @classmethod
    def of(cls, scenario: Scenario, people: int | None = None, forklifts: int | None = None, loads: int | None = None) -> Limits:
        """Return the limits that a scenario states, or others in their place."""
        own = scenario.limits
        return cls(people or own.people, forklifts or own.forklifts, loads or own.loads_a_day)

    def broken_by(self, scenario: Scenario) -> list[tuple[str, int, int]]:
        """Return which limits a plan breaks: what, how many it has, and how many there may be."""
        loads = scenario.supply.per_day_limit
        has = {
            "people": count_people(scenario).total,
            "forklifts": scenario.forklifts.count,
            "loads a day": math.inf if loads is None else loads,
        }
        limits = {"people": self.people, "forklifts": self.forklifts, "loads a day": self.loads_a_day}
        return [
            (what, int(min(has[what], 10**6)), limit) for what, limit in limits.items() if limit is not None and has[what] > limit
        ]


@dataclass(frozen=True)
class Option:
    """One value of a choice.

    Attributes
    ----------
    words : str
        How it is called.
    changes : tuple of Change
    spread : callable or None
        What follows from the other choices: given a scenario with these in it, returns changes, and how they are called.
    """

    words: str
    changes: tuple[Change, ...] = ()
    spread: Callable[[Scenario], tuple[str, tuple[Change, ...]]] | None = None


@dataclass(frozen=True)
class ChosenPlan:
    """One plan: a trial.

    Attributes
    ----------
    name : str
        What is otherwise than in the scenario as written.
    changes : tuple of Change
    scenario : Scenario
    people : int
        On site, all included.
    """

    name: str
    changes: tuple[Change, ...]
    scenario: Scenario
    people: int


#: As the scenario is written.
AS_WRITTEN = Option("")
#: Which value of each choice: a place in the space of plans.
Place = tuple[int, ...]


@dataclass
class Space:
    """All plans that may be chosen.

    Attributes
    ----------
    scenario : Scenario
        As written.
    limits : Limits
    choices : tuple of tuple of Option
        The values of each choice, that of the scenario as written first.
    outside : dict
        Plans that were looked at and break a limit, with what they break.
    unsound : dict
        Plans that cannot work, with the reason.
    """

    scenario: Scenario
    limits: Limits
    choices: tuple[tuple[Option, ...], ...]
    outside: dict[Place, list[tuple[str, int, int]]] = field(default_factory=dict)
    unsound: dict[Place, str] = field(default_factory=dict)
    _plans: dict[Place, ChosenPlan | None] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """How many combinations there are, those that break a limit included."""
        return math.prod(map(len, self.choices))

    @property
    def as_written(self) -> Place:
        """The place of the scenario as written."""
        return (0,) * len(self.choices)

    def places(self) -> Iterator[Place]:
        """Yield every place."""
        yield from product(*(range(len(options)) for options in self.choices))

    def plan(self, place: Place) -> ChosenPlan | None:
        """Return the plan at a place; None where it breaks a limit, cannot work, or is another one over again."""
        if place not in self._plans:
            self._plans[place] = self._make(place)
        return self._plans[place]

    def _make(self, place: Place) -> ChosenPlan | None:
        from simulation.construction import compile_plan
        from simulation.scenario import ScenarioError, vary

        options = [choice[number] for choice, number in zip(self.choices, place, strict=True)]
        changes = tuple(change for option in options for change in option.changes)
        words = [option.words for option in options if option.words]
        try:
            varied = vary(self.scenario, changes) if changes else self.scenario
            for option in options:
                if option.spread is not None:
                    spread_words, spread = option.spread(varied)
                    words, changes = [*words, spread_words], (*changes, *spread)
                    varied = vary(self.scenario, changes)
            if broken := self.limits.broken_by(varied):
                self.outside[place] = broken
                return None
            compile_plan(varied)
        except ScenarioError as error:
            self.unsound[place] = str(error.mistakes[0])
            return None
        if any(other is not None and other.scenario == varied for other in self._plans.values()):
            return None
        return ChosenPlan(", ".join(words) or "as written", changes, varied, count_people(varied).total)


def usual_choices(scenario: Scenario, limits: Limits) -> tuple[tuple[Option, ...], ...]:
    """Return what may be chosen where nobody says: start, forklifts, who begins where, and how people are spread over crews."""
    from simulation.scenario import Change

    starts = (AS_WRITTEN, *_other_starts(scenario))
    own = scenario.forklifts.count
    most = limits.forklifts if limits.forklifts is not None else own + MORE_FORKLIFTS
    numbers = [number for number in range(max(1, min(own - 1, most)), most + 1) if number != own]
    forklifts = (
        AS_WRITTEN,
        *(
            Option(f"{number} forklift{'' if number == 1 else 's'}", (Change("forklifts.count", str(number)),))
            for number in numbers
        ),
    )
    return starts, forklifts, (AS_WRITTEN, *_other_orders(scenario)), (AS_WRITTEN, *_other_crews(scenario, limits))


def _other_starts(scenario: Scenario) -> Iterator[Option]:
    first = scenario.area[0]
    for start, words in STARTS.items():
        if start != first.start:
            yield Option(f"{first.name} {words}", (start_change(scenario, start),))


def _other_orders(scenario: Scenario) -> Iterator[Option]:
    """Yield each crew by itself with its areas the other way round, or beginning with its second one."""
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    for index, crew in enumerate(scenario.crew):
        areas = list(crew.areas)
        address = f"crew.{block_name(index, crew.name)}.areas"
        orders = {tuple(reversed(areas)): "takes its areas the other way round"}
        if len(areas) > 2:
            orders.setdefault((*areas[1:], areas[0]), f"begins with {areas[1]}")
            orders.setdefault((areas[0], *reversed(areas[1:])), f"lays {areas[0]}, then the others the other way round")
        for order, words in orders.items():
            if list(order) != areas:
                yield Option(f"{crew.name} {words}", (Change(address, json.dumps(order, ensure_ascii=False)),))


def _other_crews(scenario: Scenario, limits: Limits) -> Iterator[Option]:
    """Yield other numbers and sizes of crews, with all people that are free for them, or fewer."""
    crews = scenario.crew
    own, even = tuple(crew.people for crew in crews), (1,) * len(crews)
    double = tuple(tuple(2 if index == place else 1 for index in range(len(crews))) for place in range(len(crews)))
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
    named = ", ".join(f"{crew.name} {size}" for crew, size in sized)
    changes = (Change(f"crew.{block_name(index, crew.name)}.people", str(size)) for index, (crew, size) in enumerate(sized))
    return f"crews {named}", tuple(changes)


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


def read_choices(scenario: Scenario, texts: Sequence[str]) -> tuple[tuple[Option, ...], ...]:
    """Return what may be chosen as a planner writes it, each ``KEY=V1,V2,…`` or ``crews=1x48,2x24``.

    Raises
    ------
    ScenarioError
        If one cannot be read, or leads nowhere in the scenario.
    """
    from simulation.scenario import Mistake, ScenarioError, read_team, read_variation, vary

    choices = []
    for text in texts:
        key, _, values = text.partition("=")
        if key.strip() == "crews":
            options = [Option(f"crews {team}", (team.instead(scenario),)) for team in map(read_team, values.split(","))]
        else:
            options = [Option(str(change), (change,)) for change in read_variation(text)]
        for option in options:
            for change in option.changes:
                if change.factor is not None:
                    raise ScenarioError(
                        "choose", [Mistake(change.address, f"{change.text} multiplies", "write the values themselves")]
                    )
        vary(scenario, options[0].changes)  # an address that leads nowhere is refused before anything is tried
        choices.append((AS_WRITTEN, *options))
    return tuple(choices)
