"""Why did the run take as long as it did? The chain of steps that drove a milestone, and its hours by cause.

Every step knows the step whose end let it start, so walking back from a milestone (`links`) gives a chain without gaps to the
start. Each hour of it belongs to one cause: the work of that step, or what its clock lost in the meantime. Hours off shift are
told by whose shift it is. The causes sum to the milestone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from simulation.conditions import WorkClock
from simulation.conditions.clock.calendar import DARK, FATIGUE, FLYING, OFF_SHIFT
from simulation.conditions.stops.weather_limits import COLD, HEAT, LIGHTNING, MUD, RAIN, WIND
from simulation.construction.plan.steps import (
    ACTOR,
    BECAUSE,
    CLOSED,
    DAILY_LIMIT,
    END,
    ENDS,
    KIND,
    KINDS,
    LATE_START,
    NOT_DELIVERED,
    OFF_WORK,
    REPAIR,
    SHIPS,
    START,
    TAKE_UP,
    TASK,
    TIMETABLE,
    WORK,
    Step,
)
from simulation.construction.trace.links import SLACK, clock_of, links_back
from simulation.construction.trace.task_times import list_tasks

if TYPE_CHECKING:
    from simulation.construction.plan.plan import CrewPlan, Plan
    from simulation.construction.running import Finished

#: What a clock loses hours to, in the order of precedence.
LOSSES = (OFF_SHIFT, DARK, FATIGUE, LIGHTNING, RAIN, WIND, MUD, HEAT, COLD)
#: Clock of a kind of work -> what hours off its shift are called.
OFF_SHIFT_OF = {
    "laying": "off shift, crews",
    "forklift": "off shift, forklifts",
    "repair": "off shift, forklifts",
    "haul": "off shift, trucks",
    "port": "off shift, trucks",
    "grading": "off shift, grading",
}
#: The hours before the moment at which a run begins, where the work had begun.
PAST = "time already past"
#: What taking up has in common with laying.
_OF_BOTH = tuple(KINDS[kind] for kind in (OFF_WORK, REPAIR, DAILY_LIMIT, TIMETABLE, LATE_START))
#: Everything that an hour of a chain can be charged to, besides tasks and the hours off shift of whoever keeps own hours.
CAUSES = (*(kind.name for kind in KINDS[1:-2] if not kind.only), *dict.fromkeys(OFF_SHIFT_OF.values()), *LOSSES[1:])
#: The parts of the time to a milestone that a record tells apart: what held up a run at first is not what held it up at last.
THIRDS = ("early", "middle", "late")
_CLOCKS = tuple(kind.clock for kind in KINDS)
_NAMES = (PAST, *(kind.name for kind in KINDS[1:]))


def list_causes(plan: Plan) -> tuple[str, ...]:
    """Return everything that an hour of a chain of a plan's runs can be charged to."""
    of_crews = dict.fromkeys(_off_shift_of(crew) for crew in plan.crews if crew.clock != "laying")
    of_tasks = dict.fromkeys(task_cause(work.name) for work in plan.follows if work.kind == TASK)
    if of_tasks:
        of_tasks |= dict.fromkeys((KINDS[NOT_DELIVERED].name, *_off_shift_of_gangs(plan).values()))
    if plan.take_up is not None:
        kinds = (*_only_with(TAKE_UP), *(kind.name for kind in _OF_BOTH))
        if plan.take_up.ships:
            kinds = (*kinds, *_only_with("shipments")[:1], *_only_with(SHIPS))
        return (*kinds, *dict.fromkeys(OFF_SHIFT_OF.values()), *LOSSES[1:], *of_crews)
    on_its_way = tuple(name for part in ("arrivals", "shipments") if getattr(plan.supply, part) for name in _only_with(part))
    flying = (*(() if plan.flying is None else (FLYING,)), *(_only_with(ENDS) if plan.ends else ()))
    # A crew that keeps hours of its own and lends people to tasks has them in both lists.
    return tuple(dict.fromkeys((*CAUSES, *of_crews, *of_tasks, *on_its_way, *flying, *(() if plan.state is None else (PAST,)))))


def _only_with(part: str) -> tuple[str, ...]:
    """Return the names of the kinds of work that nobody does without a part of a plan."""
    return tuple(kind.name for kind in KINDS if kind.only == part)


def is_off_shift(cause: str) -> bool:
    """Return whether a cause is the hours off a shift, of whomever."""
    return cause.startswith(OFF_SHIFT)


def is_task(cause: str) -> bool:
    """Return whether a cause is work at a task."""
    return cause.startswith(f"{KINDS[TASK].name} ")


def of_calendar(cause: str) -> bool:
    """Return whether a cause is hours that shifts and the sun leave to nobody, or that are past."""
    return cause in (DARK, PAST) or is_off_shift(cause)


def task_cause(name: str) -> str:
    """Return the cause that the hours of work at a task are charged to."""
    return f"{KINDS[TASK].name} {name}"


def _off_shift_of_gangs(plan: Plan) -> dict[int, str]:
    """Return what the hours off shift are called of gangs that keep hours of their own."""
    return {
        number: f"{OFF_SHIFT}, gang {gang.name}" if gang.crew is None else _off_shift_of(plan.crews[gang.crew])
        for number, gang in enumerate(plan.gangs_of_tasks)
        if gang.own_hours
    }


def _off_shift_of(crew: CrewPlan) -> str:
    return f"{OFF_SHIFT}, crew {crew.part_of or crew.name}"


