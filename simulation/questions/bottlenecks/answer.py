"""What holds the work up and what would help, as an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Answer, Figure, Page, Part, Table, Text
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
from simulation.present.record import study_record
from simulation.questions.bottlenecks.attribution import Holder
from simulation.questions.bottlenecks.picture import describe_bottlenecks, draw_bottlenecks
from simulation.questions.bottlenecks.record import bottlenecks_record
from simulation.questions.bottlenecks.sentences import WHEN, bottleneck_lines
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
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


def bottlenecks_answer(found: BottlenecksResult) -> Answer:
    """Return the answer to what holds a scenario up."""
    starts = found.outcome.scenario.starts
    headline, *lines = bottleneck_lines(found)
    title = "What gains most, and what limits early, in the middle and late"
    figure = Figure("bottlenecks", title, partial(draw_bottlenecks, found), partial(describe_bottlenecks, found))
    return Answer(
        question="bottlenecks",
        title=found.outcome.scenario.title,
        about=f"what holds it up; {found.counted}, seed {found.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(lines),
        pages=(Page("bottlenecks", "What holds it up, and what would help", (*_parts(found), Part(title, (figure,)))),),
        record=bottlenecks_record(found),
        study={} if found.manifest is None else study_record(found.manifest),
        stopped=found.stopped,
    )


def _parts(found: BottlenecksResult) -> tuple[Part, ...]:
    parts: list[Part] = []
    digits = change_format(found.outcome)
    if found.tried:
        title = f"What each would gain: change of the time to readiness against the current plan, {digits.name}"
        parts.append(Part(title, (_gains(found, digits, title),), short=True))
        by = "" if found.outcome.deadline is None else f", and the chance of being ready by {found.outcome.deadline.text}"
        title = f"The same for the mean, in hours{by}"
        parts.append(Part(title, (_means(found, title),)))
    elif found.left_out:
        parts.append(Part("What was not tried", (Text(_not_tried(found)),), short=True))
    if found.leading.holders:
        title = "What held up the finish: hours of its chain of causes, and in how many runs each leads"
        parts.append(Part(title, (_chain(found, title),)))
        title = "What limits early, in the middle and late: hours in each third of the time, and runs in which each leads"
        parts.append(Part(title, (_thirds(found, title),)))
    return tuple(parts)


def _gains(found: BottlenecksResult, digits: Digits, title: str) -> Table:
    rows = []
    for row in found.tried:
        cells = (digits.cells(change, row.alike) for change in (row.against.p50, row.against.p80))
        rows.append((row.what_if.name, *(cell for both in cells for cell in both)))
    return Table(title, ("what", "P50", INTERVAL, "P80", INTERVAL), tuple(rows), notes=tuple(_gain_notes(found, digits)))


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


def _means(found: BottlenecksResult, title: str) -> Table:
    on_time = found.outcome.deadline is not None
    columns = ("what", "mean", INTERVAL, *(("on time", "points", INTERVAL) if on_time else ()))
    rows = []
    for row in found.tried:
        chance = on_time_cells(found.outcome, row.against.chance, row.alike) if on_time else ()
        rows.append((row.what_if.name, *HOURS.cells(row.against.mean, row.alike), *chance))
    return Table(title, columns, tuple(rows), notes=tuple(_mean_notes(found)))


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


def _chain(found: BottlenecksResult, title: str) -> Table:
    leading = found.leading
    rows: list[tuple[str, ...]] = []
    strong, ends = set(), set()
    for holder in (*leading.holders, *([] if leading.calendar is None else [leading.calendar])):
        strong.add(len(rows))
        rows += _holder_rows(holder, leading.hours)
        ends.add(len(rows) - 1)
    sums_to = "the mean time of readiness" if leading.reached else "the last day simulated"
    rows.append((f"sum, {sums_to}", f"{leading.hours:.1f}", wording.percent(1.0), "", "", ""))
    columns = ("who, and what", "hours", "share", "leads in", INTERVAL, "alone")
    return Table(title, columns, tuple(rows), notes=tuple(_chain_notes(found)), strong=frozenset(strong), ends=frozenset(ends))


def _holder_rows(holder: Holder, total: float) -> list[tuple[str, ...]]:
    """Return the row of who holds the work up, and one for each cause where there are several."""
    leads = ("", "") if holder.leads is None else (whole(holder.leads.probability), ends_of(holder.leads))
    single = len(holder.causes) == 1 and holder.causes[0].name == holder.name
    alone = "" if holder.causes[0].leads is None or not single else whole(holder.causes[0].leads.probability)
    rows: list[tuple[str, ...]] = [(holder.name, f"{holder.hours:.1f}", wording.percent(holder.hours / total), *leads, alone)]
    for cause in () if single else holder.causes:
        alone = "" if cause.leads is None else whole(cause.leads.probability)
        rows.append((f"  {cause.name}", f"{cause.hours:.1f}", wording.percent(cause.hours / total), "", "", alone))
    return rows


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


def _thirds(found: BottlenecksResult, title: str) -> Table:
    columns = ("who", *(name for third in WHEN for name in (third, "leads in")))
    firsts = {third: found.leading.first(third) for third in WHEN}
    rows = []
    for holder in found.leading.holders:
        cells = []
        for third in WHEN:
            assert holder.leads_by_third is not None
            mark = " *" if holder is firsts[third] else ""
            cells += [f"{holder.thirds[third]:.1f}", f"{whole(holder.leads_by_third[third].probability)}{mark}"]
        rows.append((holder.name, *cells))
    last = len(rows) - 1
    if found.leading.calendar is not None:
        hours = (cell for third in WHEN for cell in (f"{found.leading.calendar.thirds[third]:.1f}", ""))
        rows.append((found.leading.calendar.name, *hours))
    note = f"* leads most often. Thirds of each run's own time to readiness. {SAMPLING_ERROR_ONLY}"
    return Table(title, columns, tuple(rows), notes=(note,), ends=frozenset({last}))
