"""What is left to do when all rows lie, until the field is open? Ramps, tie-downs, the final sweep: whose work, and how long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from simulation.construction import Finished
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
    WORK,
    Step,
)
from simulation.construction.trace.links import clock_of

#: Kinds of work that follow the rows.
FOLLOWING = (DRILL, BACKFILL, CLOSING)


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
    rows = []
    for (kind, actor), steps in by_actor.items():
        if max(step[END] for step in steps) <= last_row:
            continue
        whose = "grading gangs" if KINDS[kind].owner == GRADERS else "laying crews"
        what = run.actors[actor].name
        spans = tuple(span for step in sorted(steps) for span in _worked(run, step))
        rows.append(AfterRows(KINDS[kind].name, what, whose, spans, sum(step[WORK] for step in steps)))
    return tuple(sorted(rows, key=lambda row: (row.spans[:1], row.name != SWEEP)))


def _worked(run: Finished, step: Step) -> Iterator[tuple[float, float]]:
    """Yield from when to when a step was worked at: its clock stands in between."""
    clock, at = clock_of(step, run.site.clocks), step[START]
    while clock is not None and step[WORK] > 0.0:
        low, high = clock.stretch(at)
        if low >= step[END]:
            return
        at = min(high, step[END])
        yield low, at
