"""What it costs if something comes late, as a person reads it on a terminal, and as one JSON object."""

from __future__ import annotations

import math
from itertools import groupby
from typing import TYPE_CHECKING, Any

from simulation.analysis.likelihood_words import likelihood
from simulation.analysis.moments import day
from simulation.analysis.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.report import wording
from simulation.report.bottleneck_answer import as_it_is
from simulation.report.bottleneck_record import difference_record, outcome_record
from simulation.report.bottleneck_tables import BRACKETS, INTERVAL, change_cells, on_time_cells
from simulation.report.run_tables import run_record
from simulation.report.sections import print_section, table_of
from simulation.report.time_scale import HOURS, Scale, points_interval, scale_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.analysis.slip import Slip, Slipped


def print_slip(found: Slip, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    scenario = found.outcome.scenario
    heading = (
        f"{scenario.title}: what it costs to come late, {wording.counted(found.builds, 'build')} of each, seed {found.seed}, "
        f"hour zero {day(scenario.starts)} {scenario.starts:%H:%M}"
    )
    console.print(heading, style="bold")
    for line in slip_answer(found):
        console.print(line)
    if found.slipped:
        scale = scale_of(found.outcome.p80.value)
        title = f"What each would cost: {scale.name} by which readiness comes later than as it is"
        print_section(console, title, _costs(found, scale), *_cost_notes(found))
        by = "" if found.outcome.deadline is None else f", and the chance of being ready by {found.outcome.deadline.text}"
        print_section(console, f"The same for the mean, in hours later{by}", _means(found), f"{BRACKETS} {SAMPLING_ERROR_ONLY}")


def slip_answer(found: Slip) -> list[str]:
    """Return the sentences that answer the question: one for each thing, at its longest delay."""
    lines = []
    for _, each in groupby(found.slipped, key=lambda one: one.late.name):
        *_, longest = each
        lines.append(_sentence(found, longest))
    lines.append(as_it_is(found.outcome))
    if found.unfinished:
        lines.append(f"{wording.counted(found.unfinished, 'build')} not ready at the horizon as it is: counted as late.")
    if found.stopped or found.builds < found.asked:
        total = len(found.slipped) + found.not_reached
        lines.append(
            f"Stopped early: {wording.number(found.builds)} of {wording.counted(found.asked, 'build')} done as it is, and "
            f"{len(found.slipped)} of {wording.counted(total, 'delay')} tried."
        )
    return lines


def _sentence(found: Slip, one: Slipped) -> str:
    change, scale = one.against.p80, scale_of(found.outcome.p80.value)
    line = f"{one.late.called[0].upper()}{one.late.called[1:]} {one.delay.text} late: "
    if change.value is None:
        return f"{line}P80 lies beyond the horizon{' as it is' if math.isinf(found.outcome.p80.value) else ''}."
    if one.alike:
        return f"{line}no build is ready later."
    if not change.told_from_zero:
        amount = f"{scale.of(change.value)}, interval {scale.interval(change)}"
        return f"{line}P80 does not move by what can be told ({amount}){_mean(one)}."
    later = "later" if change.value > 0 else "earlier"
    line += f"P80 comes {scale.of(abs(change.value))} {later} (95 % interval {scale.interval(change)}), {_slack(one)}"
    if found.outcome.chance is not None and one.outcome.chance is not None and found.outcome.deadline is not None:
        after, before = (
            f"{100 * chance.probability:.0f} % ({likelihood(chance.probability)})"
            for chance in (one.outcome.chance, found.outcome.chance)
        )
        line += (
            f"; ready by {found.outcome.deadline.text}: {after} instead of {before}, {points_interval(one.against.chance)} points"
        )
    return f"{line}."


def _mean(one: Slipped) -> str:
    mean = one.against.mean
    if mean.value is None or not mean.told_from_zero:
        return ""
    return f"; the mean comes {HOURS.of(mean.value)} later (95 % interval {HOURS.interval(mean)})"


def _slack(one: Slipped) -> str:
    """Return how the cost stands to the delay."""
    change, hours = one.against.p80, one.delay.hours
    assert change.value is not None
    low, high = change.low, change.high
    if low is not None and high is not None and low - 1e-6 <= hours <= high + 1e-6:
        return "day for day" if hours >= 24.0 else "hour for hour"
    if change.value > hours:
        return "more than the delay itself"
    if change.value < 0:
        return "which is luck of the order of work, not a gain to be counted on"
    return f"{100 * change.value / hours:.0f} % of the delay: the rest is slack"


def _costs(found: Slip, scale: Scale) -> Table:
    table = table_of("late", "by", "P50", INTERVAL, "P80", INTERVAL)
    for one, name, last in _rows(found):
        changes = (one.against.p50, one.against.p80)
        cells = (cell for change in changes for cell in change_cells(change, scale, one.alike))
        table.add_row(name, one.delay.text, *cells, end_section=last)
    return table


def _means(found: Slip) -> Table:
    on_time = found.outcome.deadline is not None
    table = table_of("late", "by", "mean", INTERVAL, *(("on time", "points", INTERVAL) if on_time else ()))
    for one, name, last in _rows(found):
        cells = change_cells(one.against.mean, HOURS, one.alike)
        table.add_row(name, one.delay.text, *cells, *(_on_time(one) if on_time else ()), end_section=last)
    return table


def _on_time(one: Slipped) -> tuple[str, str, str]:
    chance, *change = on_time_cells(one.outcome, one.against.chance)
    return (chance, "none", "") if one.alike else (chance, change[0], change[1])


def _rows(found: Slip) -> list[tuple[Slipped, str, bool]]:
    """Return each row with the name it bears, said once for each thing, and whether a line follows it."""
    rows = []
    for place, one in enumerate(found.slipped):
        first = place == 0 or found.slipped[place - 1].late.name != one.late.name
        last = place + 1 == len(found.slipped) or found.slipped[place + 1].late.name != one.late.name
        rows.append((one, one.late.called if first else "", last))
    return rows


def _cost_notes(found: Slip) -> list[str]:
    notes = ["Below zero is earlier. Everything else has the same luck, build by build."]
    if any(one.alike for one in found.slipped):
        notes.append("None: every build is ready at the very hour as before.")
    if any(change.value is None for one in found.slipped for change in (one.against.p50, one.against.p80)):
        notes.append("Beyond: beyond the horizon, there or as it is, so that the change is not known.")
    return [*notes, f"{BRACKETS} Intervals are paired. {SAMPLING_ERROR_ONLY}"]


def slip_record(found: Slip) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`; later is above zero."""
    return {
        "scenario": found.outcome.scenario.title,
        "answer": slip_answer(found),
        "seed": found.seed,
        "asked": found.asked,
        "replications": found.builds,
        "unfinished": found.unfinished,
        "as_it_is": outcome_record(found.outcome),
        "delays": [_slipped(one) for one in found.slipped],
        "not_reached": found.not_reached,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
        "stopped": found.stopped or None,
        "run": None if found.manifest is None else run_record(found.manifest),
    }


def _slipped(one: Slipped) -> dict[str, Any]:
    return {
        "what": one.late.name,
        "late_by_hours": one.delay.hours,
        "changes": [str(change) for change in one.changes],
        "outcome": outcome_record(one.outcome),
        "p50_days_later": difference_record(one.against.p50, 24.0),
        "p80_days_later": difference_record(one.against.p80, 24.0),
        "mean_hours_later": difference_record(one.against.mean, 1.0),
        "on_time_change": None if one.outcome.deadline is None else difference_record(one.against.chance, 1.0),
        "no_build_changed": one.alike,
    }
