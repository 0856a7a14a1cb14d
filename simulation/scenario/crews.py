"""How many crews of how many people? A team such as ``2x20`` stands in the place of a scenario's own crews."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.scenario.changes import FILE, Change
from simulation.scenario.mistakes import Mistake, ScenarioError, shown

if TYPE_CHECKING:
    from simulation.scenario.scenario import Scenario

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
        """Return the change that puts this team in the place of a scenario's crews; each takes the areas in the file's order."""
        areas = json.dumps([area.name for area in scenario.area], ensure_ascii=False)
        blocks = (f'{{ name = "crew {number + 1}", people = {self.people}, areas = {areas} }}' for number in range(self.crews))
        return Change("crew", f"[{', '.join(blocks)}]")


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
        raise ScenarioError(FILE, [Mistake("crews", f"{shown(text)} is no team", right)])
    return Team(int(match[1]), int(match[2]))
