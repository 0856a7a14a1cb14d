"""What matters most of all that nobody knows today, as a person reads it on a terminal: the answer first, tables after."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.cautions import print_cautions
from simulation.present.change_words import INTERVAL, POINTS, Digits, ends_of, meanings, whole
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.sensitivity.answer import answer, days_of, described, shown_bars
from simulation.questions.sensitivity.study import SMALL, SensitivityResult
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.questions.sensitivity.tornado import End
    from simulation.stats.chances import Chance
    from simulation.stats.paired_difference import Difference

#: What the rank correlation does not see.
MISSES = (
    "Rank correlation tells the direction: above 0, more of it is later; 1 and -1 are a perfect order. It misses effects that "
    "rise and fall: those have a share of the spread, and a rank correlation near 0."
)
#: What is done to a level that is fixed.
FIXED = (
    "Each level in turn is known from the first day to be at its P10 (one chance in ten to be lower), or its P90 (one in ten "
    "to be higher), and keeps its scatter; all else has the same luck, run by run. + is later than as it is, - earlier. What "
    "is known spreads readiness no longer: P80 gains by that at both ends."
)
#: In which order levels stand, here and in the picture.
ORDER = "by swing in P80, from the earliest P80 to the latest of: as it is, at P10, at P90"
#: How rank correlations are written.
_RANK = Digits("", 1.0, 2, True)


def print_sensitivity(found: SensitivityResult, console: Console) -> None:
    """Print all of it; `console` must not read markup, because names are the planner's own words."""
    console.print(heading(found), style="bold")
    for line in answer(found):
        console.print(line)
    if found.bars:
        title = f"Change of readiness, in days, if one level were known; {ORDER}"
        print_section(console, title, _bars(found), *bar_notes(found))
    if found.inputs:
        title = "Share of the spread of readiness that each level explains alone, and rank correlation"
        print_section(console, title + ("; in the same order" if found.bars else ""), _shares(found), *share_notes(found))
    if found.outcome.deadline is not None and any(one.told_from_none and one.thirds for one in found.inputs):
        title = f"Chance of being ready by the deadline {found.outcome.deadline.text}"
        print_section(console, title, _on_time(found), *on_time_notes(found))
    print_cautions(console)


def heading(found: SensitivityResult) -> str:
    """Return the title, with what it was read from."""
    scenario = found.outcome.scenario
    return (
        f"{scenario.title}: what matters most, from {wording.counted(found.runs, 'run')}, seed {found.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}"
    )


def _shares(found: SensitivityResult) -> Table:
    table = new_table("level", "share", "95 % interval", "rank", "95 % interval")
    for one in found.inputs:
        share, rank = ("-", "-"), ("-", "-")
        if one.share is not None:
            text = f"{100.0 * max(one.share.value, 0.0):.1f} %"
            share = _bracketed(text, one.share.told_from_none), f"{100 * one.share.low:.0f} to {100 * one.share.high:.0f} %"
        if one.rank is not None:
            value, low, high = (_RANK.text(part) for part in (one.rank.value, one.rank.low, one.rank.high))
            rank = _bracketed(value, one.rank.told_from_none), f"{low} to {high}"
        table.add_row(one.input.name, *share, *rank)
    return table


def _bracketed(text: str, told: bool) -> str:
    return text if told else f"({text})"


def brackets(levels: int) -> str:
    """Return why a share or a rank correlation stands in brackets."""
    higher = f" With {levels} levels looked at at once, each must clear a higher bar than its own interval." if levels > 1 else ""
    return f"In brackets: cannot be measurable.{higher}"


