"""What does a planner read of sensitivity? The input that matters most, by how much, and which way."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL, ChangeFormat, as_it_is, whole
from simulation.present.words.job_words import ready_date, ready_word
from simulation.questions.sensitivity.input_words import input_in_words, input_name, more_of
from simulation.questions.sensitivity.shipment_luck import ShipmentLuck
from simulation.stats.first_order import LEAST

if TYPE_CHECKING:
    from simulation.questions.sensitivity.study import SensitivityResult, SensitivityRow
    from simulation.questions.sensitivity.tornado import Bar, End

#: Inputs that sentences name.
_NAMED = 3


def sensitivity_lines(result: SensitivityResult) -> list[str]:
    """Return the sentences that answer the question, the headline first."""
    if not result.rows:
        lines = ["Every input has a fixed value, so there is nothing to rank: give a range, such as { p10 = ..., p90 = ... }, "
                 "to what nobody knows yet."]  # fmt: skip
    elif result.bars:
        lines = [*_tornado_lines(result), *_spread_lines(result)]
    else:
        lines = _unknown_lines(result)
    lines.append(as_it_is(result.outcome))
    if result.unfinished:
        done = ready_word(result.outcome.scenario)
        lines.append(
            f"{wording.counted(result.unfinished, 'run')} of {wording.number(result.runs)} not {done} by the last day simulated: "
            f"ranked last, and counted as {done} on that day for the shares, which come out too small where many are."
        )
    if result.runs < result.asked or result.stopped:
        tried = "" if result.bars is None else f", {len(result.bars)} of {wording.counted(len(result.rows), 'input')} fixed"
        done = f"{wording.number(result.runs)} of {wording.counted(result.asked, 'run')}"
        lines.append(f"Stopped early: {done} of the current plan done{tried}.")
    return lines


def conclusion(result: SensitivityResult) -> str:
    """Return what the picture shows, as its title."""
    if result.bars:
        first = measurable_bars(result)[0]
        if not first.measurable:
            return "No input's effect on the 80 % date shows"
        most = "Among what matters most" if _bars_close(result) else "Matters most"
        return f"{most} to the 80 % date: {input_in_words(first.input)}"
    if result.measurable_rows:
        biggest = "One of the biggest unknowns" if result.beside else "The biggest unknown"
        return f"{biggest}: {input_in_words(result.measurable_rows[0].input)}"
    return "No input has a measurable effect"


def change_digits(result: SensitivityResult) -> ChangeFormat:
    """Return how changes are written: where all swings are below a day, one decimal of a day is too few."""
    known = [bar.span for bar in result.bars or () if math.isfinite(bar.span)]
    return ChangeFormat("days", 24.0, 1 if max(known, default=24.0) >= 24.0 else 2, True)


def measurable_bars(result: SensitivityResult) -> list[Bar]:
    """Return the bars with a measurable swing, for table and picture alike; all, where there is none."""
    bars = list(result.bars or ())
    return [bar for bar in bars if bar.measurable] or bars


def _tornado_lines(result: SensitivityResult) -> list[str]:
    """Return what the tornado shows: the longest bar, its intervals, and the next."""
    first, *others = measurable_bars(result)
    if not first.measurable:
        runs = wording.counted(result.runs, "run")
        return [f"No input, fixed at its low or at its high end, moves the 80 % date by anything that {runs} of each can detect."]
    digits = change_digits(result)
    ends = ((first.low, "low"), (first.high, "high"))
    moved = ", ".join(f"{_moved(end, digits)} {at_end(end, name)}" for end, name in ends)
    matters = "is among what matters most" if _bars_close(result) else "matters most"
    lines = [f"{wording.capitalised(input_name(first.input))} {matters} to the 80 % date: {moved}."]
    if first.swing.value is not None:
        plain = ChangeFormat(digits.name, digits.size, digits.places)
        intervals = [
            f"{at_end(end, name, False)} {plain.in_brackets(end.against.p80, turned=True)}"
            for end, name in ends
            if end.against.p80.measurable
        ]
        lines.append(
            f"From its earliest to its latest the date swings by {digits.of(first.swing.value)}: {', '.join(intervals)}."
        )
    named = [
        f"{input_name(bar.input)}, {digits.of(bar.span) if math.isfinite(bar.span) else wording.BEYOND}"
        for bar in others[: _NAMED - 1]
    ]
    more = len(others) - len(named)
    if named:
        lines.append(f"Next: {'; '.join(named)}{f'; {more} more in the table' if more else ''}.")
        if _bars_close(result):
            lines.append("Too close to tell which of the first two moves it farther.")
    if not more and len(others) + 1 < len(result.bars or ()):
        lines.append("No other input's effect on the 80 % date shows in these runs.")
    return lines


def _bars_close(result: SensitivityResult) -> bool:
    """Return whether the second swing reaches into the interval of the first."""
    first, *others = measurable_bars(result)
    return bool(others) and first.swing.low is not None and others[0].span >= first.swing.low


def at_end(end: End, name: str, full: bool = True) -> str:
    """Return where an input is known to be, as the end of a sentence; `full` with its value."""
    if isinstance(end.trial.input, ShipmentLuck):
        return f"if {end.trial.name}"
    return f"at its {name} end ({end.trial.name})" if full else f"at its {name} end"


def _moved(end: End, digits: ChangeFormat) -> str:
    change = end.against.p80
    if change.value is None:
        return wording.BEYOND
    if digits.still(change) or not change.measurable:
        return "no measurable change"
    return f"{digits.of(change.value)} {'later' if change.value > 0 else 'earlier'}"


def _spread_lines(result: SensitivityResult) -> list[str]:
    """Return beside a tornado what explains most of the spread."""
    if not result.measurable_rows:
        runs = wording.counted(result.runs, "run")
        return [f"The {runs} of the current plan alone show no effect of any input on the spread.", *_why_no_shares(result)]
    first = result.measurable_rows[0]
    name, way = input_name(first.input), _way(result, first)
    spread = f"the spread of the {ready_date(result.outcome.scenario)}"
    if first.share is None or not first.share.measurable:
        most = "goes with late runs" if result.beside else "goes most with late runs"
        return [f"By rank correlation {name} {most}{way}{_too_close(result)}.", *_why_no_shares(result)]
    if result.beside:
        return [f"Of {spread}, {name} alone explains {_share_of(first)}{way}{_too_close(result)}."]
    return [f"Of {spread}, {name} alone explains most: {_share_of(first)}{way}."]


def _too_close(result: SensitivityResult) -> str:
    """Return which input is not measurably behind the first one, as the end of a sentence."""
    return f"; too close to tell from {input_name(result.beside[0])}" if result.beside else ""


def _unknown_lines(result: SensitivityResult) -> list[str]:
    """Return which unknown matters most by the runs of the forecast alone, and what comes next."""
    if not result.measurable_rows:
        runs = wording.counted(result.runs, "run")
        return [f"No input's effect on the {ready_date(result.outcome.scenario)} shows in these {runs}.", *_why_no_shares(result)]
    first, *others = result.measurable_rows
    shared = first.share is not None and first.share.measurable
    spread = f"the spread of the {ready_date(result.outcome.scenario)}"
    alone = f"it alone explains {whole(first.share.value)} of {spread}" if shared and first.share else ""
    way = _way(result, first).removeprefix("; ")
    lines = [f"{_biggest(result)}: {'; '.join(part for part in (alone, way) if part)}."]
    if shared and first.share:
        lines.append(f"That share lies between {100 * first.share.low:.0f} and {100 * first.share.high:.0f} % ({INTERVAL}).")
    lines += _why_no_shares(result)
    named = others[: _NAMED - 1]
    more = len(others) - len(named)
    if named:
        lines.append(f"Next: {'; '.join(map(_next, named))}{f'; {more} more in the table' if more else ''}.")
    if not more and len(others) + 1 < len(result.rows):
        lines.append(f"No other input's effect shows in these {wording.counted(result.runs, 'run')}.")
    return lines


def _biggest(result: SensitivityResult) -> str:
    """Return which unknown is the biggest, or with which others it may be that."""
    name = input_name(result.measurable_rows[0].input)
    if not result.beside:
        return f"The biggest unknown is {name}"
    measurable = [row.input for row in result.measurable_rows if row.input in result.beside]
    if not measurable:
        return f"The biggest unknown that shows in {wording.counted(result.runs, 'run')} is {name}"
    more = f" and {len(measurable) - 1} more" if len(measurable) > 1 else ""
    return f"One of the biggest unknowns, with {input_in_words(measurable[0])}{more}, is {name}"


def _why_no_shares(result: SensitivityResult) -> list[str]:
    if result.explained is not None:
        return []
    if len(set(result.outcome.hours)) == 1 and result.runs > 1:
        return [f"All runs are {ready_word(result.outcome.scenario)} at the same hour, so there is no spread to explain."]
    return [f"With fewer than {LEAST} runs the size of an effect cannot be given."]


def _share_of(row: SensitivityRow) -> str:
    assert row.share is not None
    return f"{whole(row.share.value)} ({INTERVAL} {100 * row.share.low:.0f} to {100 * row.share.high:.0f} %)"


def _way(result: SensitivityResult, row: SensitivityRow) -> str:
    """Return which way an input works, as the end of a sentence; nothing where that is not measurable."""
    direction = direction_of(row)
    if not direction:
        return ""
    if isinstance(row.input, ShipmentLuck):
        return f"; where it does not, the field is {ready_word(result.outcome.scenario)} {direction}"
    return f"; {more_of(row.input)}, the {direction} the field is {ready_word(result.outcome.scenario)}"


def direction_of(row: SensitivityRow) -> str:
    """Return where more of an input moves readiness; nothing where that is not measurable."""
    if row.rank is None or not row.rank.measurable or row.both_ways:
        return ""
    return "later" if row.rank.value > 0 else "earlier"


def _next(row: SensitivityRow) -> str:
    if row.share is not None and row.share.measurable:
        return f"{input_name(row.input)}, {whole(row.share.value)}"
    return f"{input_name(row.input)}, by rank correlation only"
