"""What is a run at when its horizon comes first? What is left to lay, what is not there for it, and who waits for what."""

from __future__ import annotations

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import (
    ACTOR,
    BAND,
    BRING_IN,
    CONNECT,
    DAILY_LIMIT,
    DIG_OUT,
    DISCHARGE,
    DRAW_OUT,
    DRIVE_BACK,
    DRY_SPELL,
    EDGE,
    END,
    ENDS_OFF,
    FEED,
    FREE_ROW,
    FREE_STRIP,
    GRADE_AGAIN,
    GRADING,
    HAUL,
    HAUL_AWAY,
    KIND,
    LATE_START,
    LIFT,
    LOAD,
    LOAD_OUT,
    MAKE_END,
    MOVE,
    OFF_WORK,
    ON_BOARD,
    OPEN_TO_RAIN,
    RAIL,
    RAIL_MISSING,
    RAIL_UP,
    REPAIR,
    RESUPPLY,
    ROW,
    SHIPMENT,
    SHORT_SECTION,
    SORT,
    START,
    STARTER,
    STRIPS_MISSING,
    TAMP,
    TASK,
    TIE_DOWNS_OFF,
    TIMETABLE,
    UNCOUPLE,
    UNLOAD,
    UNLOAD_AWAY,
    WAY_BACK,
    WET_SPELL,
    Step,
)
from simulation.construction.running import Finished
from simulation.construction.site.edges.waits import (
    BOTH_MATS,
    CONNECTED,
    FULL_MATS,
    GROUND,
    HALF_MATS,
    OTHER_END,
    PEOPLE,
    RAIL_AHEAD,
    SHORT_RAIL,
    STRIPS,
    WHEN_UP,
    waited_for,
)
from simulation.construction.trace.balance import balances

#: What may be under way when something is waited for, what is nearest to the work at a laying edge first.
_MATS = (
    (FEED, MOVE),
    (UNLOAD,),
    (OFF_WORK, REPAIR),
    (HAUL, TIMETABLE, DISCHARGE, SHIPMENT, RESUPPLY, DAILY_LIMIT, LOAD, WAY_BACK),
    (LATE_START,),
)
_BRINGS: dict[str, tuple[tuple[int, ...], ...]] = {
    FULL_MATS: _MATS,
    HALF_MATS: _MATS,
    BOTH_MATS: _MATS,
    GROUND: ((GRADING, GRADE_AGAIN), (LATE_START,)),
    RAIL_AHEAD: ((RAIL, TAMP), (RAIL_MISSING,), (GRADING,)),
    SHORT_RAIL: ((SHORT_SECTION, RAIL, TAMP),),
    STRIPS: ((STRIPS_MISSING,), *_MATS[1:]),
    CONNECTED: ((CONNECT, STARTER),),
    PEOPLE: ((TASK,),),
    OTHER_END: ((MAKE_END,), (ROW,)),
}
#: What a field that is taken up waits for, what comes first on the way out first.
_OUT = (
    (LIFT, DRAW_OUT, FREE_ROW, FREE_STRIP, UNCOUPLE, RAIL_UP, TIE_DOWNS_OFF, ENDS_OFF),
    (SORT, BAND, DIG_OUT),
    (BRING_IN, OFF_WORK, REPAIR),
    (LOAD_OUT,),
    (HAUL_AWAY, UNLOAD_AWAY, DRIVE_BACK, ON_BOARD, SHIPMENT, DAILY_LIMIT),
    (LATE_START,),
)
#: What is kept of a run that its horizon outran, besides the laying edges that wait.
LEFT = ("share of field", "full mats", "half mats", "full mats lacking", "half mats lacking", "pallets to come")


def left_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_left` returns."""
    return (*(f"left.{name}" for name in LEFT), *(f"left.waits for {what}" for what in waited_for(plan)))


def measure_left(run: Finished) -> tuple[float, ...]:
    """Return what is left at the end of a run, in the order of `left_columns`: mats to be laid, and how many are not there.

    A laying edge that waits counts as one under what it waits for; of a field that is taken up, `share of field` still lies.
    """
    if run.up is not None:
        waits = [what for _, what, _, event in run.site.waits if not event.triggered]
        return (run.up.share_left(), *(0.0,) * (len(LEFT) - 1), *(float(waits.count(what)) for what in WHEN_UP))
    site, stock = run.site, run.stock
    rows = [(edge.rows, 2 * sum(edge.plan.full) + sum(edge.plan.half)) for edge in site.edges]
    field = sum(size for _, size in rows)
    laid = sum(size * edge.laid / count for (count, size), edge in zip(rows, site.edges, strict=True))
    need, lacking = [], []
    for kind, balance in enumerate(balances(run)):
        left = sum(sum((edge.full, edge.half)[kind][edge.taken : edge.rows]) for edge in site.edges)
        need.append(float(left + balance.in_work))
        lacking.append(float(max(0, left - balance.loose - balance.staged - balance.on_forks - balance.yard)))
    waiting = [what for edge, what, _, event in site.waits if not event.triggered and not site.edges[edge].done.triggered]
    return (
        1.0 - laid / field,
        *need,
        *lacking,
        float(stock.incoming),
        *(float(waiting.count(what)) for what in waited_for(site.plan)),
    )


def last_under_way(run: Finished) -> Step:
    """Return the step that readiness waits for when the last day simulated comes: from it a chain leads back like that of a
    milestone.
    """
    site, over = run.site, run.site.plan.horizon
    steps = [step for step in site.trace if step[KIND] not in (DRY_SPELL, WET_SPELL, OPEN_TO_RAIN)]  # nobody waits for these
    under_way = [step for step in steps[1:] if step[START] <= over <= step[END]]

    def first(kinds: tuple[int, ...], edge: int = -1) -> Step | None:
        candidates = [step for step in under_way if step[KIND] in kinds and (edge < 0 or step[EDGE] in (edge, -1))]
        return min(candidates, key=lambda step: step[END], default=None)

    if run.up is not None:
        candidates = (first(kinds) for kinds in _OUT)
        step = next((step for step in candidates if step is not None), None)
        return step if step is not None else max(steps, key=lambda step: min(step[END], over))
    for edge, what, _, event in site.waits:
        if event.triggered or site.edges[edge].done.triggered:
            continue
        for kinds in _BRINGS[what]:
            step = first(kinds, edge)
            if step is not None:
                return step
    crews = {crew.number for crew in run.crews}
    by_crews = [step for step in under_way if step[ACTOR] in crews]
    step = min(by_crews or under_way, key=lambda step: step[END], default=None)
    return step if step is not None else max(steps, key=lambda step: min(step[END], over))
