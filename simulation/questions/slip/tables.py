"""What it costs if something comes late, as a person reads it on a terminal: the answer first, tables after."""

from __future__ import annotations

import math
from itertools import groupby
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.cautions import print_cautions
from simulation.present.change_words import (
    BRACKETS,
    HOURS,
    INTERVAL,
    NO_P80_CHANGE,
    NO_SPREAD_MEANS,
    POINTS,
    WITHHELD_MEANS,
    Digits,
    as_it_is,
    change_format,
    meanings,
    on_time_cells,
    on_time_change,
    ready_in_none,
    whole,
)
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.slip.delays import Delay
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.questions.slip.study import SlipResult, SlipRow

#: A cost so near the delay, as a part of it, is the delay itself: within its interval, and beyond. Planning values.
_NEARLY, _ALL = 0.05, 0.01
#: Where all of a delay is lost, below a day and above.
_DAY_FOR_DAY = ("hour for hour", "day for day")


def print_slip(found: SlipResult, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    scenario = found.outcome.scenario
    heading = (
        f"{scenario.title}: what it costs to come late, {wording.counted(found.runs, 'run')} of each, seed {found.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}"
    )
    console.print(heading, style="bold")
    for line in slip_answer(found):
        console.print(line)
    if found.slipped:
        digits = change_format(found.outcome)
        title = f"What each would cost: {digits.name} by which readiness comes later than as it is"
        print_section(console, title, _costs(found, digits), *_cost_notes(found, digits))
        by = "" if found.outcome.deadline is None else f", and the chance of being ready by {found.outcome.deadline.text}"
        print_section(console, f"The same for the mean, in hours later{by}", _means(found), *_mean_notes(found))
    print_cautions(console)


def slip_answer(found: SlipResult) -> list[str]:
    """Return the sentences that answer the question: one for each thing, at its longest delay."""
    lines = [sentence_of(found, one) for one in longest_delays(found)]
    lines += [*_beyond(found), as_it_is(found.outcome)]
    if found.unfinished:
        lines.append(f"{wording.counted(found.unfinished, 'run')} not ready by the last day simulated as it is: counted as late.")
    if found.stopped or found.runs < found.asked:
        total = len(found.slipped) + found.not_reached
        lines.append(
            f"Stopped early: {wording.number(found.runs)} of {wording.counted(found.asked, 'run')} done as it is, and "
            f"{len(found.slipped)} of {wording.counted(total, 'delay')} tried."
        )
    return lines


def longest_delays(found: SlipResult) -> list[SlipRow]:
    """Return each thing once, at the longest delay that was tried."""
    return [list(each)[-1] for _, each in groupby(found.slipped, key=lambda one: one.late.name)]


def _beyond(found: SlipResult) -> list[str]:
    """Return in one line each what is there only after the last day simulated: as it is, and by being late."""
    horizon = f"the last day simulated of {Delay.of(found.outcome.scenario.horizon).text}"
    lines = []
    if found.never_there:
        lines.append(f"By the scenario as it is, {', '.join(found.never_there)}: not there before {horizon}, as if never.")
    late = []
    for _, each in groupby(found.slipped, key=lambda one: one.late.name):
        first = next((one for one in each if one.parts_beyond), None)
        if first is not None and first.late.called not in found.never_there:
            part = "" if first.parts_beyond == len(first.late.since) else "part of "
            late.append(f"{part}{first.late.called} when {first.delay.text} late")
    if late:
        lines.append(f"Not there before {horizon}, as if never: {', '.join(late)}; write a later horizon, or a shorter delay.")
    return lines


def sentence_of(found: SlipResult, one: SlipRow) -> str:
    """Return what it costs if one thing comes so much late."""
    change, digits = one.against.p80, change_format(found.outcome)
    line = f"{one.late.called[0].upper()}{one.late.called[1:]} {one.delay.text} late: "
    if change.value is None:
        if math.isinf(found.outcome.p80.value):
            return f"{line}P80 lies after the last day simulated, as it does without the delay."
        late = f"{wording.number(ready_in_none(one.outcome))} of {wording.counted(found.runs, 'run')}"
        return f"{line}P80 lies after the last day simulated; {late} not ready by then."
    if one.alike:
        return f"{line}no run of {wording.number(found.runs)} is ready at another hour."
    if not change.measurable:
        line += NO_P80_CHANGE
        line += "" if digits.still(change) else f" ({digits.ends(change, 'later', 'earlier')})"
        return f"{line}{_mean(one)}{_on_time_part(found, one) if one.against.chance.measurable else ''}."
    later = "later" if change.value > 0 else "earlier"
    line += f"P80 comes {digits.of(change.value)} {later} ({digits.in_brackets(change, turned=True)}), {_slack(one)}"
    return f"{line}{_on_time_part(found, one)}."


def _on_time_part(found: SlipResult, one: SlipRow) -> str:
    before, after, deadline = found.outcome.chance, one.outcome.chance, found.outcome.deadline
    if before is None or after is None or deadline is None:
        return ""
    return f"; {on_time_change(deadline.text, before, after, one.against.chance)}"


def _mean(one: SlipRow) -> str:
    mean = one.against.mean
    if mean.value is None or not mean.measurable or not HOURS.moves(mean.value):
        return ""
    later = "later" if mean.value > 0 else "earlier"
    return f"; the mean comes {HOURS.of(mean.value)} {later} ({HOURS.in_brackets(mean, turned=True)})"


def _slack(one: SlipRow) -> str:
    """Return how the cost stands to the delay."""
    change, hours = one.against.p80, one.delay.hours
    assert change.value is not None
    if abs(change.value - hours) <= _ALL * hours:
        return _DAY_FOR_DAY[hours >= 24.0]
    low, high = change.low, change.high
    if low is not None and high is not None and low - 1e-6 <= hours <= high + 1e-6:
        if abs(change.value - hours) <= _NEARLY * hours:
            return _DAY_FOR_DAY[hours >= 24.0]
        if change.value < hours:
            return f"{whole(change.value / hours)} of the delay, though all of it cannot be ruled out"
        return "more than the delay itself, though that cannot be told"
    if change.value > hours:
        return "more than the delay itself"
    if change.value < 0:
        return "which is luck of the order of work, not a gain to be counted on"
    return f"{whole(change.value / hours)} of the delay: the rest is slack"


def _costs(found: SlipResult, digits: Digits) -> Table:
    table = new_table("late", "by", "P50", INTERVAL, "P80", INTERVAL)
    for one, name, last in _rows(found):
        changes = (one.against.p50, one.against.p80)
        cells = (cell for change in changes for cell in digits.cells(change, one.alike))
        table.add_row(name, one.delay.text, *cells, end_section=last)
    return table


def _means(found: SlipResult) -> Table:
    on_time = found.outcome.deadline is not None
    table = new_table("late", "by", "mean", INTERVAL, *(("on time", "points", INTERVAL) if on_time else ()))
    for one, name, last in _rows(found):
        cells = HOURS.cells(one.against.mean, one.alike)
        table.add_row(
            name,
            one.delay.text,
            *cells,
            *(on_time_cells(found.outcome, one.against.chance, one.alike) if on_time else ()),
            end_section=last,
        )
    return table


def _rows(found: SlipResult) -> list[tuple[SlipRow, str, bool]]:
    """Return each row with the name it bears, said once for each thing, and whether a line follows it."""
    rows = []
    for place, one in enumerate(found.slipped):
        first = place == 0 or found.slipped[place - 1].late.name != one.late.name
        last = place + 1 == len(found.slipped) or found.slipped[place + 1].late.name != one.late.name
        rows.append((one, one.late.called if first else "", last))
    return rows


def _cost_notes(found: SlipResult, digits: Digits) -> list[str]:
    notes = ["Below zero is earlier. Everything else has the same luck, run by run."]
    if any(one.alike for one in found.slipped):
        notes.append("None: every run is ready at the very hour as before.")
    told = [one for one in found.slipped if not one.alike]
    notes += meanings([(digits, change) for one in told for change in (one.against.p50, one.against.p80)])
    return [*notes, f"{BRACKETS} Intervals are paired. {SAMPLING_ERROR_ONLY}"]


def _mean_notes(found: SlipResult) -> list[str]:
    told = [one for one in found.slipped if not one.alike]
    cells = [*((HOURS, one.against.mean) for one in told), *((POINTS, one.against.chance) for one in told)]
    notes = [note for note in meanings(cells) if note in (NO_SPREAD_MEANS, WITHHELD_MEANS)]
    if any(one.against.mean.value is None and not one.against.mean.withheld for one in told):
        notes.append("Beyond: runs that are not ready by the last day simulated leave no mean.")
    if found.outcome.chance is not None:
        notes.append(f"Points: percentage points against {whole(found.outcome.chance.probability)} as it is.")
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]
