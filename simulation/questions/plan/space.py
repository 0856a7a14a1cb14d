"""What may be chosen, and what limits it? Every plan that keeps within the limits, each a few changes of the scenario.

A plan is one value of each choice. Some choices follow from the others: how large crews can be from how many people drive and
grade beside them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario


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
