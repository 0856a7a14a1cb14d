"""Which tasks are there beside laying: where, how many pieces, by whom, and for how many hours of one team?"""

from __future__ import annotations

from simulation.construction.plan.tasks import place_of
from simulation.present.answer import Table
from simulation.present.words import wording
from simulation.scenario import Scenario


def tasks_table(scenario: Scenario) -> Table:
    """Return the tasks in the order of the scenario; hours are those of one team at all pieces, at the mean time each."""
    rows = []
    for task in scenario.task:
        hours = task.pieces * task.each.mean
        where = place_of(scenario, task) or "beside the field"
        rows.append((task.name, where, wording.number(task.pieces), str(task.team), f"{hours:,.1f}", task.whose))
    return Table(
        "Tasks beside laying",
        ("task", "where", "pieces", "team", "team hours", "by"),
        tuple(rows),
        frozenset({1, 5}),
        notes=("Team: people who work at one piece together. Team hours: pieces times the mean time of each.",),
    )
