"""Which tasks can never be done: for want of a gang, of people, of what they need first, or because they wait for each other?"""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.rules.stretches import stretch_within
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.tasks import FROM_CREW, Gang, Need, Task
from simulation.scenario.types.mistakes import Mistake, did_you_mean, listed
from simulation.scenario.types.unreadable import UNREAD


def gang_known(here: str, task: Task, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where nobody does a task: no such gang, or one too small for a single team."""
    gangs = {gang.name: gang for gang in scenario.gang}
    if task.gang is None:
        if task.people is not None and task.people < task.team:
            wrong = f"{task.people} are fewer than the {task.team} who work at one piece, so nobody could do it"
            yield Mistake(f"{here}.people", wrong, f"write at least {task.team}")
        return
    if task.lender is not None:
        yield from _crew_lends(here, task, scenario)
        return
    if task.people is not None:
        yield Mistake(f"{here}.people", "stands beside gang, which says how many there are", "leave one of the two out")
    if task.gang not in gangs:
        right = did_you_mean(task.gang, gangs) if gangs else f'add [[gang]] with name = "{task.gang}" and its people'
        yield Mistake(f"{here}.gang", f'there is no gang "{task.gang}", so nobody would do it', right)
    elif gangs[task.gang].people < task.team:
        wrong = f"{task.team} work at one piece, and gang {task.gang} has {gangs[task.gang].people}, so nobody could do it"
        yield Mistake(f"{here}.team", wrong, f"write at most {gangs[task.gang].people}, or a larger gang")


def _crew_lends(here: str, task: Task, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where the crew that lends people is not there, or cannot lend so many."""
    crews = {crew.name: crew.people for crew in scenario.crew}
    lender, people = str(task.lender), task.people or task.team
    if lender not in crews:
        right = did_you_mean(str(task.gang), [f"{FROM_CREW}{crew}" for crew in crews])
        yield Mistake(f"{here}.gang", f'there is no crew "{lender}", so nobody would do it', right)
    elif people > crews[lender]:
        wrong = f"crew {lender} has {crews[lender]}, so nobody could do it"
        yield Mistake(f"{here}.people", wrong, f"write at most {crews[lender]}")
    if people < task.team:
        wrong = f"{people} are fewer than the {task.team} who work at one piece, so nobody could do it"
        yield Mistake(f"{here}.people", wrong, f"write at least {task.team}")


def gang_has_tasks(here: str, gang: Gang, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where a gang has nothing to do, or is called as people of a crew are."""
    if gang.name.startswith(FROM_CREW):
        yield Mistake(f"{here}.name", f'"{gang.name}" means people of a crew', "give the gang another name")
        return
    if gang.name not in {task.gang for task in scenario.task}:
        yield Mistake(here, "no task is done by this gang", f'write gang = "{gang.name}" in a task, or leave the gang out')


def needs_met(here: str, task: Task, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each need of a task that nothing could meet, and where it is done nowhere."""
    areas = [area.name for area in scenario.area]
    if task.area is not None and task.area not in areas:
        yield Mistake(f"{here}.area", f'there is no area "{task.area}"', did_you_mean(task.area, areas))
    for number, need in enumerate(task.after, 1):
        yield from _need(f"{here}.after.{number}", need, task, scenario)


def _need(key: str, need: Need, task: Task, scenario: Scenario) -> Iterator[Mistake]:
    asked = sum(given is not None for given in (need.area, need.task, need.load, need.shipment, need.date))
    if asked != 1:
        wrong = f"names {'more than one' if asked else 'none'} of area, task, load, shipment and date"
        yield Mistake(key, wrong, "write one of them, and each need by itself")
        return
    if need.area is None and not need.start is need.to is need.row is None:
        yield Mistake(key, "names part of an area, and no area", "leave out from, to and row")
    if need.load is not None or need.date is not None:
        return
    if need.shipment is not None:
        names = [shipment.name for shipment in scenario.supply.shipments if shipment.name is not None]
        if need.shipment not in names:
            right = (
                did_you_mean(need.shipment, names) if names else f'write name = "{need.shipment}" in one of [[supply.shipments]]'
            )
            yield Mistake(f"{key}.shipment", f'there is no shipment "{need.shipment}"', right)
        return
    if need.task is not None:
        tasks = {task.name for task in scenario.task}
        if need.task == task.name:
            yield Mistake(f"{key}.task", "is the task itself, so it would never begin", "leave it out")
        elif need.task not in tasks:
            yield Mistake(f"{key}.task", f'there is no task "{need.task}"', did_you_mean(need.task, tasks - {task.name} or tasks))
        return
    area = next((area for area in scenario.area if area.name == need.area), None)
    unit, depth = scenario.measures.length, scenario.mat.row_depth
    if area is None:
        yield Mistake(
            f"{key}.area", f'there is no area "{need.area}"', did_you_mean(str(need.area), [a.name for a in scenario.area])
        )
    elif need.row is not None:
        if not need.start is need.to is None:
            yield Mistake(f"{key}.row", "stands beside from or to", "write one or the other")
        if need.row > (rows := round(area.length / depth)):
            yield Mistake(f"{key}.row", f"{area.name} has {rows} rows, so row {need.row} is never laid", f"write 1 to {rows}")
    else:
        low, high = need.start or 0.0, area.length if need.to is None else need.to
        yield from stretch_within(key, low, high, area, unit, ", so it is never laid")


def rings(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each ring of tasks that wait for each other."""
    needs = {
        task.name: [need.task for need in task.after if need.task is not None]
        for task in scenario.task
        if task.name is not UNREAD
    }
    seen: set[str] = set()
    done: set[str] = set()
    for first in needs:
        way: list[str] = []
        open_needs = [iter([first])]
        while open_needs:
            name = next(open_needs[-1], None)
            if name is None:
                open_needs.pop()
                if way:
                    done.add(way.pop())
            elif name in way:
                ring = way[way.index(name) :]
                if len(ring) > 1 and not seen & set(ring):
                    seen |= set(ring)
                    wrong = f"these tasks wait for each other, so none would begin: {listed([*ring, name])}"
                    yield Mistake(f"task.{name}.after", wrong, "leave one of these needs out")
            elif name in needs and name not in done:
                way.append(name)
                open_needs.append(iter(needs[name]))