def chain_back(step: Step) -> Iterator[Step]:
    """Yield the steps each of whose ends let the one before it in this order start, back from `step` to the start."""
    link: Step | None = step
    while link is not None:
        yield link
        link = link[BECAUSE]


def hours_by_cause(step: Step, run: Finished, until: float | None = None) -> dict[str, float]:
    """Return the hours of the chain that drove `step`, by cause.

    Parameters
    ----------
    step : Step
        The last step of a milestone, or one that is under way.
    run : Finished
        The run that it is of.
    until : float, optional
        Where the chain ends. Default: the end of the step.

    Returns
    -------
    dict of str to float
        Keys among `list_causes` its plan; the values sum to the step's end, or to `until`.
    """
    return _charged(step, run, (), until)[0]


def hours_by_third(step: Step, run: Finished, until: float | None = None) -> tuple[dict[str, float], ...]:
    """Return the hours of the chain that drove `step`, by cause, of each third of the time to its end.

    Returns
    -------
    tuple of dict
        One for each of `THIRDS`, as from `hours_by_cause`; the values of each sum to a third of the time. A step that goes on
        from one third into the next is split there, its losses by when its clock lost them. Where the work had begun, thirds are
        of the time from then on, and the first holds what was past as well.
    """
    whole = step[END] if until is None else until
    began = min(run.site.zero[END], whole)
    left = whole - began
    return tuple(_charged(step, run, (began + left / 3.0, began + 2.0 * left / 3.0), until))


def losses(step: Step, clocks: dict[str, WorkClock]) -> dict[str, float]:
    """Return the hours between a step's start and end that its clock lost, by cause."""
    clock = None if step[END] - step[START] == step[WORK] else clock_of(step, clocks)
    return {} if clock is None else clock.losses(step[START], step[END])


def _charged(step: Step, run: Finished, borders: tuple[float, ...], until: float | None) -> list[dict[str, float]]:
    """Return the hours of the chain by cause, up to the first of the rising `borders`, from there to the next, and so on."""
    clocks = run.site.clocks
    crews = {crew.number: _off_shift_of(crew.plan) for crew in run.crews if crew.plan.clock != "laying"}
    tasks: dict[int, str] = {}
    if run.site.gangs:
        off_of_gang = _off_shift_of_gangs(run.site.plan)
        for actor, task in list_tasks(run).items():
            tasks[actor] = task_cause(task.name)
            if task.gang in off_of_gang:
                crews[actor] = off_of_gang[task.gang]
    parts = [_Part(since, tasks) for since in (0.0, *borders)]
    ahead = parts.copy()
    part = ahead.pop()
    for link, start, end in links_back(step, run, until):
        kind = link[KIND]
        whole = link[END] - link[START] - link[WORK] <= SLACK
        if whole and start >= part.since and kind != TASK:  # most links, so without a call
            part.work[kind] += end - start
            continue
        clock = None if whole else clock_of(link, clocks)
        off = crews.get(link[ACTOR]) or OFF_SHIFT_OF[_CLOCKS[kind] or "laying"]  # only crews have clocks of their own
        while start < part.since:
            if end > part.since:
                part.charge(link, part.since, end, clock, off)
                end = part.since
            part = ahead.pop()
        part.charge(link, start, end, clock, off)
    return [part.by_cause() for part in parts]


class _Part:
    """The hours of a chain from one moment on, by kind of work and by what clocks lost hours to."""

    def __init__(self, since: float, tasks: dict[int, str]) -> None:
        self.since, self.tasks = since, tasks
        self.at_tasks: dict[str, float] = {}
        self.work = [0.0] * len(KINDS)
        self.lost: dict[str, float] = {}

    def spend(self, link: Step, hours: float) -> None:
        """Charge hours of a step to its work: that of a task to the task."""
        if link[KIND] == TASK:
            name = self.tasks[link[ACTOR]]
            self.at_tasks[name] = self.at_tasks.get(name, 0.0) + hours
        elif link[KIND] == CLOSED:  # as what a clock loses to flying
            self.lost[FLYING] = self.lost.get(FLYING, 0.0) + hours
        else:
            self.work[link[KIND]] += hours

    def charge(self, link: Step, start: float, end: float, clock: WorkClock | None, off: str) -> None:
        """Charge what lies of a step between two moments: what `clock` lost to the causes of that, the rest to its work.

        `off` is what hours off its shift are called.
        """
        spent = end - start
        if clock is not None:
            for cause, hours in clock.losses(start, end).items():
                name = off if cause == OFF_SHIFT else cause
                self.lost[name] = self.lost.get(name, 0.0) + hours
                spent -= hours
        self.spend(link, spent)

    def by_cause(self) -> dict[str, float]:
        """Return the hours that were charged by cause."""
        return {name: hours for name, hours in zip(_NAMES, self.work, strict=True) if hours > SLACK} | self.at_tasks | self.lost


def tied_share(step: Step, trace: Iterable[Step]) -> float:
    """Return the share of a chain's hours that another chain could claim as well.

    Where an actor's own last step and the step that it waited for end at the same moment, either could be called the cause; the
    fixed order of actors chose. The hours of such a step are counted.
    """
    ended: set[tuple[int, float]] = {(step[ACTOR], step[END]) for step in trace}
    tied = 0.0
    for link in chain_back(step):
        because = link[BECAUSE]
        if because is not None and because[ACTOR] != link[ACTOR] and (link[ACTOR], link[START]) in ended:
            tied += because[END] - because[START]
    return tied / step[END] if step[END] > 0 else 0.0
