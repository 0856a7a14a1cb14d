"""What is left to do when all rows lie, until the field is open? Ramps, tie-downs, tasks, the final sweep: whose, how long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from simulation.construction import Finished
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.plan_parts import FollowPlan
from simulation.construction.plan.steps import (
    ACTOR,
    BACKFILL,
    CLOSING,
    DRILL,
    END,
    GRADERS,
    KIND,
    KINDS,
    START,
    SWEEP,
    TASK,
    WORK,
    Step,
)
from simulation.construction.trace.links import SLACK, clock_of
from simulation.construction.trace.task_times import list_tasks
from simulation.scenario.types.spans import join_spans

#: Kinds of work that follow the rows.
FOLLOWING = (DRILL, BACKFILL, TASK, CLOSING)


@dataclass(frozen=True)
class AfterRows:
    """One piece of work that ended after the last row lay; hours count from the start.

    Attributes
    ----------
    name : str
        Kind of work.
    what : str
        Of what: a ramp, the tie-downs of an area, a milestone.
    whose : str
    spans : tuple of (float, float)
        When it was worked at.
    hours : float
        Of work, at full rate.
    """

    name: str
    what: str
    whose: str
    spans: tuple[tuple[float, float], ...]
    hours: float


def list_after_rows(run: Finished, done: list[Step], last_row: float) -> tuple[AfterRows, ...]:
    """Return the work of a run that ended after its last row, in the order in which it began."""
    by_actor: dict[tuple[int, int], list[Step]] = {}
    for step in done:
        if step[KIND] in FOLLOWING:
            by_actor.setdefault((step[KIND], step[ACTOR]), []).append(step)
    rows, tasks = [], list_tasks(run)
    for (kind, actor), steps in by_actor.items():
        if max(step[END] for step in steps) <= last_row:
            continue
        if kind == TASK:
            whose = name_gang(run.site.plan, tasks[actor])
        else:
            whose = "grading gangs" if KINDS[kind].owner == GRADERS else "laying crews"
        what = run.actors[actor].name
        spans = tuple(join_spans((span for step in steps for span in _worked(run, step)), SLACK))
        rows.append(AfterRows(KINDS[kind].name, what, whose, spans, sum(step[WORK] for step in steps)))
    return tuple(sorted(rows, key=lambda row: (row.spans[:1], row.name != SWEEP)))


def name_gang(plan: Plan, task: FollowPlan) -> str:
    """Return whose work a task is: the gang's, by its name, or that of a gang of its own."""
    gang = plan.gangs_of_tasks[task.gang or 0]
    if gang.crew is not None:
        return f"{task.people} of crew {plan.crews[gang.crew].name}"
    return "a gang of its own" if gang.name == task.name else f"gang {gang.name}"


def _worked(run: Finished, step: Step) -> Iterator[tuple[float, float]]:
    """Yield from when to when a step was worked at: its clock stands in between."""
    clock, at = clock_of(step, run.site.clocks), step[START]
    while clock is not None and step[WORK] > 0.0:
        low, high = clock.stretch(at)
        if low >= step[END]:
            return
        at = min(high, step[END])
        yield low, at
