"""What holds a build up and what would help, as a person reads it on a terminal: the answer first, tables after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.cautions import print_cautions
from simulation.present.change_words import (
    BRACKETS,
    HOURS,
    INTERVAL,
    NO_SPREAD_MEANS,
    POINTS,
    WITHHELD_MEANS,
    Digits,
    change_format,
    ends_of,
    meanings,
    on_time_cells,
    whole,
)
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.bottlenecks.answer import WHEN, bottleneck_answer
from simulation.questions.bottlenecks.attribution import Holder
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.questions.bottlenecks.study import BottlenecksResult

#: What the lights of a table's last line need besides.
DAY_AND_NIGHT = (
    "Day and night: all work around the clock under lights, at the rates of the day. The same people cannot do that: it takes as "
    "many again for each further shift."
)
#: What the calendar's hours have to do with the others.
APART = (
    "Off shift and dark stand apart: they would lead nearly everywhere, and follow from all the rest, since work that takes "
    "longer meets more nights. Dark is what is lost on shift without light, and where work under lights is slower. Rain and mud "
    "are hours on shift and take part."
)


def print_bottlenecks(found: BottlenecksResult, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    scenario = found.outcome.scenario
    heading = (
        f"{scenario.title}: what holds it back, {found.counted}, seed {found.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}"
    )
    console.print(heading, style="bold")
    for line in bottleneck_answer(found):
        console.print(line)
    digits = change_format(found.outcome)
    if found.tried:
        title = f"What each would buy: change of readiness against as it is, {digits.name}"
        print_section(console, title, _gains(found, digits), *_gain_notes(found, digits))
        by = "" if found.outcome.deadline is None else f", and the chance of being ready by {found.outcome.deadline.text}"
        print_section(console, f"The same for the mean, in hours{by}", _means(found), *_mean_notes(found))
    elif found.left_out:
        console.print(_not_tried(found), style="italic")
    if found.leading.holders:
        title = "What drives readiness: hours of its chain of causes, and in how many runs each leads"
        print_section(console, title, _chain(found), *_chain_notes(found))
        title = "What limits early, in the middle and late: hours in each third of the time, and runs in which each leads"
        note = f"* leads most often. Thirds of each run's own time to readiness. {SAMPLING_ERROR_ONLY}"
        print_section(console, title, _thirds(found), note)
    print_cautions(console)


def _gains(found: BottlenecksResult, digits: Digits) -> Table:
    table = new_table("what", "P50", INTERVAL, "P80", INTERVAL)
    for one in found.tried:
        cells = (digits.cells(change, one.alike) for change in (one.against.p50, one.against.p80))
        table.add_row(one.what_if.name, *(cell for both in cells for cell in both))
    return table


def _gain_notes(found: BottlenecksResult, digits: Digits) -> list[str]:
    told = [one for one in found.tried if not one.alike]
    notes = ["Below zero is earlier. What brings P80 forward most comes first. " + BRACKETS]
    if any(one.alike for one in found.tried):
        notes.append("None: every run is ready at the very hour as before.")
    notes += meanings([(digits, change) for one in told for change in (one.against.p50, one.against.p80)])
    several = (
        f": of {len(found.tried)} changes, one or another that does nothing may seem to do something"
        if len(found.tried) > 1
        else ""
    )
    notes.append(f"Each interval stands for itself, paired run by run{several}. {SAMPLING_ERROR_ONLY}")
    if any(one.what_if.name.startswith("day and night") for one in found.tried):
        notes.append(DAY_AND_NIGHT)
    return [*notes, _not_tried(found)] if found.left_out else notes


def _not_tried(found: BottlenecksResult) -> str:
    return f"Not tried: {'; '.join(f'{one.name} ({one.why})' for one in found.left_out)}."


def _means(found: BottlenecksResult) -> Table:
    on_time = found.outcome.deadline is not None
    table = new_table("what", "mean", INTERVAL, *(("on time", "points", INTERVAL) if on_time else ()))
    for one in found.tried:
        cells = HOURS.cells(one.against.mean, one.alike)
        table.add_row(one.what_if.name, *cells, *(on_time_cells(found.outcome, one.against.chance, one.alike) if on_time else ()))
    return table


def _mean_notes(found: BottlenecksResult) -> list[str]:
    notes = []
    if found.leading.calendar is not None:
        notes.append(
            "Nobody is ready off shift, so P50 and P80 move by leaps from shift to shift; the mean moves evenly and shows small "
            "gains, where enough runs jump to tell it."
        )
    if any(one.earlier_mean.value is None and not one.earlier_mean.withheld for one in found.tried):
        notes.append("Beyond: runs that are not ready by the last day simulated leave no mean.")
    if found.outcome.chance is not None:
        notes.append(f"Points: percentage points against {whole(found.outcome.chance.probability)} as it is.")
    told = [one for one in found.tried if not one.alike]
    cells = [*((HOURS, one.earlier_mean) for one in told), *((POINTS, one.against.chance) for one in told)]
    notes += [note for note in meanings(cells) if note in (NO_SPREAD_MEANS, WITHHELD_MEANS)]
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]


def _chain(found: BottlenecksResult) -> Table:
    leading = found.leading
    table = new_table("who, and what", "hours", "share", "leads in", INTERVAL, "alone")
    for holder in leading.holders:
        _add_holder(table, holder, leading.hours)
    if leading.calendar is not None:
        _add_holder(table, leading.calendar, leading.hours)
    table.add_row(
        f"sum, {'the mean time of readiness' if leading.reached else 'the last day simulated'}",
        f"{leading.hours:.1f}",
        wording.percent(1.0),
        "",
        "",
        "",
    )
    return table


def _add_holder(table: Table, holder: Holder, total: float) -> None:
    leads = ("", "") if holder.leads is None else (whole(holder.leads.probability), ends_of(holder.leads))
    single = len(holder.causes) == 1 and holder.causes[0].name == holder.name
    alone = "" if holder.causes[0].leads is None or not single else whole(holder.causes[0].leads.probability)
    table.add_row(
        holder.name, f"{holder.hours:.1f}", wording.percent(holder.hours / total), *leads, alone, style="bold", end_section=single
    )
    for cause in () if single else holder.causes:
        alone = "" if cause.leads is None else whole(cause.leads.probability)
        last = cause is holder.causes[-1]
        cells = f"  {cause.name}", f"{cause.hours:.1f}", wording.percent(cause.hours / total), "", "", alone
        table.add_row(*cells, end_section=last)


def _chain_notes(found: BottlenecksResult) -> list[str]:
    notes = [
        "Leads in: runs in which it has the most hours of all in bold. Alone: in which one cause has the most of all single "
        "ones; a cause that is named finely leads less often, so who leads is read from the first.",
        APART,
        SAMPLING_ERROR_ONLY,
    ]
    if found.unfinished and found.leading.reached:
        notes.insert(0, f"Over the {wording.counted(found.leading.runs, 'finished run')} only.")
    return notes


def _thirds(found: BottlenecksResult) -> Table:
    table = new_table("who", *(name for third in WHEN for name in (third, "leads in")))
    firsts = {third: found.leading.first(third) for third in WHEN}
    for holder in found.leading.holders:
        cells = []
        for third in WHEN:
            assert holder.leads_by_third is not None
            mark = " *" if holder is firsts[third] else ""
            cells += [f"{holder.thirds[third]:.1f}", f"{whole(holder.leads_by_third[third].probability)}{mark}"]
        table.add_row(holder.name, *cells)
    if found.leading.calendar is not None:
        table.add_section()
        hours = (cell for third in WHEN for cell in (f"{found.leading.calendar.thirds[third]:.1f}", ""))
        table.add_row(found.leading.calendar.name, *hours)
    return table
