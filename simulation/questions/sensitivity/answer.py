"""Which unknown matters most, as an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Points, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL, POINTS, ChangeFormat, ends_of, meanings, whole
from simulation.present.words.job_words import cautions_of, ready_date, ready_word
from simulation.present.words.trial_words import list_looks
from simulation.questions.sensitivity.input_words import input_name
from simulation.questions.sensitivity.picture import describe_sensitivity, draw_sensitivity
from simulation.questions.sensitivity.record import sensitivity_record
from simulation.questions.sensitivity.sentences import at_end, change_digits, conclusion, measurable_bars, sensitivity_lines
from simulation.questions.sensitivity.shipment_luck import ShipmentLuck
from simulation.questions.sensitivity.study import SMALL
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.questions.sensitivity.study import SensitivityResult, SensitivityRow
    from simulation.questions.sensitivity.tornado import Bar, End
    from simulation.stats.chances import Chance
    from simulation.stats.paired_difference import Difference

#: Rows of the short form: inputs with a share, and bars of a tornado, of which each takes three.
_SHORT, _SHORT_BARS = 6, 3
MISSES = (
    "Rank correlation gives the direction: above 0, more of the input is later; 1 and -1 are a perfect order. It misses effects "
    "that rise and then fall: those have a share of the spread, and a rank correlation near 0."
)
FIXED = (
    "Each input in turn is known from the first day to be at its low end (P10: one chance in ten of being lower) or at its high "
    "end (P90: one in ten of being higher), and keeps its task-to-task variation; all else is drawn the same, run by run. "
    "What is known no longer spreads the dates: the 80 % date gains by that at both ends."
)
FIXED_SHIPMENT = (
    "A shipment has no low or high end: it comes on its first date in every run, or misses it in every run. Whether it comes on "
    "a later one is drawn as before."
)
#: How rank correlations are written.
_RANK = ChangeFormat("", 1.0, 2, True)


def file_stem(tornado: bool) -> str:
    """Return the name of the files before their suffix."""
    return "tornado" if tornado else "sensitivity"


def sensitivity_answer(result: SensitivityResult) -> Answer:
    """Return the answer to which unknown matters most."""
    scenario, stem = result.outcome.scenario, file_stem(result.bars is not None)
    headline, *lines = sensitivity_lines(result)
    title = conclusion(result)
    figure = Figure(stem, title, partial(draw_sensitivity, result), partial(describe_sensitivity, result))
    return Answer(
        question="sensitivity",
        title=scenario.title,
        about=f"which unknown matters most; {wording.counted(result.runs, 'run')}{' of each at most' if result.bars else ''}, "
        f"seed {result.seed}, start {day(scenario.starts)} {scenario.starts:%H:%M}",
        headline=headline,
        lines=tuple(lines),
        pages=(Page("sensitivity", "Which unknown matters most", (*_parts(result), Part(title, (figure,)))),),
        record=sensitivity_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stem=stem,
        stopped=result.stopped,
        cautions=cautions_of(scenario),
    )


def _parts(result: SensitivityResult) -> list[Part]:
    parts: list[Part] = []
    scenario = result.outcome.scenario
    if result.bars:
        parts += _split(
            [_bar_rows(result, bar) for bar in measurable_bars(result)],
            _SHORT_BARS,
            ("If one input were known today: change of the time to readiness, in days", "The same for the other inputs"),
            ("input, known to be", "P50", INTERVAL, "P80", INTERVAL),
            _short_bar_notes(result),
        )
        parts.append(Part("How to read these changes", (Points(tuple(bar_notes(result))),)))
    if result.rows:
        shown = 0 if result.bars else min(len(result.measurable_rows) or _SHORT, _SHORT)
        parts += _split(
            [[_share_row(row)] for row in result.rows],
            shown,
            (
                f"Share of the spread of the {ready_date(scenario)} that each input explains alone",
                "Share and rank correlation of other inputs",
            ),
            ("input", "share", INTERVAL, "rank", INTERVAL),
            ["Rank: above 0, more of it is later; below 0, earlier. In brackets: no measurable effect.", SAMPLING_ERROR_ONLY],
        )
        parts.append(Part("How to read the shares", (Points(tuple(share_notes(result))),)))
    if result.outcome.deadline is not None and any(row.measurable and row.thirds for row in result.rows):
        where = "where an input is low and where it is high"
        title = f"Chance of being {ready_word(scenario)} by the deadline {result.outcome.deadline.text}, {where}"
        rows = tuple(
            (input_name(row.input), *map(_chance_cell, row.thirds)) for row in result.rows if row.thirds and row.measurable
        )
        columns = ("input", "in its lowest third", "in its highest third")
        parts.append(Part(title, (Table(title, columns, rows, notes=tuple(on_time_notes(result))),)))
    return parts


def _split(
    groups: Sequence[list[tuple[str, ...]]], shown: int, titles: tuple[str, str], columns: tuple[str, ...], notes: Sequence[str]
) -> list[Part]:
    """Return a table of the first groups of rows for the short form, and one of the rest; one table where nothing is short."""
    parts = []
    for title, some, short in ((titles[0], groups[:shown], True), (titles[1 if shown else 0], groups[shown:], False)):
        rows = tuple(row for group in some for row in group)
        if rows:
            heads = [sum(map(len, some[:number])) for number in range(len(some))]
            strong = frozenset(heads) if len(rows) > len(some) else frozenset()
            table = Table(title, columns, rows, notes=tuple(notes) if short or not shown else (), strong=strong)
            parts.append(Part(title, (table,), short=short))
    return parts


def _share_row(row: SensitivityRow) -> tuple[str, ...]:
    share, rank = ("-", "-"), ("-", "-")
    if row.share is not None:
        text = f"{100.0 * max(row.share.value, 0.0):.1f} %"
        share = _bracketed(text, row.share.measurable), f"{100 * row.share.low:.0f} to {100 * row.share.high:.0f} %"
    if row.rank is not None:
        value, low, high = (_RANK.text(part) for part in (row.rank.value, row.rank.low, row.rank.high))
        rank = _bracketed(value, row.rank.measurable), f"{low} to {high}"
    return input_name(row.input), *share, *rank


def _bracketed(text: str, measurable: bool) -> str:
    return text if measurable else f"({text})"


def share_notes(result: SensitivityResult) -> list[str]:
    """Return how the shares are to be read, and how small an effect so many runs detect."""
    notes = [MISSES]
    inputs = wording.counted(len(result.rows), "input")
    if len(result.rows) > 1:
        notes.append(f"With {inputs} looked at together, each must clear a higher bar than its own interval to be measurable.")
    if result.explained is not None and result.smallest_measurable is not None:
        small = f"{whole(SMALL)} takes about {wording.number(_about(result.runs_for_small))}"
        notes.append(
            f"With {wording.counted(result.runs, 'run')} and {inputs} a share below {100 * result.smallest_measurable:.1f} % is "
            f"not measurable; {small} runs (--runs). Shares are by RBD-FAST, corrected for its bias with few runs; large ones "
            "still come out a few percent too small."
        )
        explained = max(result.explained, 0.0)
        notes.append(
            f"Together the inputs explain {whole(min(explained, 1.0))}, each on its own; the rest is chance within a run "
            "(task-to-task variation, rain, breakdowns) and inputs that act together. Where that chance has f times the variance "
            f"of the inputs, it turns every share S into S / (1 + f){_at_most(explained)}."
        )
    both = [input_name(row.input) for row in result.rows if row.both_ways]
    if both:
        notes.append(f"These have an effect, but hardly in one direction; it may rise and then fall: {', '.join(both)}.")
    moving = [f"{row.input.name} ({', '.join(row.input.keys)})" for row in result.rows if len(row.input.keys) > 1]
    if moving:
        notes.append(f"These keys share a name, move as one and count as one: {'; '.join(moving)}.")
    if result.partly_shared:
        notes.append(f"These move together in part, and each has part of the others' share: {', '.join(result.partly_shared)}.")
    if result.constant:
        left = wording.counted(result.constant, "input")
        notes.append(f"Left out: {left} that the scenario states as known, or that no work needs.")
    return notes


def _at_most(explained: float) -> str:
    return f"; here f is about {1.0 / explained - 1.0:.1f} at the most" if 0.05 < explained < 1.0 else ""


def _about(runs: int) -> int:
    return round(runs, -2) if runs >= 1000 else runs


def _bar_rows(result: SensitivityResult, bar: Bar) -> list[tuple[str, ...]]:
    digits = change_digits(result)
    plain = ChangeFormat(digits.name, digits.size, digits.places)
    rows: list[tuple[str, ...]] = [(input_name(bar.input), "", "swing", *plain.cells(bar.swing))]
    for name, end in (("low end", bar.low), ("high end", bar.high)):
        cells = (cell for change in _quantiles(end) for cell in digits.cells(change))
        label = end.trial.name if isinstance(bar.input, ShipmentLuck) else f"{name}: {end.trial.name}"
        rows.append((f"  {label}", *cells))
    return rows


def _short_bar_notes(result: SensitivityResult) -> list[str]:
    digits, bars = change_digits(result), measurable_bars(result)
    changes = [change for bar in bars for end in (bar.low, bar.high) for change in _quantiles(end)]
    return [
        "Below zero is earlier. Swing: from the earliest P80 to the latest of three, the current plan and both ends. In "
        "brackets: no measurable change.",
        *meanings((digits, change) for change in (*changes, *(bar.swing for bar in bars))),
        SAMPLING_ERROR_ONLY,
    ]


def bar_notes(result: SensitivityResult) -> list[str]:
    """Return what was fixed, what is not shown, and what to expect of so many changes."""
    notes, bars = [FIXED], measurable_bars(result)
    if any(isinstance(bar.input, ShipmentLuck) for bar in bars):
        notes.append(FIXED_SHIPMENT)
    left = [bar.input.name for bar in result.bars or () if bar not in bars]
    if left:
        notes.append(f"Not shown, no measurable swing of P80: {', '.join(left)}.")
    tried = {bar.input.name for bar in result.bars or ()}
    unfixable = [row for row in result.rows if isinstance(row.input, ShipmentLuck) and not row.input.can_be_fixed]
    if unfixable:
        names = ", ".join(input_name(row.input) for row in unfixable)
        notes.append(f"Not among these changes, though it differs from run to run: {names}. Its share stands below.")
    others = [row for row in result.rows if row.input.name not in tried and row not in unfixable]
    if others and not result.stopped:
        names = ", ".join(row.input.name for row in others)
        limits = [abs(end) for row in others for end in (row.moves.low, row.moves.high) if end is not None]
        at_most = (
            f": none moves the mean by more than {change_digits(result).of(max(limits))}, with 95 % confidence for all"
            if limits
            else ""
        )
        notes.append(
            f"Not tried, since they matter least by a regression of {result.runs:,} runs on all inputs{at_most}: {names}."
        )
    if len(result.looks) > 1:
        notes.append(
            f"Both ends get runs until P80 is known at each; intervals hold over looks after {list_looks(result.looks)} runs."
        )
    inputs = len(result.bars or ())
    if inputs > 1:
        notes.append(f"Intervals are paired. With {inputs} inputs tested, a false alarm or so is to be expected.")
    return notes


def _quantiles(end: End) -> tuple[Difference, Difference]:
    return end.against.p50, end.against.p80


def _chance_cell(chance: Chance) -> str:
    return f"{whole(chance.probability)} ({ends_of(chance)})"


def on_time_notes(result: SensitivityResult) -> list[str]:
    """Return what the thirds are, and what a known input would change of the chance."""
    notes = [
        "Thirds of the runs: those in which the input came out lowest, and highest, with their 95 % interval. Inputs without a "
        f"measurable effect are left out. {SAMPLING_ERROR_ONLY}"
    ]
    lucks = [input_name(row.input) for row in result.rows if isinstance(row.input, ShipmentLuck)]
    if lucks:
        notes.insert(0, f"Not in this table, since they have no thirds: {', '.join(lucks)}.")
    for bar in measurable_bars(result)[:3] if any(bar.measurable for bar in result.bars or ()) else ():
        ends = " and ".join(f"{_points(end)} {at_end(end, name)}" for name, end in (("low", bar.low), ("high", bar.high)))
        notes.insert(len(notes) - 1, f"The chance changes with {input_name(bar.input)}: by {ends}.")
    return notes


def _points(end: End) -> str:
    change = end.against.chance
    if POINTS.still(change):
        return "nothing measurable"
    return f"{POINTS.text(change.value or 0.0, change.measurable)} points ({POINTS.in_brackets(change)})"
