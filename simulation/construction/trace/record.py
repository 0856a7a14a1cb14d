"""What is kept of a run: one flat record of numbers, small enough to keep thousands, enough for every table and chart."""

from __future__ import annotations

import math

from simulation.conditions.clock.work_clocks import ANY_CREW
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import END
from simulation.construction.running import Finished
from simulation.construction.site.edges.waits import waited_for
from simulation.construction.trace.chain import THIRDS, hours_by_third, list_causes
from simulation.construction.trace.daily import AtWork, at_work, days_within
from simulation.construction.trace.not_laying import closing_hours, rest_in_turn, waited_at_edges
from simulation.construction.trace.outrun import last_under_way, left_columns, measure_left
from simulation.construction.trace.progress import PERCENTS, measure_progress
from simulation.construction.trace.taken_up import measure_taken_up, taken_up_columns
from simulation.construction.trace.task_times import (
    gang_columns,
    length_columns,
    measure_gangs,
    measure_lengths,
    measure_tasks,
    task_columns,
)
from simulation.construction.trace.temporary_ends import end_columns, measure_ends

Record = tuple[float, ...]

#: What is kept of each day.
_DAILY = ("crews.working", "crews.on shift", "forklifts.working", "forklifts.on shift")
#: What is kept of each crew's hours.
_OF_CREW = ("on shift", "working", "closing", "rest in turn")


def columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of a record's numbers, in order; times and spans are hours.

    ``milestone.NAME`` when it was reached, ``progress.PERCENT`` when so much of the field's square feet was laid: infinite where
    it was not. ``cause_of_time.THIRD.CAUSE`` hours of the ready milestone's chain of causes in the early, middle and late third
    of the
    time to it, or to the last day simulated where that came first; ``left.WHAT`` what was left then, and edges that waited, 0
    otherwise;
    ``use.ACTOR.ACTIVITY`` hours up to readiness; ``waited.WHAT`` hours on crews' shifts that laying edges waited, all together;
    ``short.KIND`` mats whose lack made somebody order more; ``rejected.mats``; ``gate.peak`` and ``gate.mean`` pallets that port
    and road let through on the busiest day, and a day;
    ``laying hours`` up to readiness on the laying clock, or on any crew's where some have shifts of their own;
    ``day.N.ACTORS.ACTIVITY`` hours of all crews or all forklifts together up to readiness on local day N, that of the start
    being 1, up to the last day simulated and at most 60; ``level.KEY`` as drawn; ``task.NAME.begins`` and ``task.NAME.ends``, and
    ``area.NAME.begins`` and ``area.NAME.ends`` of areas where there are tasks, with ``use.gang NAME.ACTIVITY`` of gangs;
    ``usable.MILESTONE.from`` and ``usable.MILESTONE.to`` feet from the low end of its area between which the length lay that a
    milestone asks for, when it first did, and ``length.AREA.PERCENT`` when so
    much of its rows lay without a gap; infinite where that was not; ``temporary ends.WHAT`` how many
    were made, and windows in which one was late. Where the field is taken up, ``progress`` is how much of it
    is up, ``gate`` what leaves, and ``up.STATE.WHAT`` and ``up.loads`` are what came back,
    ``up.most in yard`` pallets at once, and the hour since which they stood there.
    """
    return (
        *(f"milestone.{milestone.name}" for milestone in plan.milestones),
        *(f"progress.{percent}" for percent in PERCENTS),
        *(f"cause.{third}.{cause}" for third in THIRDS for cause in list_causes(plan)),
        *(f"use.crew {crew.name}.{activity}" for crew in plan.crews for activity in _OF_CREW),
        *(f"use.forklifts.{activity}" for activity in ("on shift", "working", "repair")),
        "short.full mats",
        "short.half mats",
        "rejected.mats",
        "gate.peak",
        "gate.mean",
        "laying hours",
        *(f"waited.{what}" for what in waited_for(plan)),
        *left_columns(plan),
        *(f"day.{day}.{what}" for day in range(1, days_within(plan) + 1) for what in _DAILY),
        *(f"level.{level.key}" for level in plan.levels),
        *task_columns(plan),
        *gang_columns(plan),
        *length_columns(plan),
        *end_columns(plan),
        *taken_up_columns(plan),
    )


def make_record(run: Finished) -> Record:
    """Return the record of a run, in the order of `columns`; drivers go up to the last day simulated where readiness was not
    reached.
    """
    site, stock = run.site, run.stock
    plan, clocks = site.plan, site.clocks
    last = site.reached[plan.ready]
    ready = math.inf if last is None else last[END]
    until = min(ready, plan.horizon)
    thirds, causes = hours_by_third(last if last is not None else last_under_way(run), run, until), list_causes(plan)
    laying = clocks.get(ANY_CREW, clocks["laying"]).worked(min(site.zero[END], until), until)
    hours = at_work(run, until)
    of_crews = zip(hours.crews_shift, hours.crews, closing_hours(run, until), rest_in_turn(run, until), strict=True)
    # A flight is booked at the gate before it lands: what lands after readiness is not of this record.
    days = {day: pallets for day, pallets in stock.through_gate.items() if day <= stock.day(until)}
    return (
        *(math.inf if step is None else step[END] for step in site.reached),
        *measure_progress(site),
        *(charged.get(cause, 0.0) for charged in thirds for cause in causes),
        *(number for of_crew in of_crews for number in of_crew),
        hours.forklifts_shift,
        hours.forklifts,
        hours.repair,
        float(stock.ordered_full),
        float(stock.ordered_half),
        float(stock.rejected_full + stock.rejected_half),
        float(max(days.values(), default=0)),
        sum(days.values()) / (max(days) - min(days) + 1) if days else 0.0,
        laying,
        *waited_at_edges(run, until),
        *(measure_left(run) if last is None else (0.0,) * len(left_columns(plan))),
        *_by_day(hours, days_within(plan)),
        *site.levels.values(),
        *measure_tasks(run),
        *measure_gangs(run, until),
        *measure_lengths(run),
        *measure_ends(run),
        *measure_taken_up(run),
    )


def _by_day(hours: AtWork, days: int) -> list[float]:
    """Return the numbers of so many days, in the order of `_DAILY`; after readiness there are none."""
    by_day = zip(hours.crews_by_day, hours.crews_shift_by_day, hours.forklifts_by_day, hours.forklifts_shift_by_day, strict=True)
    numbers = [number for of_day in by_day for number in of_day][: len(_DAILY) * days]
    return numbers + [0.0] * (len(_DAILY) * days - len(numbers))
