"""What holds a build up and what would help, as a person reads it on a terminal: the answer first, tables after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.analysis.leading import Holder
from simulation.analysis.moments import day
from simulation.analysis.quantiles import SAMPLING_ERROR_ONLY
from simulation.report import wording
from simulation.report.bottleneck_answer import WHEN, bottleneck_answer
from simulation.report.sections import print_section, table_of
from simulation.report.time_scale import HOURS, Scale, points, points_interval, scale_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.analysis.bottlenecks import Bottlenecks, Tried
    from simulation.analysis.chances import Chance
    from simulation.analysis.outcomes import Outcome
    from simulation.analysis.paired import Difference

INTERVAL = "95 % interval"
BRACKETS = "In brackets: cannot be told from nothing with so many builds."
#: What the lights of a table's last line need besides.
DAY_AND_NIGHT = (
    "Day and night: all work around the clock under lights, at the rates of the day. The same people cannot do that: it takes as "
    "many again for each further shift."
)
#: What the calendar's hours have to do with the others.
APART = (
    "Off shift and dark stand apart: they would lead nearly everywhere, and follow from all the rest, since work that takes "
    "longer meets more nights. Rain and mud are hours on shift and take part."
)


def print_bottlenecks(found: Bottlenecks, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    scenario = found.outcome.scenario
    heading = (
        f"{scenario.title}: what holds it back, {wording.counted(found.builds, 'build')} of each, seed {found.seed}, "
        f"hour zero {day(scenario.starts)} {scenario.starts:%H:%M}"
    )
    console.print(heading, style="bold")
    for line in bottleneck_answer(found):
        console.print(line)
    scale = scale_of(found.outcome.p80.value)
    if found.tried:
        title = f"What each would buy: {scale.name} by which readiness comes earlier than as it is"
        print_section(console, title, _gains(found, scale), *_gain_notes(found))
        by = "" if found.outcome.deadline is None else f", and the chance of being ready by {found.outcome.deadline.text}"
        print_section(console, f"The same for the mean, in hours earlier{by}", _means(found), *_mean_notes(found))
    elif found.left_out:
        console.print(_not_tried(found), style="italic")
    if found.leading.holders:
        title = "What drives readiness: hours of its driving chain, and in how many builds each leads"
        print_section(console, title, _chain(found), *_chain_notes(found))
        title = "What limits early, in the middle and late: hours in each third of the time, and builds in which each leads"
        note = f"* in most builds. Thirds of each build's own time to readiness. {SAMPLING_ERROR_ONLY}"
        print_section(console, title, _thirds(found), note)


def change_cells(change: Difference, scale: Scale, alike: bool) -> tuple[str, str]:
    """Return a change and its interval, in brackets where it cannot be told from nothing."""
    if alike:
        return "none", ""
    if change.value is None:
        return "beyond", ""
    text = scale.plain(change.value)
    return text if change.told_from_zero else f"({text})", scale.interval(change)


def on_time_cells(outcome: Outcome, change: Difference) -> tuple[str, str, str]:
    """Return the chance of being ready by the deadline, its change in points, and the interval of that."""
    if outcome.chance is None:
        return "", "", ""
    text = points(change)
    chance = f"{100 * outcome.chance.probability:.0f} %"
    return chance, text if change.told_from_zero else f"({text})", points_interval(change)


def _gains(found: Bottlenecks, scale: Scale) -> Table:
    table = table_of("what", "P50", INTERVAL, "P80", INTERVAL)
    for one in found.tried:
        cells = (change_cells(change, scale, one.alike) for change in (one.earlier_p50, one.earlier_p80))
        table.add_row(one.what_if.name, *(cell for both in cells for cell in both))
    return table


def _gain_notes(found: Bottlenecks) -> list[str]:
    notes = ["Below zero is later. What brings P80 forward most comes first. " + BRACKETS]
    if any(one.alike for one in found.tried):
        notes.append("None: every build is ready at the very hour as before.")
    if any(change.value is None for one in found.tried for change in (one.earlier_p50, one.earlier_p80)):
        notes.append("Beyond: beyond the horizon, there or as it is, so that the change is not known.")
    notes.append(
        f"Each interval stands for itself, paired build by build: of {len(found.tried)} changes, one or another that does "
        f"nothing may seem to do something. {SAMPLING_ERROR_ONLY}"
    )
    if any(one.what_if.name.startswith("day and night") for one in found.tried):
        notes.append(DAY_AND_NIGHT)
    return [*notes, _not_tried(found)] if found.left_out else notes


def _not_tried(found: Bottlenecks) -> str:
    return f"Not tried: {'; '.join(f'{one.name} ({one.why})' for one in found.left_out)}."


def _means(found: Bottlenecks) -> Table:
    on_time = found.outcome.deadline is not None
    table = table_of("what", "mean", INTERVAL, *(("on time", "points", INTERVAL) if on_time else ()))
    for one in found.tried:
        cells = change_cells(one.earlier_mean, HOURS, one.alike)
        table.add_row(one.what_if.name, *cells, *(_on_time(one) if on_time else ()))
    return table


def _on_time(one: Tried) -> tuple[str, str, str]:
    chance, change, interval = on_time_cells(one.outcome, one.against.chance)
    return (chance, "none", "") if one.alike else (chance, change, interval)


def _mean_notes(found: Bottlenecks) -> list[str]:
    notes = []
    if found.leading.calendar is not None:
        notes.append(
            "Nobody is ready off shift, so P50 and P80 move by leaps from shift to shift; the mean moves evenly and shows small "
            "gains."
        )
    if any(one.earlier_mean.value is None for one in found.tried):
        notes.append("Beyond: builds that are not ready at the horizon leave no mean.")
    if found.outcome.chance is not None:
        notes.append(f"Points: percentage points against {100 * found.outcome.chance.probability:.0f} % as it is.")
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]


def _chain(found: Bottlenecks) -> Table:
    leading = found.leading
    table = table_of("who, and what", "hours", "share", "leads in", INTERVAL, "alone")
    for holder in leading.holders:
        _add_holder(table, holder, leading.hours)
    if leading.calendar is not None:
        _add_holder(table, leading.calendar, leading.hours)
    table.add_row("sum, the mean time of readiness", f"{leading.hours:.1f}", wording.percent(1.0), "", "", "")
    return table


def _add_holder(table: Table, holder: Holder, total: float) -> None:
    leads = ("", "") if holder.leads is None else (_whole(holder.leads.probability), _ends(holder.leads))
    single = len(holder.causes) == 1 and holder.causes[0].name == holder.name
    alone = "" if holder.causes[0].leads is None or not single else _whole(holder.causes[0].leads.probability)
    table.add_row(
        holder.name, f"{holder.hours:.1f}", wording.percent(holder.hours / total), *leads, alone, style="bold", end_section=single
    )
    for cause in () if single else holder.causes:
        alone = "" if cause.leads is None else _whole(cause.leads.probability)
        last = cause is holder.causes[-1]
        cells = f"  {cause.name}", f"{cause.hours:.1f}", wording.percent(cause.hours / total), "", "", alone
        table.add_row(*cells, end_section=last)


def _chain_notes(found: Bottlenecks) -> list[str]:
    notes = [
        "Leads in: builds in which it has the most hours of all in bold. Alone: in which one cause has the most of all single "
        "ones; a cause that is named finely leads less often, so who leads is read from the first.",
        APART,
        SAMPLING_ERROR_ONLY,
    ]
    if found.unfinished:
        notes.insert(0, f"Over the {wording.counted(found.leading.builds, 'finished build')} only.")
    return notes


def _thirds(found: Bottlenecks) -> Table:
    table = table_of("who", *(name for third in WHEN for name in (third, "leads in")))
    firsts = {third: found.leading.first(third) for third in WHEN}
    for holder in found.leading.holders:
        cells = []
        for third in WHEN:
            assert holder.leads_by_third is not None
            mark = " *" if holder is firsts[third] else ""
            cells += [f"{holder.thirds[third]:.1f}", f"{_whole(holder.leads_by_third[third].probability)}{mark}"]
        table.add_row(holder.name, *cells)
    if found.leading.calendar is not None:
        table.add_section()
        hours = (cell for third in WHEN for cell in (f"{found.leading.calendar.thirds[third]:.1f}", ""))
        table.add_row("off shift and dark", *hours)
    return table


def _ends(chance: Chance) -> str:
    return f"{100 * chance.low:.0f} to {_whole(chance.high)}"


def _whole(share: float) -> str:
    return f"{100.0 * share:.0f} %"
