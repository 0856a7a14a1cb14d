"""The sentences on delays: what each costs at its longest, which costs most, and what comes too late to count."""

from __future__ import annotations

import math
from itertools import groupby
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS, as_it_is, change_format, on_time_change, ready_in_none, whole
from simulation.present.words.job_words import ready_word
from simulation.present.words.trial_words import (
    NO_MATTER,
    TOO_CLOSE,
    beside_foremost,
    deny_effect,
    ends_around,
    move_around,
    stop_lines,
)
from simulation.questions.slip.delays import Delay
from simulation.study.changes.foremost import Standing

if TYPE_CHECKING:
    from simulation.questions.slip.study import SlipResult, SlipRow

#: A cost so near the delay, as a part of it, is the delay itself: within its interval, and outside. Planning values.
_NEARLY, _ALL = 0.05, 0.01
#: Where all of a delay is lost, below a day and above.
_DAY_FOR_DAY = ("hour for hour", "day for day")


def slip_headline(result: SlipResult) -> str:
    """Return the answer in one sentence: what costs most, each thing at its longest delay."""
    rows = longest_delays(result)
    if not rows:
        return "No delay was tried."
    if math.isinf(result.outcome.p80.value):
        return "The 80 % date lies after the last day simulated even without a delay."
    if not any(row.against.p80.value is None or row.against.around_p80.measurable for row in rows):
        moved = next((text for row in rows for text in _moved_milestones(result, row)), None)
        if moved is not None:
            return f"{moved}; for {ready_name(result)} no delay tried makes a difference that can be measured."
        if len(rows) == 1:
            return f"{_named(rows[0])} makes {'no difference to any run' if rows[0].identical else deny_effect(rows)}."
        if all(row.identical for row in rows):
            return "None of the delays tried makes a difference to any run."
        matters = "a difference that matters" if deny_effect(rows) == NO_MATTER else "a measurable difference"
        return f"None of the delays tried makes {matters} to the 80 % date."
    worst = costliest(rows)
    if worst.against.p80.value is not None and not worst.against.p80.measurable:
        most = "" if len(rows) == 1 else " costs most of the delays tried"
        return f"{_named(worst)}{most}: {move_around(worst.against)}."
    beyond = "to after the last day simulated"
    by = beyond if worst.against.p80.value is None else f"{_size(result, worst)}, {_slack(worst)}"
    alike = [row for row in rows if _costs_as_much(row, worst)]
    start = f"{_named(worst)} moves"
    if len(alike) > 1:
        names = wording.capitalised(listed([row.trial.late.called for row in alike]))
        start = f"{names}, each alone {worst.trial.delay.text} late, cost most of the delays tried: either moves"
    elif len(rows) > 1:
        start = f"{_named(worst)} costs most of the delays tried: it moves"
    return f"{start} the 80 % date {by}."


def slip_lines(result: SlipResult) -> list[str]:
    """Return the sentences around the headline: what each longest delay costs, those that cost nothing in one, and the plan."""
    rows = longest_delays(result)
    idle = [row for row in rows if _costs_nothing(row)]
    together = [
        alike for words in (NO_MATTER, TOO_CLOSE) if len(alike := [row for row in idle if deny_effect([row]) == words]) > 1
    ]
    free = [row for alike in together for row in alike]
    lines = [row_line(result, row) for row in rows if row not in free]
    lines += beside_foremost(result, lambda row: f"{row.trial.late.called} {row.trial.delay.text} late", "cost")
    for alike in together:
        names = ", ".join(f"{row.trial.late.called} {row.trial.delay.text} late" for row in alike)
        lines.append(f"{deny_effect(alike).capitalize()}: {names}.")
    lines += [f"{text}." for row in rows for text in _moved_milestones(result, row, True)]
    return [*lines, *_never_there(result), as_it_is(result.outcome)]


def ready_name(result: SlipResult) -> str:
    """Return the name of the milestone that makes ready."""
    return next((milestone.name for milestone in result.outcome.scenario.milestones if milestone.ready), "readiness")


def _moved_milestones(result: SlipResult, row: SlipRow, interval: bool = False) -> list[str]:
    """Return which milestones that do not make ready a delay moves, measurably, and how far."""
    written, texts = change_format(result.outcome), []
    for name, change in row.others:
        if change.value is not None and change.measurable:
            way = "later" if change.value > 0 else "earlier"
            ends = f" ({written.in_brackets(change, turned=True)})" if interval else ""
            texts.append(f"{_named(row)} moves {name} {written.of(change.value)} {way} at P80{ends}")
        elif change.value is None and not change.withheld:
            texts.append(f"{_named(row)}: P80 of {name} lies after the last day simulated")
    return texts


def _costs_nothing(row: SlipRow) -> bool:
    """Return whether a delay moves nothing measurably: no quantile, no mean, no chance."""
    changes = (row.against.around_p80, row.against.p80, row.against.mean, row.against.chance)
    return row.against.p80.value is not None and not any(change.measurable for change in changes)


def warning_lines(result: SlipResult) -> list[str]:
    """Return what a reader must know before any number: runs that are not ready, and a study that was stopped."""
    lines = []
    if result.unfinished:
        done = ready_word(result.outcome.scenario)
        lines.append(f"{wording.counted(result.unfinished, 'run')} not {done} by the last day simulated: counted as late.")
    return [*lines, *stop_lines(result, "delay")]


