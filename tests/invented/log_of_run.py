"""The log that a foreman would have kept of a run: shift by shift what was laid and came, and at last how things stand."""

from __future__ import annotations

import csv
import io
import math
from bisect import bisect_left
from collections.abc import Iterator
from datetime import datetime, timedelta
from operator import itemgetter
from typing import TYPE_CHECKING

from rows_of_run import RowsOfRun
from state_of_run import state_of_run

from simulation.conditions.clock.calendar import DARK
from simulation.construction.plan.field_state import AT_PORT, LOADING, TRUCK_AT, UNLOADING, FieldState
from simulation.construction.plan.steps import ACTOR, EDGE, END, KIND, OF_LAYING, START, WORK
from simulation.construction.running import Finished
from simulation.construction.site_log.entries import shifts_of_log
from simulation.construction.trace.links import clock_of
from simulation.scenario.site_log.log_columns import COLUMNS

if TYPE_CHECKING:
    from simulation.scenario import Scenario

Row = dict[str, object]
_START = itemgetter(START)


def log_of_run(scenario: Scenario, run: Finished, at: float, stock: bool = True) -> str:
    """Return the log of a run that was left at a moment, as CSV.

    Parameters
    ----------
    scenario : Scenario
        That the run is of.
    run : Finished
        See `simulate`, `until`.
    at : float
        The moment, a whole number of seconds.
    stock : bool
        Whether somebody counts, at the moment, all that a log can say: trucks on the road, open mats, graded ground. Without, it
        holds what foremen note as a rule.
    """
    rows = [*_shifts(scenario, run, at), *_days(scenario, run, at)]
    rows.sort(key=lambda row: (str(row["date"]), str(row["shift"])))
    if stock:
        rows += _count(scenario, run, at)
    names = [column.name for column in COLUMNS if column.written or any(column.name in row for row in rows)]
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def _shifts(scenario: Scenario, run: Finished, at: float) -> Iterator[Row]:
    """Yield a line for each crew, shift and laying edge with rows."""
    rows, starts = RowsOfRun(run), scenario.starts
    laying = scenario.shifts.of("laying")
    for party, crew in enumerate(run.crews):
        kept = shifts_of_log(scenario.crew[party].shift or laying, starts, scenario.horizon)
        begins = [0.0, *(start for start, _ in kept[1:])]
        for number, (_, end) in enumerate(kept):
            start, until = begins[number], begins[number + 1] if number + 1 < len(begins) else math.inf
            if start >= at:
                break
            close = min(until, at)
            laid = [(rows.last_row(edge, crew.number, start, close), edge) for edge in range(len(run.site.edges))]
            for moment, edge in sorted(laid):  # where the crew was last comes last
                count = rows.by_crew(edge, start, close).get(crew.number, 0) if moment >= 0.0 else 0
                if count:
                    yield _line(scenario, run, party, edge, count, (max(start, kept[number][0]), min(end, close)))


def _line(scenario: Scenario, run: Finished, crew: int, edge: int, rows: int, span: tuple[float, float]) -> Row:
    start, end = span
    plan = run.site.plan
    area, side = edge_of(run, edge)
    day = scenario.starts + timedelta(hours=start)
    return {
        "date": f"{day:%Y-%m-%d}",
        "shift": f"{_clock(day)}-{_clock(scenario.starts + timedelta(hours=end), start < end)}",
        "crew": plan.crews[crew].name,
        "people": plan.crews[crew].people,
        "area": area,
        "side": side,
        "rows": rows,
        "hours worked": f"{min(_hours_at_work(scenario, run, crew, edge, span), end - start):.3f}",
    }


def _hours_at_work(scenario: Scenario, run: Finished, crew: int, edge: int, span: tuple[float, float]) -> float:
    """Return the hours of the clock in which a crew laid rows, set key strips or put rows right at a laying edge."""
    shift = scenario.crew[crew].shift or scenario.shifts.of("laying")
    slower = (DARK,) if shift.lighting else ()  # at night hours are worked, if at a lower rate
    hours, trace = 0.0, run.site.trace
    for step in trace[: bisect_left(trace, span[1], key=_START)]:
        if step[ACTOR] != run.crews[crew].number or step[EDGE] != edge or step[KIND] not in OF_LAYING or step[END] <= span[0]:
            continue
        start, end = max(step[START], span[0]), min(step[END], span[1])
        clock = clock_of(step, run.site.clocks)
        lost = {} if clock is None or step[END] - step[START] == step[WORK] else clock.losses(start, end)
        hours += end - start - sum(lost[cause] for cause in lost if cause not in slower)
    return max(hours, 0.0)


