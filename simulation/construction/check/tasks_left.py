"""Which tasks does no milestone wait for, which may never begin, and which stop a crew that lends people to them?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario import Mistake
from simulation.scenario.types.mistakes import listed, step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def tasks_left(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line that names the tasks which no milestone asks for, nor any task that one asks for."""
    needs = {task.name: [need.task for need in task.after if need.task is not None] for task in scenario.task}
    asked = [name for milestone in scenario.milestones for name in milestone.all_tasks]
    waited: set[str] = set()
    while asked:
        name = asked.pop()
        if name not in waited:
            waited.add(name)
            asked += needs[name]
    left = [name for name in needs if name not in waited]
    if left:
        key = f"task.{step_name(left[0])}" if len(left) == 1 else "task"
        wrong = f"no milestone waits for {listed(left)}, so a run may be over before"
        yield Mistake(key, wrong, "name it in the tasks of a milestone if it must be done by then")


def may_never_begin(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line for each need of a task for a shipment that may never come: where it does not, the task never begins."""
    chances = {ship.name: ship.chance for ship in scenario.supply.shipments if ship.again is None and ship.chance < 1.0}
    for task in scenario.task:
        for number, need in enumerate(task.after, 1):
            if need.shipment is not None and need.shipment in chances:
                never = f"{100 * (1.0 - chances[need.shipment]):.0f} %"
                wrong = f"never comes with a chance of {never}, and then {task.name} never begins"
                right = "write again, how much later it may come, or let the task wait for what surely comes"
                yield Mistake(f"task.{step_name(task.name)}.after.{number}.shipment", f"{need.shipment} {wrong}", right)


def crews_stopped(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line for each task for whose time a crew has too few people left to lay a mat."""
    least = scenario.laying.overhead + scenario.laying.team_size + 1
    for task in scenario.task:
        crew = next((crew for crew in scenario.crew if crew.name == task.lender), None)
        people = task.people or task.team
        if crew is not None and 0 <= crew.people - people < least:
            wrong = f"leave crew {crew.name} with {crew.people - people}, fewer than the {least} who lay a mat: it stops"
            right = "write fewer, or give the task a gang, if it must not"
            yield Mistake(f"task.{step_name(task.name)}.people", wrong, right)