def longest_delays(result: SlipResult) -> list[SlipRow]:
    """Return each thing once, at the longest delay that was tried."""
    return [list(rows)[-1] for _, rows in groupby(result.rows, key=lambda row: row.trial.late.name)]


def costliest(rows: list[SlipRow]) -> SlipRow:
    """Return the row that moves the 80 % date furthest: past the last day simulated, and of such the one in most runs."""
    return max(rows, key=lambda row: (math.isinf(_cost(row)[0]), row.standing is Standing.FOREMOST, _cost(row)))


def _costs_as_much(row: SlipRow, other: SlipRow) -> bool:
    """Return whether a thing that is as late moves P80 as far, to the digits that are told."""
    cost, most = row.against.p80.value, other.against.p80.value
    as_late = row.trial.delay.text == other.trial.delay.text
    return row is other or (as_late and cost is not None and most is not None and abs(cost - most) < 0.5)


def _cost(row: SlipRow) -> tuple[float, float]:
    value = row.against.p80.value
    return math.inf if value is None else value, ready_in_none(row.outcome) / len(row.outcome.hours)


def row_line(result: SlipResult, row: SlipRow) -> str:
    """Return what it costs if one thing comes so much late."""
    change, written = row.against.p80, change_format(result.outcome)
    line = f"{_named(row)}: "
    if change.value is None:
        if math.isinf(result.outcome.p80.value):
            return f"{line}the 80 % date lies after the last day simulated, as it does without the delay."
        late = f"{wording.number(ready_in_none(row.outcome))} of {wording.counted(len(row.outcome.hours), 'run')}"
        return f"{line}the 80 % date lies after the last day simulated; {late} not {ready_word(row.outcome.scenario)} by then."
    if row.identical:
        runs = wording.number(len(row.outcome.hours))
        return f"{line}no difference, no run of {runs} is {ready_word(row.outcome.scenario)} at another hour."
    if row.against.around_p80.measurable and not change.measurable:
        return f"{line}{move_around(row.against)}{_on_time(result, row)}."
    if not change.measurable:
        line += deny_effect([row])
        line += ends_around(row)
        return f"{line}{_mean(row)}{_on_time(result, row) if row.against.chance.measurable else ''}."
    line += f"the 80 % date moves {_size(result, row)} ({written.in_brackets(change, turned=True)}), {_slack(row)}"
    return f"{line}{_on_time(result, row)}."


def _named(row: SlipRow) -> str:
    return f"{wording.capitalised(row.trial.late.called)} {row.trial.delay.text} late"


def _size(result: SlipResult, row: SlipRow) -> str:
    value = row.against.p80.value or 0.0
    return f"{change_format(result.outcome).of(value)} {'later' if value > 0 else 'earlier'}"


def _never_there(result: SlipResult) -> list[str]:
    """Return in one line each what is there only after the last day simulated: by the current plan, and by being late."""
    last = f"before the end of the {Delay.of(result.outcome.scenario.horizon).text} simulated"
    lines = []
    if result.never_there:
        lines.append(f"By the current plan, {', '.join(result.never_there)}: not there {last}, as if never.")
    late = []
    for _, rows in groupby(result.rows, key=lambda row: row.trial.late.name):
        first = next((row for row in rows if row.trial.parts_beyond), None)
        if first is not None and first.trial.late.called not in result.never_there:
            part = "" if first.trial.parts_beyond == len(first.trial.late.since) else "part of "
            late.append(f"{part}{first.trial.late.called} when {first.trial.delay.text} late")
    if late:
        lines.append(f"Not there {last}, as if never: {', '.join(late)}; write a later horizon, or a shorter delay.")
    return lines


def _on_time(result: SlipResult, row: SlipRow) -> str:
    before, after, deadline = result.outcome.chance, row.outcome.chance, result.outcome.deadline
    if before is None or after is None or deadline is None:
        return ""
    return f"; {on_time_change(deadline.text, before, after, row.against.chance, ready_word(row.outcome.scenario))}"


def _mean(row: SlipRow) -> str:
    mean = row.against.mean
    if mean.value is None or not mean.measurable or not HOURS.moves(mean.value):
        return ""
    later = "later" if mean.value > 0 else "earlier"
    return f"; the mean moves {HOURS.of(mean.value)} {later} ({HOURS.in_brackets(mean, turned=True)})"


def _slack(row: SlipRow) -> str:
    """Return how the cost compares with the delay."""
    change, hours = row.against.p80, row.trial.delay.hours
    assert change.value is not None
    if abs(change.value - hours) <= _ALL * hours:
        return _DAY_FOR_DAY[hours >= 24.0]
    low, high = change.low, change.high
    if low is not None and high is not None and low - 1e-6 <= hours <= high + 1e-6:
        if abs(change.value - hours) <= _NEARLY * hours:
            return _DAY_FOR_DAY[hours >= 24.0]
        if change.value < hours:
            return f"{whole(change.value / hours)} of the delay, or possibly all of it"
        return "more than the delay itself, though not measurably"
    if change.value > hours:
        return "more than the delay itself"
    if change.value < 0:
        return "by chance in the order of work: not a gain to count on"
    return f"{whole(change.value / hours)} of the delay; the rest is absorbed"