def _days(scenario: Scenario, run: Finished, at: float) -> Iterator[Row]:
    """Yield a line for each day on which pallets came."""
    midnight = run.site.plan.supply.midnight - 24.0
    for day in range(math.ceil((at - midnight) / 24.0)):
        low, high = midnight + 24.0 * day, midnight + 24.0 * (day + 1)
        came = sum(len(load.luck) for load in run.board.arrived if low <= load.came[END] + 1e-9 < high and load.came[END] <= at)
        if came:
            date = scenario.starts + timedelta(hours=low)
            yield {"date": f"{date:%Y-%m-%d}", "shift": "", "pallets received": came}


def _count(scenario: Scenario, run: Finished, at: float) -> list[Row]:
    """Return the lines of a count at the moment: one for each laying edge, and one for the site."""
    state, plan = state_of_run(run, at), run.site.plan
    moment = scenario.starts + timedelta(hours=at)
    head = {"date": f"{moment:%Y-%m-%d}", "shift": _clock(moment)}
    lines: list[Row] = []
    for number, edge in enumerate(state.edges):
        area, side = edge_of(run, number)
        lines.append(
            {
                **head,
                "area": area,
                "side": side,
                "key strips": sum(row < edge.laid for row in plan.edges[number].strips) + edge.strip_set,
                "rows graded": f"{edge.graded or 0.0:.2f}",
                "staged": edge.staged,
                "full mats open": edge.open_full,
                "half mats open": edge.open_half,
                "rail sections": edge.sections,
            }
        )
    lines.append(
        {
            **head,
            "mats rejected": state.rejected[0],
            "half mats rejected": state.rejected[1],
            "forklifts up": sum(since is None for since in state.forklifts),
            "yard": state.yard,
            "sky": "" if state.wet is None else "wet" if state.wet else "dry",
            "under way": " / ".join(_under_way(scenario, run, state)),
        }
    )
    return lines


def _under_way(scenario: Scenario, run: Finished, state: FieldState) -> Iterator[str]:
    def moment_of(hour: float) -> str:
        return f"{scenario.starts + timedelta(seconds=round(3600.0 * hour)):%Y-%m-%dT%H:%M:%S}"

    plan = run.site.plan
    for fleet, trucks in enumerate(state.trucks, 1):
        for number, truck in enumerate(trucks, 1):
            if truck.stage != AT_PORT:
                carries = f" {truck.pallets} pallets" if LOADING <= truck.stage <= UNLOADING else ""
                yield f"truck {fleet}.{number} {TRUCK_AT[truck.stage]} {moment_of(truck.since)}{carries}"
    for number, brought in enumerate(state.shipments, 1):
        if brought != 0:
            yield f"shipment {number} never comes" if brought is None else f"shipment {number} brought {brought} pallets"
    for pallets in state.loads:
        yield f"load of {pallets} pallets"
    for number, since in enumerate(state.forklifts, 1):
        if since is not None:
            yield f"forklift {number} down {moment_of(since)}"
    for pallets, since in state.orders:
        yield f"ordered {pallets} pallets {moment_of(since)}"
    for milestone, reached, swept in zip(plan.milestones, state.reached, state.swept_since, strict=True):
        if reached is not None:
            yield f"reached {milestone.name} {moment_of(reached)}"
        elif swept is not None:
            yield f"sweeping {milestone.name} {moment_of(swept)}"
    for area in run.site.areas:
        if area.prepared is not None and area.prepared.triggered:
            yield f"prepared {area.plan.name}"
    for number, edge in enumerate(state.edges):
        if edge.end_stands:
            yield " ".join(("temporary end", *filter(None, edge_of(run, number))))
    for follows, done in zip(plan.follows, state.followed, strict=True):
        if done:
            yield f"done {done} of {follows.name}"


def edge_of(run: Finished, edge: int) -> tuple[str, str]:
    """Return the area and the side of a laying edge, as a log names them."""
    plan = run.site.plan
    area = plan.areas[plan.edges[edge].area]
    return area.name, "" if len(area.edges) == 1 else "high" if plan.edges[edge].upward else "low"


def _clock(moment: datetime, ends: bool = False) -> str:
    if ends and not (moment.hour or moment.minute or moment.second):
        return "24:00"
    return f"{moment:%H:%M:%S}" if moment.second else f"{moment:%H:%M}"
