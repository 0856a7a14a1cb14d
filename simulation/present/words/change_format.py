"""Write a change in days, hours or percentage points, in a table and in a sentence, so that its digits do not contradict it.

A measurable change never reads as zero, a change too small for the digits is called no change, and an interval whose ends
round to the same number is not read out. Likelihood words stand only beside chances of enough runs; chances of few runs are
given as counts, and a chance that is known only from below says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from simulation.present.words import wording
from simulation.present.words.job_words import ready_word
from simulation.stats.chances import Chance, likelihood_word
from simulation.stats.likelihood_words import FEW
from simulation.stats.paired_difference import FEWEST_JUMPS, Difference
from simulation.stats.quantiles import QuantileEstimate
from simulation.study.outcomes import Outcome

INTERVAL = "95 % interval"
BRACKETS = "In brackets: no measurable effect with this number of runs."
NO_SPREAD = "no spread"
NO_SPREAD_MEANS = "No spread: the interval is narrower than the rounding."
WITHHELD_MEANS = (
    f"Withheld: fewer than {FEWEST_JUMPS} runs move by a night or a rest day; these few make up most of the mean, so it is not "
    "reliable."
)
NO_CHANGE = "no measurable change"
#: Up to so many hours changes are given in hours. Planning value: of three days a tenth of a day is a thirtieth.
SHORT = 72.0


@dataclass(frozen=True)
class ChangeFormat:
    """How changes of one kind are written.

    Attributes
    ----------
    name : str
        Of the unit, for several of them.
    size : float
        Of one unit: in hours for times, as a share for points.
    places : int
        Decimals.
    signed : bool
        Whether a plus is written.
    """

    name: str
    size: float
    places: int = 1
    signed: bool = False

    def text(self, value: float, measurable: bool = False) -> str:
        """Return a number; zero has no sign, and a measurable change is not written as zero."""
        number = round(value / self.size, self.places)
        if number:
            return f"{number:{'+' if self.signed else ''}.{self.places}f}"
        least = f"{10.0**-self.places:.{self.places}f}"
        if measurable and value:
            return f"<{least}" if value > 0 else f">-{least}"
        return f"{0.0:.{self.places}f}"

    def of(self, value: float, measurable: bool = True) -> str:
        """Return how large a number is, with its unit, for a sentence that says which way."""
        text = replace(self, signed=False).text(abs(value), measurable)
        single = text == f"{1.0:.{self.places}f}"
        return f"{text.replace('<', 'less than ')} {self.name.removesuffix('s') if single else self.name}"

    def interval(self, change: Difference) -> str:
        """Return the interval of a change for a column; a dash where it has none."""
        if change.low is None or change.high is None:
            return "-"
        low, high = (self.text(end, change.measurable) for end in (change.low, change.high))
        return NO_SPREAD if low == high else f"{low} to {high}"

    def cells(self, change: Difference, identical: bool = False) -> tuple[str, str]:
        """Return a change and its interval for two columns, in brackets where it is not measurable."""
        if identical:
            return "none", ""
        if change.value is None:
            return ("withheld" if change.withheld else "beyond"), ""
        text = self.text(change.value, change.measurable)
        return text if change.measurable else f"({text})", self.interval(change)

    def in_brackets(self, change: Difference, turned: bool = False) -> str:
        """Return the interval of a change for a sentence, with its name; `turned` where the sentence says which way."""
        if change.low is None or change.high is None:
            return "too few runs for an interval"
        ends = sorted(abs(end) for end in (change.low, change.high)) if turned else (change.low, change.high)
        low, high = (self.text(end, change.measurable) for end in ends)
        return f"{INTERVAL}: {NO_SPREAD}" if low == high else f"{INTERVAL} {low} to {high}"

    def ends(self, change: Difference, above: str, below: str) -> str:
        """Return the interval of a change that may go either way, each end with its direction, for a sentence."""
        if change.low is None or change.high is None:
            return "too few runs for an interval"
        low, high = (
            f"{self.of(end, False)} {above if end > 0 else below}" if self.moves(end) else "no change"
            for end in (change.low, change.high)
        )
        return f"{INTERVAL}: {NO_SPREAD}" if low == high else f"{INTERVAL} {low} to {high}"

    def moves(self, value: float | None) -> bool:
        """Whether a number moves any digit."""
        return value is None or bool(round(value / self.size, self.places))

    def still(self, change: Difference) -> bool:
        """Whether neither a change nor its interval moves any digit."""
        return not any(self.moves(number) for number in (change.value, change.low, change.high))


HOURS, DAYS = ChangeFormat("hours", 1.0), ChangeFormat("days", 24.0)
POINTS = ChangeFormat("points", 0.01, 0, True)


def choose_format(hours: float) -> ChangeFormat:
    """Return the format for changes of a construction that takes so many hours: whichever unit a planner would use."""
    return HOURS if hours <= SHORT and math.isfinite(hours) else DAYS


def change_format(outcome: Outcome) -> ChangeFormat:
    """Return the format for changes against a reference."""
    return choose_format(outcome.p80.value)


def whole(share: float) -> str:
    """Return a share in whole percent; what is rare does not read as never, and what is usual not as always."""
    percent = f"{100.0 * share:.0f} %"
    if percent == "0 %" and share > 0:
        return "<1 %"
    return ">99 %" if percent == "100 %" and share < 1 else percent


def ends_of(chance: Chance) -> str:
    """Return the interval of a chance in whole percent."""
    return f"{100 * chance.low:.0f} to {100 * chance.high:.0f} %"


def how_often(chance: Chance) -> str:
    """Return in how many runs something happened: a count where there are few, else percent; percent where no run was counted."""
    if _is_counted(chance):
        return f"in {chance.count} of {wording.counted(chance.runs, 'run')}"
    return f"in {whole(chance.probability)} of runs"


def _is_counted(chance: Chance) -> bool:
    return chance.runs < FEW and not chance.by_change


def _source(chance: Chance) -> str:
    """Return from how many runs a chance is told by a change, where they are few."""
    return f" from {wording.counted(chance.by_change, 'run')}" if 0 < min(chance.by_change, chance.runs) < FEW else ""


def _short(chance: Chance, counted: bool) -> str:
    if counted and _is_counted(chance):
        return f"{_bound(chance)}{chance.count}"
    word = likelihood_word(chance)
    return f"{_bound(chance)}{whole(chance.probability)}{_source(chance)}{f' ({word})' if word else ''}"


def _bound(chance: Chance) -> str:
    return "at least " if chance.at_least else ""


def chance_in_words(chance: Chance) -> str:
    """Return a chance with its interval, and its likelihood word where it bears one."""
    if _is_counted(chance):
        return f"{_bound(chance)}{how_often(chance)} ({INTERVAL} {ends_of(chance)})"
    word = likelihood_word(chance)
    if source := _source(chance):
        return f"{_bound(chance)}{whole(chance.probability)}{source} ({INTERVAL} {ends_of(chance)}){f', {word}' if word else ''}"
    return f"{_bound(chance)}{wording.chance(chance)}{f', {word}' if word else ''}"


def on_time_change(deadline: str, before: Chance, then: Chance, change: Difference, done: str = "ready") -> str:
    """Return what becomes of the chance of being ready by a deadline, for the end of a sentence; `done` is what a run is then."""
    counted = _is_counted(then)
    now = f"{_bound(then)}{how_often(then)}" if counted else _short(then, counted)
    if before.count == then.count and POINTS.still(change):
        return f"{done} by {deadline} as before, {now}"
    line = f"{done} by {deadline}: {now} "
    line += "as before" if _short(before, counted) == _short(then, counted) else f"instead of {_short(before, counted)}"
    if not change.measurable:
        return f"{line}, {NO_CHANGE} (points: {POINTS.in_brackets(change)})"
    return f"{line}, {POINTS.text(change.value or 0.0, True)} points ({POINTS.in_brackets(change)})"


def as_it_is(outcome: Outcome) -> str:
    """Return the sentence on the current plan, the reference of every change."""
    bands = outcome.p50, outcome.p80
    ready = ready_word(outcome.scenario)
    line = f"Current plan: {ready} at {' and '.join(f'{band.name} {_band(band)}' for band in bands)}"
    if outcome.chance is not None and outcome.deadline is not None:
        line += f"; {ready} by {outcome.deadline.text}: {chance_in_words(outcome.chance)}"
    return f"{line}."


def _band(band: QuantileEstimate) -> str:
    text = wording.days(band.value)
    if text == wording.BEYOND:
        return text
    ends = wording.interval(band)
    low, _, high = ends.partition(" to ")
    if low == high and low != wording.NO_LIMIT:
        return f"{text} days ({INTERVAL}: {NO_SPREAD})"
    few = " with so few runs" if wording.NO_LIMIT in ends else ""
    return f"{text} days ({INTERVAL} {ends.replace(wording.NO_LIMIT, 'no limit')}{few})"


def meanings(columns: Iterable[tuple[ChangeFormat, Difference]]) -> list[str]:
    """Return the notes that the cells of changes need."""
    shown = [written.cells(change) for written, change in columns]
    notes = []
    if any(value == "beyond" for value, _ in shown):
        notes.append("Beyond: after the last day simulated under one of the two plans, so the change is not known.")
    if any(ends == NO_SPREAD for _, ends in shown):
        notes.append(NO_SPREAD_MEANS)
    if any(value == "withheld" for value, _ in shown):
        notes.append(WITHHELD_MEANS)
    return notes


def ready_in_none(outcome: Outcome) -> int:
    """Return in how many runs readiness was not reached by the last day simulated."""
    return sum(math.isinf(hours) for hours in outcome.hours)


def on_time_cells(outcome: Outcome, change: Difference, identical: bool) -> tuple[str, str, str]:
    """Return the chance of being ready by the deadline, its change in points, and the interval of that."""
    if outcome.chance is None:
        return "", "", ""
    return whole(outcome.chance.probability), *POINTS.cells(change, identical)
