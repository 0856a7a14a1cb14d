"""Is a question asked of a job that it can be asked of?"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def refuse_take_up(scenario: Scenario, why: str) -> None:
    """Refuse a question that can be asked of laying alone.

    Parameters
    ----------
    scenario : Scenario
    why : str
        What it asks of, such as ``an opening is one of a field that is laid``.

    Raises
    ------
    ScenarioError
        If the job of the scenario is to take up.
    """
    from simulation.scenario import Mistake, ScenarioError

    if scenario.takes_up:
        raise ScenarioError(
            scenario.source.file or scenario.title, [Mistake("job", f"is to take up, and {why}", 'write job = "lay"')]
        )


def as_taken_up_by_stages(scenario: Scenario) -> Scenario:
    """Return the take-up of a scenario's field with the milestones that it has where none are written.

    They are `UP`, `IN_YARD` and, where something brings pallets away, `AWAY`.
    """
    from simulation.construction.planning import as_taken_up
    from simulation.scenario import Change, vary

    up = as_taken_up(scenario)
    return vary(up, [Change("take_up.milestone", "[]")]) if up.take_up.milestone else up
