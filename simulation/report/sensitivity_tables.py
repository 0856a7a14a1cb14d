"""What matters most of all that nobody knows today, as a person reads it on a terminal: the answer first, tables after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.analysis.first_order import LEAST
from simulation.analysis.level_inputs import LevelInput
from simulation.analysis.likelihood_words import likelihood
from simulation.analysis.moments import day
from simulation.analysis.paired import Difference
from simulation.analysis.quantiles import SAMPLING_ERROR_ONLY
from simulation.analysis.sensitivity import SMALL, Sensitive, Sensitivity
from simulation.report import wording
from simulation.report.sections import print_section, table_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.analysis.chances import Chance
    from simulation.analysis.tornado import Bar, End

#: Why a number stands in brackets.
BRACKETS = "In brackets: cannot be told from none with so many builds."
#: What the rank correlation does not see.
MISSES = (
    "Rank correlation tells the direction: above 0, more of it is later; 1 and -1 are a perfect order. It misses effects that "
    "rise and fall: those have a share of the spread, and a rank correlation near 0."
)
#: What is done to a level that is fixed.
FIXED = (
    "Each level in turn is known from the first day to be at its P10, or its P90, and keeps its scatter; all else has the same "
    "luck, build by build. What is known spreads readiness no longer: P80 gains by that at both ends."
)


def print_sensitivity(found: Sensitivity, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    console.print(heading(found), style="bold")
    for line in answer(found):
        console.print(line)
    if found.inputs:
        title = "Share of the spread of readiness that each level explains alone, and rank correlation"
        print_section(console, title, _shares(found), *share_notes(found))
    if found.bars:
        print_section(console, "Change of readiness, in days, if one level were known", _bars(found), *bar_notes(found))
    if found.outcome.deadline is not None and any(one.told_from_none and one.thirds for one in found.inputs):
        title = f"Chance of being ready by the deadline {found.outcome.deadline.text}"
        print_section(console, title, _on_time(found), *on_time_notes(found))


def heading(found: Sensitivity) -> str:
    """Return the title, with what it was read from."""
    scenario = found.outcome.scenario
    return (
        f"{scenario.title}: what matters most, from {wording.counted(found.builds, 'build')}, seed {found.seed}, "
        f"hour zero {day(scenario.starts)} {scenario.starts:%H:%M}"
    )


def answer(found: Sensitivity) -> list[str]:
    """Return the sentences that answer the question."""
    lines = [_what_matters(found)]
    if found.bars:
        bar = found.bars[0]
        digits = _digits(found)
        ends = " and ".join(
            f"{_moved(end.against.p80.value, digits)} at its {name} ({end.label})"
            for name, end in (("P10", bar.low), ("P90", bar.high))
        )
        lines.append(f"If {described(bar.input)} were known, P80 would move {ends}.")
    lines.append(_as_it_is(found))
    if found.unfinished:
        lines.append(
            f"{wording.counted(found.unfinished, 'build')} not ready at the horizon: ranked last, and counted as ready then for "
            "the shares, which are too small where many are."
        )
    if found.builds < found.asked or found.stopped:
        fixed = "" if found.bars is None else f", {len(found.bars)} of {len(found.inputs)} levels fixed"
        lines.append(
            f"Stopped early: {wording.number(found.builds)} of {wording.counted(found.asked, 'build')} of the scenario "
            f"done{fixed}."
        )
    return lines


def _what_matters(found: Sensitivity) -> str:
    if not found.inputs:
        return "Every level of this scenario is known: give ranges, such as { p10 = ..., p90 = ... }, to what nobody knows today."
    told = [one for one in found.inputs if one.told_from_none]
    if found.explained is None:
        why = f"fewer than {LEAST} builds tell no shares" if found.builds < LEAST else "all builds are ready at the same hour"
        return f"What matters most cannot be told: {why}." if not told else f"{_most(told[0])}; {why}."
    if not told:
        return (
            f"No level can be told from none with {wording.counted(found.builds, 'build')}: what spreads readiness is the "
            "luck of the moment, or too little of each level."
        )
    line = _most(told[0])
    if len(told) > 1:
        line += f"; then {', '.join(_short(one) for one in told[1:3])}"
    return f"{line}."


def _most(one: Sensitive) -> str:
    line = f"What nobody knows today about {described(one.input)} matters most"
    if one.share is not None and one.share.told_from_none:
        line += (
            f": it alone explains {_whole(one.share.value)} of the spread of readiness "
            f"(95 % interval {100 * one.share.low:.0f} to {_whole(one.share.high)})"
        )
    direction = _direction(one)
    return f"{line}, and more of it is {direction}" if direction else line


def _short(one: Sensitive) -> str:
    told = one.share is not None and one.share.told_from_none
    return f"{one.input.name} with {_whole(one.share.value)}" if told and one.share else one.input.name


def described(one: LevelInput) -> str:
    """Return an input by name, and what moves as one under it."""
    return one.name if len(one.keys) == 1 else f"{one.name} ({', '.join(one.keys)})"


def _as_it_is(found: Sensitivity) -> str:
    """Return the sentence on the scenario as it is, the reference of every change."""
    outcome = found.outcome
    bands = " and ".join(f"{band.name} {_in_days(band.value)} ({wording.interval(band)})" for band in (outcome.p50, outcome.p80))
    line = f"As it is: readiness {bands}"
    if outcome.chance is not None and outcome.deadline is not None:
        line += (
            f"; ready by {outcome.deadline.text} with {wording.chance(outcome.chance)}, {likelihood(outcome.chance.probability)}"
        )
    return f"{line}."


def _in_days(hours: float) -> str:
    text = wording.days(hours)
    return text if text == wording.BEYOND else f"{text} days"


def _whole(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _shares(found: Sensitivity) -> Table:
    table = table_of("level", "share", "95 % interval", "rank", "95 % interval")
    for one in found.inputs:
        share, rank = ("-", "-"), ("-", "-")
        if one.share is not None:
            text = f"{100.0 * max(one.share.value, 0.0):.1f} %"
            share = _bracketed(text, one.share.told_from_none), f"{100 * one.share.low:.0f} to {_whole(one.share.high)}"
        if one.rank is not None:
            ends = f"{one.rank.low:+.2f} to {one.rank.high:+.2f}"
            rank = _bracketed(f"{one.rank.value:+.2f}", one.rank.told_from_none), ends
        table.add_row(one.input.name, *share, *rank)
    return table


def _direction(one: Sensitive) -> str:
    if one.rank is None or not one.rank.told_from_none or one.both_ways:
        return ""
    return "later" if one.rank.value > 0 else "earlier"


def _bracketed(text: str, told: bool) -> str:
    return text if told else f"({text})"


def share_notes(found: Sensitivity) -> list[str]:
    """Return how the shares are to be read, and how well so many builds tell."""
    notes = [f"{BRACKETS} {MISSES}"]
    if found.explained is not None and found.least_told is not None:
        small = f"{_whole(SMALL)} takes about {wording.number(_about(found.builds_for_small))}"
        notes.append(
            f"With {wording.counted(found.builds, 'build')} and {wording.counted(len(found.inputs), 'level')} a share below "
            f"{100 * found.least_told:.1f} % cannot be told from none; {small} builds (--replications). Shares are by RBD-FAST, "
            "corrected for its bias with few builds; large ones still come out a few percent too small."
        )
        explained = max(found.explained, 0.0)
        notes.append(
            f"Together the levels explain {_whole(min(explained, 1.0))}, each on its own; the rest is the luck of the moment "
            "(scatter, rain, breakdowns) and levels that act together. Where that luck has f times the variance of the levels, "
            f"it turns every share S into S / (1 + f){_at_most(explained)}."
        )
    both = [one.input.name for one in found.inputs if one.both_ways]
    if both:
        notes.append(f"These have an effect, but hardly in one direction; it may rise and fall: {', '.join(both)}.")
    moving = [described(one.input) for one in found.inputs if len(one.input.keys) > 1]
    if moving:
        notes.append(f"These move as one and count as one: {'; '.join(moving)}.")
    if found.partly_shared:
        notes.append(f"These move together in part, and each has part of the others' share: {', '.join(found.partly_shared)}.")
    if found.constant:
        notes.append(f"Left out: {wording.counted(found.constant, 'level')} that the scenario states as known.")
    return [*notes, SAMPLING_ERROR_ONLY]


def _at_most(explained: float) -> str:
    return f"; here f is about {1.0 / explained - 1.0:.1f} at the most" if 0.05 < explained < 1.0 else ""


def _about(builds: int) -> int:
    return round(builds, -2) if builds >= 1000 else builds


def _bars(found: Sensitivity) -> Table:
    table = table_of("level known to be", "P50", "95 % interval", "P80", "95 % interval")
    digits = _digits(found)
    for bar in _shown(found):
        table.add_row(bar.input.name)
        for name, end in (("P10", bar.low), ("P90", bar.high)):
            table.add_row(f"  {name}: {end.label}", *_change(end.against.p50, digits), *_change(end.against.p80, digits))
    return table


def _shown(found: Sensitivity) -> list[Bar]:
    """Return the bars of which one end at least changes something that can be told; all, where there are none."""
    bars = list(found.bars or ())
    return [bar for bar in bars if _tells(bar)] or bars


def _tells(bar: Bar) -> bool:
    changes = [change for end in (bar.low, bar.high) for change in _quantiles(end)]
    return any(change.told_from_zero or change.value is None for change in changes)


def _digits(found: Sensitivity) -> int:
    """Return how many decimals of a day are worth to be shown: where all changes are below a day, one is too few."""
    return 1 if max(bar.span for bar in found.bars or ()) >= 24.0 else 2


def _change(change: Difference, digits: int) -> tuple[str, str]:
    """Return a change in days with its interval."""
    if change.value is None:
        return "beyond", ""
    low, high = change.low, change.high
    ends = "-" if low is None or high is None else f"{_signed(low, digits)} to {_signed(high, digits)}"
    return _bracketed(_signed(change.value, digits), change.told_from_zero), ends


def _signed(hours: float, digits: int) -> str:
    # A change too small to be shown has no sign either.
    return f"{round(hours / 24, digits) + 0.0:+.{digits}f}" if round(hours / 24, digits) else f"{0.0:.{digits}f}"


def _moved(hours: float | None, digits: int) -> str:
    return "beyond the horizon" if hours is None else f"by {_signed(hours, digits)} days"


def bar_notes(found: Sensitivity) -> list[str]:
    """Return what was fixed, against what, and in which order the bars stand."""
    notes = [f"{FIXED} The level that moves P80 farthest comes first, by what can be told; - is earlier."]
    if any(change.value is None for bar in found.bars or () for end in (bar.low, bar.high) for change in _quantiles(end)):
        notes.append("Beyond: beyond the horizon, there or as it is, so that the change is not known.")
    left = [bar.input.name for bar in found.bars or () if bar not in _shown(found)]
    if left:
        notes.append(f"No change can be told, at either end: {', '.join(left)}.")
    return [*notes, "In brackets: cannot be told from no change. Intervals are paired. " + SAMPLING_ERROR_ONLY]


def _quantiles(end: End) -> tuple[Difference, Difference]:
    return end.against.p50, end.against.p80


def _on_time(found: Sensitivity) -> Table:
    table = table_of("level", "in its lowest third", "in its highest third")
    for one in found.inputs:
        if one.thirds is not None and one.told_from_none:
            table.add_row(one.input.name, *(_percents(chance) for chance in one.thirds))
    return table


def _percents(chance: Chance) -> str:
    return f"{_whole(chance.probability)} ({100 * chance.low:.0f} to {_whole(chance.high)})"


def on_time_notes(found: Sensitivity) -> list[str]:
    """Return what the thirds are, and what a known level would change of the chance."""
    notes = [
        "Thirds of the builds: those in which the level came out lowest, and highest, with 95 % interval; levels that cannot be "
        f"told from none are left out. {SAMPLING_ERROR_ONLY}"
    ]
    for bar in (found.bars or ())[:3]:
        ends = " and ".join(f"{_points(end)} at {end.label}" for end in (bar.low, bar.high))
        notes.insert(len(notes) - 1, f"If {described(bar.input)} were known, the chance would change by {ends}.")
    return notes


def _points(end: End) -> str:
    change = end.against.chance
    if change.value is None or change.low is None or change.high is None:
        return "-"
    return f"{100 * change.value:+.0f} points ({100 * change.low:+.0f} to {100 * change.high:+.0f})"
