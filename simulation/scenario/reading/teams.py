"""How many crews of how many people? A team such as ``2x20`` stands in the place of a scenario's own crews."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.scenario.reading.changes import FILE
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import block_name, refusal, shown

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario

_TEAM = re.compile(r"(\d{1,3})\s*[x×]\s*(\d{1,4})")


@dataclass(frozen=True, order=True)
class Team:
    """Equal crews.

    Attributes
    ----------
    crews, people : int
        How many, and how many people in each.
    """

    crews: int
    people: int

    def __str__(self) -> str:
        return f"{self.crews}x{self.people}"

    def instead(self, scenario: Scenario) -> Change:
        """Return the change that puts this team in the place of a scenario's crews; see `crews_instead`."""
        return crews_instead([self.people] * self.crews)

    def changes(self, scenario: Scenario) -> tuple[Change, ...]:
        """Return the same as `Scaled.changes` does."""
        return (self.instead(scenario),)


def crews_instead(people: Sequence[int]) -> Change:
    """Return the change that puts crews of so many people in the place of a scenario's own.

    Each is one of the scenario's crews in turn, with all else that this one has: its hours, its late start, its areas. What only
    crews lay that are left out, the last of the new ones lays after its own areas.
    """
    return Change("crew", f"crews of {' + '.join(map(str, people))}")


@dataclass(frozen=True, order=True)
class Scaled:
    """A scenario's own crews with more or fewer people in each, their hours, areas and late starts kept.

    Attributes
    ----------
    percent : int
        Of the people of each crew, rounded to whole people.
    """

    percent: int

    def __str__(self) -> str:
        return f"own crews at {self.percent} %"

    def changes(self, scenario: Scenario) -> tuple[Change, ...]:
        """Return the changes that give each crew of a scenario its people."""
        return tuple(
            Change(f"crew.{block_name(index, crew.name)}.people", str(people))
            for index, (crew, people) in enumerate(zip(scenario.crew, self._people_in_each(scenario), strict=True))
        )

    def people(self, scenario: Scenario) -> str:
        """Return how many people each crew of a scenario has then, such as ``14 + 12``."""
        return " + ".join(map(str, self._people_in_each(scenario)))

    def _people_in_each(self, scenario: Scenario) -> list[int]:
        return [max(1, round(self.percent * crew.people / 100)) for crew in scenario.crew]


def read_team(text: str) -> Team:
    """Return a team as a planner writes it: ``2x20`` is two crews of 20 people.

    Raises
    ------
    ScenarioError
        If it cannot be read.
    """
    match = _TEAM.fullmatch(text.strip())
    if match is None or not int(match[1]) or not int(match[2]):
        right = "write crews x people in each, such as 2x20"
        raise refusal(FILE, f"{shown(text)} is no team", right, "crews")
    return Team(int(match[1]), int(match[2]))
