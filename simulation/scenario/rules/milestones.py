"""Which milestones could never be reached, or do not say what they ask for?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simulation.scenario.rules.stretches import stretch_within
from simulation.scenario.tables.ground import Milestone
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.take_up import TakeUpMilestone
from simulation.scenario.types.mistakes import Mistake, did_you_mean


def asks_once(here: str, milestone: Milestone, _: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where a milestone asks for nothing, or for more than one thing."""
    asked = bool(milestone.areas) + (milestone.stretch is not None) + (milestone.usable is not None)
    if asked > 1:
        yield Mistake(here, "has more than one of areas, stretch and usable", "write one of them")
    elif not asked and not milestone.tasks:
        yield Mistake(here, "has none of areas, stretch, usable and tasks", "write what it asks for")


def stretch_laid(here: str, milestone: Milestone, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where the stretch of a milestone does not lie in an area."""
    if milestone.stretch is None:
        return
    start, to, name = milestone.stretch.start, milestone.stretch.to, milestone.stretch.area
    if name not in (names := [area.name for area in scenario.area]):
        yield Mistake(f"{here}.stretch.area", f'there is no area "{name}"', did_you_mean(name, names))
    for area in scenario.area:
        if area.name == name:
            yield from stretch_within(f"{here}.stretch", start, to, area, scenario.measures.length)


def milestone_tasks(here: str, milestone: Milestone, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each task of a milestone that there is not."""
    tasks = [task.name for task in scenario.task]
    for key, names in (("tasks", milestone.tasks), ("usable.with", milestone.usable.done if milestone.usable else ())):
        for name in (task for task in names if task not in tasks):
            right = did_you_mean(name, tasks) if tasks else f'add [[task]] with name = "{name}"'
            yield Mistake(f"{here}.{key}", f'there is no task "{name}"', right)


def usable_length(here: str, milestone: Milestone, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where a milestone asks for more of an area than there is."""
    usable = milestone.usable
    if usable is None:
        return
    area = next((area for area in scenario.area if area.name == usable.area), None)
    unit = scenario.measures.length
    if area is None:
        names = [area.name for area in scenario.area]
        yield Mistake(f"{here}.usable.area", f'there is no area "{usable.area}"', did_you_mean(usable.area, names))
    elif usable.length > area.length + 1e-6:
        wrong = f"{unit.text(usable.length)} is more than {area.name} is long, {unit.text(area.length)}"
        yield Mistake(f"{here}.usable.length", wrong, f"write at most {unit.quoted(area.length)}")


def flying_sound(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where it is not clear from when on an area is flown from, or which."""
    if scenario.takes_up:  # nobody flies from a field that is taken up: what its file says of that is of laying
        return
    flying, areas = scenario.flying, [area.name for area in scenario.area]
    names = [milestone.name for milestone in scenario.milestones]
    if flying.since is None:
        for key in ("area", "windows", "movements"):
            if getattr(flying, key):
                wrong = "is written, but nothing says from when on the field is flown from"
                yield Mistake(f"flying.{key}", wrong, "write from, the name of a milestone, or leave it out")
    elif flying.since not in names:
        yield Mistake("flying.from", f'there is no milestone "{flying.since}"', did_you_mean(flying.since, names))
    elif flying.area is not None and flying.area not in areas:
        yield Mistake("flying.area", f'there is no area "{flying.area}"', did_you_mean(flying.area, areas))
    elif scenario.flown is None:
        yield Mistake("flying.area", "is missing, and the milestone names no area", "write the area that is flown from")


def ends_sound(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each milestone for which a temporary end is asked for and that there is not, or that none uses."""
    if scenario.temporary_end is None or scenario.takes_up:
        return
    milestones = {milestone.name: milestone for milestone in scenario.milestones}
    for name in scenario.temporary_end.milestones or ():
        if name not in milestones:
            right = did_you_mean(name, list(milestones))
            yield Mistake("temporary_end.milestones", f'there is no milestone "{name}"', right)
        elif not scenario.used_at(milestones[name]):
            wrong = f"{name} asks for no usable length, and the field is not flown from since then"
            yield Mistake("temporary_end.milestones", wrong, "write usable in it, or flying.from, or leave it out")


def choice_known(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where the best plan is sought for a milestone that there is not."""
    name, names = scenario.choose.milestone, [milestone.name for milestone in scenario.milestones]
    if scenario.takes_up and name in [milestone.name for milestone in scenario.milestone]:
        return  # of laying, whose file it is as well
    if name is not None and name not in names:
        yield Mistake("choose.milestone", f'there is no milestone "{name}"', did_you_mean(name, names))


def ready_once(key: str, milestones: Sequence[Milestone | TakeUpMilestone]) -> Iterator[Mistake]:
    """Yield a mistake unless exactly one of several milestones is that which answers count to."""
    count = sum(bool(milestone.ready) for milestone in milestones)
    if len(milestones) > 1 and count != 1:
        yield Mistake(key, f"{count} milestones say ready = true", "let exactly one say it")