def share_notes(found: SensitivityResult) -> list[str]:
    """Return how the shares are to be read, and how well so many runs tell."""
    notes = [brackets(len(found.inputs)), MISSES]
    if found.explained is not None and found.least_told is not None:
        small = f"{whole(SMALL)} takes about {wording.number(_about(found.runs_for_small))}"
        notes.append(
            f"With {wording.counted(found.runs, 'run')} and {wording.counted(len(found.inputs), 'level')} a share below "
            f"{100 * found.least_told:.1f} % cannot be measurable; {small} runs (--runs). Shares are by RBD-FAST, "
            "corrected for its bias with few runs; large ones still come out a few percent too small."
        )
        explained = max(found.explained, 0.0)
        notes.append(
            f"Together the levels explain {whole(min(explained, 1.0))}, each on its own; the rest is the luck of the moment "
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
        left = wording.counted(found.constant, "level")
        notes.append(f"Left out: {left} that the scenario states as known, or that no work needs.")
    return [*notes, SAMPLING_ERROR_ONLY]


def _at_most(explained: float) -> str:
    return f"; here f is about {1.0 / explained - 1.0:.1f} at the most" if 0.05 < explained < 1.0 else ""


def _about(runs: int) -> int:
    return round(runs, -2) if runs >= 1000 else runs


def _bars(found: SensitivityResult) -> Table:
    table = new_table("level known to be", "P50", INTERVAL, "P80", INTERVAL)
    digits = days_of(found)
    plain = Digits(digits.name, digits.size, digits.places)
    for bar in shown_bars(found):
        table.add_row(bar.input.name, "", "swing", *plain.cells(bar.swing), style="bold")
        for name, end in (("P10", bar.low), ("P90", bar.high)):
            cells = (cell for change in _quantiles(end) for cell in digits.cells(change))
            table.add_row(f"  {name}: {end.label}", *cells)
    return table


def bar_notes(found: SensitivityResult) -> list[str]:
    """Return what was fixed, against what, and in which order the bars stand."""
    digits, bars = days_of(found), shown_bars(found)
    ends = [(digits, change) for bar in bars for end in (bar.low, bar.high) for change in _quantiles(end)]
    notes = [
        "In brackets: cannot be told from no change.",
        FIXED,
        *meanings([*ends, *((digits, bar.swing) for bar in bars)]),
    ]
    left = [bar.input.name for bar in found.bars or () if bar not in bars]
    if left:
        notes.append(f"Not shown, no swing in P80 that can be told: {', '.join(left)}.")
    levels = len(found.bars or ())
    if levels > 1:
        notes.append(
            f"Intervals are paired. Each stands for itself: of {levels} levels, one or another that does nothing may seem to do "
            "something."
        )
    return [*notes, SAMPLING_ERROR_ONLY]


def _quantiles(end: End) -> tuple[Difference, Difference]:
    return end.against.p50, end.against.p80


def _on_time(found: SensitivityResult) -> Table:
    table = new_table("level", "in its lowest third", "in its highest third")
    for one in found.inputs:
        if one.thirds is not None and one.told_from_none:
            table.add_row(one.input.name, *(_percents(chance) for chance in one.thirds))
    return table


def _percents(chance: Chance) -> str:
    return f"{whole(chance.probability)} ({ends_of(chance)})"


def on_time_notes(found: SensitivityResult) -> list[str]:
    """Return what the thirds are, and what a known level would change of the chance."""
    notes = [
        "Thirds of the runs: those in which the level came out lowest, and highest, with 95 % interval; levels that cannot be "
        f"measurable are left out. {SAMPLING_ERROR_ONLY}"
    ]
    for bar in shown_bars(found)[:3] if any(one.told for one in found.bars or ()) else ():
        ends = " and ".join(f"{_points(end)} at its {name} ({end.label})" for name, end in (("P10", bar.low), ("P90", bar.high)))
        notes.insert(len(notes) - 1, f"If {described(bar.input)} were known, the chance would change by {ends}.")
    return notes


def _points(end: End) -> str:
    change = end.against.chance
    if POINTS.still(change):
        return "nothing that can be told"
    return f"{POINTS.text(change.value or 0.0, change.measurable)} points ({POINTS.in_brackets(change)})"
