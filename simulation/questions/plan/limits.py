"""What is there at most, and what does a plan take of it?"""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, fields, replace
from typing import TYPE_CHECKING

from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Broken:
    """A limit that a plan breaks.

    Attributes
    ----------
    what : str
    has, most : float
        What it takes, and what there is.
    """

    what: str
    has: float
    most: float

    def __str__(self) -> str:
        has = "any number" if math.isinf(self.has) else f"{self.has:,.10g}"
        over = "" if math.isinf(self.has) else f", {self.has - self.most:,.10g} too many"
        return f"{self.what}: {has} where {self.most:,.10g} may be{over}"


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
    in_crews, forklift_operators, truck_drivers, graders : int or None
        By trade, all sets of them.
    trucks : int or None
    spend : float or None
        By the prices of the scenario.
    """

    people: int | None = None
    forklifts: int | None = None
    loads_a_day: int | None = None
    in_crews: int | None = None
    forklift_operators: int | None = None
    truck_drivers: int | None = None
    graders: int | None = None
    trucks: int | None = None
    spend: float | None = None

    @classmethod
    def of(cls, scenario: Scenario, people: int | None = None, forklifts: int | None = None, loads: int | None = None) -> Limits:
        """Return the limits that a scenario states, or others in their place."""
        own = {each.name: getattr(scenario.limits, each.name) for each in fields(cls)}
        asked = {"people": people, "forklifts": forklifts, "loads_a_day": loads}
        return cls(**{**own, **{name: value for name, value in asked.items() if value is not None}})

    def with_people_of(self, scenario: Scenario) -> Limits:
        """Return the same, with no more people than the plan as written has where nothing limits them."""
        by_trade = (self.people, self.in_crews, self.forklift_operators, self.truck_drivers, self.graders, self.spend)
        return self if any(each is not None for each in by_trade) else replace(self, people=count_people(scenario).total)

    @property
    def any(self) -> bool:
        """Whether anything is limited."""
        return any(value is not None for value in asdict(self).values())

    def broken_by(self, scenario: Scenario) -> list[Broken]:
        """Return which limits a plan breaks."""
        has = count_what_it_takes(scenario)
        stated = ((each.name, getattr(self, each.name)) for each in fields(self))
        return [
            Broken(name_limit(name, scenario), has[name], most)
            for name, most in stated
            if most is not None and has[name] > most + 1e-9
        ]

    def used_up_by(self, scenario: Scenario) -> list[str]:
        """Return the names of the limits that a plan uses to the last one."""
        has = count_what_it_takes(scenario)
        stated = ((each.name, getattr(self, each.name)) for each in fields(self))
        return [name for name, most in stated if most is not None and has[name] >= most - 1e-9]


def name_limit(name: str, scenario: Scenario) -> str:
    """Return what a limit is called in a sentence."""
    if name == "spend":
        return f"spend in {scenario.limits.price.unit}"
    return {"in_crews": "people in crews", "loads_a_day": "loads a day"}.get(name, name.replace("_", " "))


def count_what_it_takes(scenario: Scenario) -> dict[str, float]:
    """Return what a plan takes of each thing that can be limited; of loads a day without end where nothing limits them."""
    people, limit, price = count_people(scenario), scenario.supply.per_day_limit, scenario.limits.price
    trucks = sum(fleet.count for fleet in scenario.supply.trucks)
    gangs = scenario.grading.gangs if scenario.grading.needed else 0
    return {
        "people": people.total,
        "in_crews": people.crews,
        "forklift_operators": people.forklift_operators,
        "truck_drivers": people.truck_drivers,
        "graders": people.graders,
        "forklifts": scenario.forklifts.count,
        "trucks": trucks,
        "loads_a_day": math.inf if limit is None else limit,
        "spend": people.total * price.person
        + scenario.forklifts.count * price.forklift
        + trucks * price.truck
        + gangs * price.grading_gang,
    }
