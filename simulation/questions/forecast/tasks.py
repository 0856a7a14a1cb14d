"""When does each task begin and end, and when and where is a length of an area first usable, over all runs?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from simulation.construction.trace.task_times import PARTS
from simulation.present.answer import Table
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.stats.quantiles import QuantileEstimate, estimate, order_statistic

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

#: Quantiles that a task's beginning and end are given at.
SHARES = (0.10, 0.50, 0.80, 0.90)


@dataclass(frozen=True)
class WorkForecast:
    """One task, or the laying of one area beside tasks, over all runs, in hours since the start.

    Attributes
    ----------
    name : str
    begins, ends : tuple of QuantileEstimate
        P10, P50, P80, P90.
    unfinished : int
        Runs that were over before it ended, since no milestone waited for it or the last day simulated came first.
    whose : str
        Who does it.
    """

    name: str
    begins: tuple[QuantileEstimate, ...]
    ends: tuple[QuantileEstimate, ...]
    unfinished: int
    whose: str = ""


@dataclass(frozen=True)
class LengthForecast:
    """Where the length lay that a milestone asks for when it was first there, in the runs in which it was.

    Attributes
    ----------
    milestone, area : str
    start, end : (float, float, float)
        P10, P50 and P90 of its stations, in feet from the low end.
    runs : int
    """

    milestone: str
    area: str
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    runs: int


def summarise_tasks(scenario: Scenario, runs: RunTable, cube: int | None = None) -> tuple[WorkForecast, ...]:
    """Return every task of a scenario, in its order, over all runs; `cube` as for `quantiles.estimate`."""
    return tuple(_summarise("task", task.name, runs, cube, task.whose) for task in scenario.task)


def summarise_areas(scenario: Scenario, runs: RunTable, cube: int | None = None) -> tuple[WorkForecast, ...]:
    """Return the laying of every area over all runs, where there are tasks beside it; `cube` as for `quantiles.estimate`."""
    if not scenario.task:
        return ()
    crews = {area.name: [crew.name for crew in scenario.crew if area.name in crew.areas] for area in scenario.area}
    named = {area: f"{'crew' if len(of) == 1 else 'crews'} {listed(of)}" for area, of in crews.items() if of}
    return tuple(_summarise("area", area.name, runs, cube, named.get(area.name, "")) for area in scenario.area)


def _summarise(kind: str, name: str, runs: RunTable, cube: int | None, whose: str) -> WorkForecast:
    begins, ends = (runs[f"{kind}.{name}.{what}"].tolist() for what in ("begins", "ends"))

    def read(hours: Sequence[float]) -> tuple[QuantileEstimate, ...]:
        return tuple(estimate(hours, share, cube=cube) for share in SHARES)

    return WorkForecast(name, read(begins), read(ends), sum(math.isinf(hour) for hour in ends), whose)


def summarise_lengths(scenario: Scenario, runs: RunTable) -> tuple[LengthForecast, ...]:
    """Return where the lengths lay that milestones ask for."""
    lengths = []
    for milestone in scenario.milestones:
        if milestone.usable is not None:
            first = runs[f"usable.{milestone.name}.from"]
            there = first < math.inf
            stretch = (first, runs[f"usable.{milestone.name}.to"])
            spans = [np.percentile(column[there], [10, 50, 90]).tolist() if there.any() else 3 * [math.nan] for column in stretch]
            start, end = ((low, middle, high) for low, middle, high in spans)
            lengths.append(LengthForecast(milestone.name, milestone.usable.area, start, end, int(there.sum())))
    return tuple(lengths)


def growth_table(scenario: Scenario, runs: RunTable, area: str) -> Table:
    """Return when each tenth of an area's length lay without a gap: P10, P50, P80 and P90."""
    unit = scenario.measures.length
    length = next(whole.length for whole in scenario.area if whole.name == area)
    rows = []
    for part in PARTS:
        hours = runs[f"length.{area}.{part}"].tolist()
        bands = (wording.short_days(order_statistic(hours, share)) for share in SHARES)
        rows.append((unit.text(length * part / 100.0), *bands))
    return Table(
        f"Usable length of {area}, days from the start",
        ("without a gap", "P10", "P50", "P80", "P90"),
        tuple(rows),
        notes=("Rows laid, wherever they lie; without tasks and the final sweep, which a milestone adds.",),
    )


def tasks_table(areas: Sequence[WorkForecast], tasks: Sequence[WorkForecast], runs: int) -> Table:
    """Return when each area and each task begins and ends."""
    rows = [
        (
            work.name,
            *(wording.short_days(work.begins[index].value) for index in (0, 1, 3)),
            *(wording.short_days(band.value) for band in work.ends),
        )
        for work in (*areas, *tasks)
    ]
    notes = [
        "Areas first: from a crew's first work on it until its last row is laid and checked. P10: in one run in ten by then."
    ]
    if any(task.unfinished for task in tasks):
        left = ", ".join(f"{task.name} in {wording.percent(task.unfinished / runs)}" for task in tasks if task.unfinished)
        notes.append(
            f"Not done when the run was over, in how many runs: {left}. No milestone waits for it, or the last day came first."
        )
    return Table(
        "Areas, and tasks beside laying, days from the start",
        ("what", "begins, P10", "P50", "P90", "done, P10", "P50", "P80", "P90"),
        tuple(rows),
        notes=tuple(notes),
        ends=frozenset({len(areas) - 1}),
    )


def lengths_table(scenario: Scenario, lengths: Sequence[LengthForecast]) -> Table:
    """Return where the lengths lay that milestones ask for."""
    unit = scenario.measures.length
    asked = {milestone.name: milestone.usable.length for milestone in scenario.milestones if milestone.usable}

    def span(stations: tuple[float, float, float]) -> str:
        low, middle, high = stations
        if not math.isfinite(middle):
            return "never"
        return unit.text(middle) if low == high else f"{unit.text(middle)} ({unit.short(low)} to {unit.short(high)})"

    rows = [
        (length.milestone, unit.text(asked[length.milestone]), length.area, span(length.start), span(length.end))
        for length in lengths
    ]
    return Table(
        "Which stretch is usable first: stations from the area's low end",
        ("milestone", "asks for", "of", "from", "to"),
        tuple(rows),
        notes=(
            "The middle of the runs, and P10 to P90 where they differ. Rows in end ramps count. Whether an unfinished strip may "
            "be used, and how far people and mats must stand back, is for licensed practice and local rules.",
        ),
    )


def tasks_record(tasks: Sequence[WorkForecast]) -> list[dict[str, object]]:
    """Return tasks, or areas beside them, as they stand in a record; a moment after the last day simulated is null."""

    def days(bands: tuple[QuantileEstimate, ...]) -> dict[str, float | None]:
        return {band.name.lower(): band.value / 24.0 if math.isfinite(band.value) else None for band in bands}

    return [
        {"name": task.name, "begins_days": days(task.begins), "ends_days": days(task.ends), "unfinished": task.unfinished}
        for task in tasks
    ]


def lengths_record(lengths: Sequence[LengthForecast]) -> list[dict[str, object]]:
    """Return the lengths as they stand in a record, stations in feet."""

    def feet(stations: tuple[float, float, float]) -> dict[str, float | None]:
        return {
            name: value if math.isfinite(value) else None for name, value in zip(("p10", "p50", "p90"), stations, strict=True)
        }

    return [
        {
            "milestone": length.milestone,
            "area": length.area,
            "from_feet": feet(length.start),
            "to_feet": feet(length.end),
            "runs": length.runs,
        }
        for length in lengths
    ]
