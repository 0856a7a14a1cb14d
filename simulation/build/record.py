"""What is kept of a build: one flat record of numbers, small enough to keep thousands, enough for every table and chart."""

from __future__ import annotations

import math

from simulation.build.chain import CAUSES, hours_by_cause
from simulation.build.plan import Plan
from simulation.build.running import Finished
from simulation.build.steps import ACTOR, END, FACE, REPAIR, START, WORK

Record = tuple[float, ...]


def columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of a record's numbers, in order; times and spans are hours.

    ``milestone.NAME`` when it was reached, infinite if it was not; ``driver.CAUSE`` hours of the ready milestone's driving chain;
    ``use.ACTOR.ACTIVITY`` hours up to readiness; ``short.KIND`` mats whose lack made somebody order more; ``rejected.mats``;
    ``gate.peak`` and ``gate.mean`` pallets that port and road let through on the busiest day, and a day; ``laying hours`` on the
    laying clock up to readiness; ``level.KEY`` as drawn.
    """
    return (
        *(f"milestone.{milestone.name}" for milestone in plan.milestones),
        *(f"driver.{cause}" for cause in CAUSES),
        *(f"use.crew {crew.name}.{activity}" for crew in plan.crews for activity in ("on shift", "working")),
        *(f"use.forklifts.{activity}" for activity in ("on shift", "working", "repair")),
        "short.full mats",
        "short.half mats",
        "rejected.mats",
        "gate.peak",
        "gate.mean",
        "laying hours",
        *(f"level.{level.key}" for level in plan.levels),
    )


def record_of(build: Finished) -> Record:
    """Return the record of a build, in the order of `columns`; drivers are not a number where readiness was not reached."""
    site, stock = build.site, build.stock
    plan, clocks = site.plan, site.clocks
    last = site.reached[plan.ready]
    ready = math.inf if last is None else last[END]
    until = min(ready, plan.horizon)
    charged = {} if last is None else hours_by_cause(last, clocks)
    missing = 0.0 if last is not None else math.nan
    laying, lifting = clocks["laying"].worked(0.0, until), clocks["forklift"].worked(0.0, until)
    crews, forklifts, repair = _busy(build, until)
    # A flight is booked at the gate before it lands: what lands after readiness is not of this record.
    days = {day: pallets for day, pallets in stock.through_gate.items() if day <= stock.day(until)}
    return (
        *(math.inf if step is None else step[END] for step in site.reached),
        *(charged.get(cause, missing) for cause in CAUSES),
        *(hours for busy in crews for hours in (laying, busy)),
        lifting * len(build.forklifts),
        forklifts,
        repair,
        float(stock.ordered_full),
        float(stock.ordered_half),
        float(stock.rejected_full + stock.rejected_half),
        float(max(days.values(), default=0)),
        sum(days.values()) / (max(days) - min(days) + 1) if days else 0.0,
        laying,
        *site.levels.values(),
    )


def _busy(build: Finished, until: float) -> tuple[list[float], float, float]:
    """Return the hours at work of each crew, of all forklifts, and the forklifts' hours under repair on their own clock."""
    busy = [0.0] * len(build.actors)
    trace, lifting = build.site.trace, build.site.clocks["forklift"]
    repair = 0.0
    for start, end, _, work, kind, actor, _, _ in trace:
        if end <= until and kind != REPAIR:
            busy[actor] += work
        elif kind == REPAIR:
            repair += lifting.worked(start, min(end, until))
    for crew in build.crews:
        for other, face, since in crew.merged:  # its people worked in the steps of the crew that it joined
            steps = (s for s in trace if s[ACTOR] == other and s[FACE] == face and s[START] >= since and s[END] <= until)
            busy[crew.number] += sum(step[WORK] for step in steps)
    return [busy[crew.number] for crew in build.crews], sum(busy[one.actor] for one in build.forklifts), repair
