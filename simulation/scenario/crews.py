"""How many crews of how many people? A team such as ``2x20`` stands in the place of a scenario's own crews."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
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
        """Return the change that puts this team in the place of a scenario's crews; see `crews_instead`."""
        return crews_instead(scenario, [self.people] * self.crews)


def crews_instead(scenario: Scenario, people: Sequence[int]) -> Change:
    """Return the change that puts crews of so many people in the place of a scenario's own.

    Each takes the areas in the file's order, and is there when the scenario's crews are.

    Raises
    ------
    ScenarioError
        If the scenario's crews keep shifts of their own or are not there at one time: whose would the new ones keep?
    """
    since = {crew.since for crew in scenario.crew}
    if len(since) > 1 or any(crew.shift is not None for crew in scenario.crew):
        wrong = "its crews keep shifts of their own, or are not there at one time, and new ones would keep none of them"
        raise ScenarioError(scenario.source.file, [Mistake("crew", wrong, "vary crew.*.people, or write the crews out")])
    areas = json.dumps([area.name for area in scenario.area], ensure_ascii=False)
    (hours,) = since
    there = f', from = "{hours!r} h"' if hours else ""
    blocks = (
        f'{{ name = "crew {number}", people = {each}, areas = {areas}{there} }}' for number, each in enumerate(people, start=1)
    )
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
