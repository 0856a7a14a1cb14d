"""What does a planner read of sensitivity? The level that moves P80 farthest, or explains most; nothing else is named."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.change_words import INTERVAL, NO_CHANGE, Digits, as_it_is, whole
from simulation.stats.first_order import LEAST

if TYPE_CHECKING:
    from simulation.questions.sensitivity.level_inputs import LevelInput
    from simulation.questions.sensitivity.study import SensitivityResult, SensitivityRow
    from simulation.questions.sensitivity.tornado import Bar, End

#: Levels that a sentence names.
_NAMED = 3


def answer(found: SensitivityResult) -> list[str]:
    """Return the sentences that answer the question."""
    lines = [*([_swings(found, found.bars)] if found.bars else []), _what_matters(found), as_it_is(found.outcome)]
    if found.unfinished:
        lines.append(
            f"{wording.counted(found.unfinished, 'run')} not ready by the last day simulated: ranked last, and counted as ready "
            "then for the shares, which are too small where many are."
        )
    if found.runs < found.asked or found.stopped:
        total = wording.counted(len(found.inputs), "level")
        fixed = "" if found.bars is None else f", {len(found.bars)} of {total} fixed"
        lines.append(
            f"Stopped early: {wording.number(found.runs)} of {wording.counted(found.asked, 'run')} of the scenario done{fixed}."
        )
    return lines


def days_of(found: SensitivityResult) -> Digits:
    """Return how changes are written: where all swings are below a day, one decimal of a day is too few."""
    known = [bar.span for bar in found.bars or () if math.isfinite(bar.span)]
    return Digits("days", 24.0, 1 if max(known, default=24.0) >= 24.0 else 2, True)


def shown_bars(found: SensitivityResult) -> list[Bar]:
    """Return the bars whose swing can be told, for table and picture alike; all, where none can."""
    bars = list(found.bars or ())
    return [bar for bar in bars if bar.told] or bars


def described(one: LevelInput) -> str:
    """Return an input by name, and what moves as one under it."""
    return one.name if len(one.keys) == 1 else f"{one.name} ({', '.join(one.keys)})"


def _swings(found: SensitivityResult, bars: tuple[Bar, ...]) -> str:
    """Return the sentence on the tornado."""
    first, *others = shown_bars(found)
    if not first.told:
        each = wording.counted(found.runs, "run")
        return f"No level, known to be at its P10 or at its P90, moves P80 so that {each} of each can tell it."
    digits = days_of(found)
    line = (
        f"Known today, {described(first.input)} would move P80 farthest: at its P10 ({first.low.label}) P80 comes "
        f"{_moved(first.low, digits)}, at its P90 ({first.high.label}) {_moved(first.high, digits)}"
    )
    if first.swing.value is not None:
        line += f"; a swing of {digits.of(first.swing.value)}"
    named = [f"{bar.input.name} {digits.of(bar.span) if math.isfinite(bar.span) else 'beyond'}" for bar in others[: _NAMED - 1]]
    if named:
        line += f", then {', '.join(named)}"
        if first.swing.low is not None and others[0].span >= first.swing.low:
            line += f"; too close to tell which of {first.input.name} and {others[0].input.name} moves it farther"
    more = len(others) - len(named)
    if more > 0:
        return f"{line}; {more} more in the table."
    return f"{line}. {_nothing_else(len(bars) - len(shown_bars(found)))}".rstrip()


def _nothing_else(left: int) -> str:
    return "Nothing else can be measurable." if left else ""


def _moved(end: End, digits: Digits) -> str:
    change = end.against.p80
    if change.value is None:
        return "after the last day simulated"
    if digits.still(change) or not change.measurable:
        return f"with {NO_CHANGE}"
    way = "later" if change.value > 0 else "earlier"
    return f"{digits.of(change.value)} {way} ({Digits(digits.name, digits.size, digits.places).in_brackets(change, turned=True)})"


def _what_matters(found: SensitivityResult) -> str:
    if not found.inputs:
        return "Every level of this scenario is known: give ranges, such as { p10 = ..., p90 = ... }, to what nobody knows today."
    told = found.told
    runs = wording.counted(found.runs, "run")
    if found.explained is None:
        same = len(set(found.outcome.hours)) == 1 and found.runs > 1
        why = "all runs are ready at the same hour" if same else f"fewer than {LEAST} runs tell no shares"
        if not told:
            return f"What explains most of the spread of readiness cannot be told: {why}."
        return f"{_most(found, told[0])}; {why}. {_nothing_else(len(found.inputs) - 1)}".rstrip()
    if not told:
        return (
            f"No level can be measurable by its share of the spread with {runs}: what spreads readiness is the luck of the "
            "moment, or too little of each level."
        )
    line = _most(found, told[0])
    others = told[1:_NAMED]
    if others:
        line += f"; then {', '.join(_short(one) for one in others)}"
        if _close(told[0], told[1]):
            line += f"; too close to tell which of {told[0].input.name} and {told[1].input.name} explains more"
    if len(told) > _NAMED:
        return f"{line}; {len(told) - _NAMED} more in the table."
    return f"{line}. {_nothing_else(len(found.inputs) - len(told))}".rstrip()


def _most(found: SensitivityResult, one: SensitivityRow) -> str:
    share = one.share if one.share is not None and one.share.told_from_none else None
    line = f"What nobody knows today about {described(one.input)} matters most"
    if found.bars:  # what matters most there is what moves P80
        line = f"Of the spread of readiness {one.input.name} alone explains most"
    if share is not None:
        interval = f"{INTERVAL} {100 * share.low:.0f} to {100 * share.high:.0f} %"
        line += f": {'' if found.bars else 'it alone explains '}{whole(share.value)}"
        line += f" ({interval})" if found.bars else f" of the spread of readiness ({interval})"
    elif found.bars:
        line = f"By rank correlation {one.input.name} goes most with late runs"
    direction = direction_of(one)
    return f"{line}, and more of it is {direction}" if direction else line


def direction_of(one: SensitivityRow) -> str:
    """Return where more of an input moves readiness; nothing where that cannot be told."""
    if one.rank is None or not one.rank.told_from_none or one.both_ways:
        return ""
    return "later" if one.rank.value > 0 else "earlier"


def _short(one: SensitivityRow) -> str:
    if one.share is not None and one.share.told_from_none:
        return f"{one.input.name} with {whole(one.share.value)}"
    return f"{one.input.name}, told by its rank correlation only"


def _close(first: SensitivityRow, second: SensitivityRow) -> bool:
    """Return whether the second's share lies within the interval of the first's, both told."""
    shares = [one.share for one in (first, second) if one.share is not None and one.share.told_from_none]
    return len(shares) == 2 and shares[1].value >= shares[0].low
