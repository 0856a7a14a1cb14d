"""List what could be otherwise in a scenario: each change that can be tried, as a scenario, and what cannot be tried, and why.

Each is a few changes of the scenario by address, so it is kept and repeated like any other scenario, and all that no change names
stays the same. What cannot be tried in a scenario, such as one more truck where none drives, is named with the reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.bottlenecks.idea import Kind
from simulation.questions.bottlenecks.ideas import list_ideas
from simulation.scenario.types.remembered import remembered

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario


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


@remembered
def list_what_ifs(scenario: Scenario) -> tuple[tuple[WhatIf, ...], tuple[LeftOut, ...]]:
    """Return what can be tried in a scenario, and what cannot."""
    from simulation.construction import compile_plan
    from simulation.scenario import ScenarioError, vary

    tried: list[WhatIf] = []
    left_out: list[LeftOut] = []
    for idea in list_ideas(scenario):
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
