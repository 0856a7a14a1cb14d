"""Say when a field is first used, what that costs the whole, and which start opens which length first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.construction.check.closed_to_laying import area_closed
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import ChangeFormat, choose_format, whole
from simulation.questions.opening.study import SHARE, OpeningRow
from simulation.stats.paired_difference import FEWEST, difference_of_quantiles, measured

if TYPE_CHECKING:
    from simulation.questions.opening.study import OpeningResult
    from simulation.stats.paired_difference import Difference

CAUTION = (
    "Whether an unfinished strip may be used, and how far people, mats and pallets stand back, is for licensed practice and "
    "local rules; this tells time alone."
)


def opening_headline(result: OpeningResult) -> str:
    """Return when the shortest length is first used and the whole done, and what the windows cost it."""
    start, length = result.starts[0], result.lengths[0]
    row = result.row(start, length, result.priced) or result.rows[0]
    length_words = result.scenario.measures.length.text(length)
    first, whole = row.first_at(SHARE).value, row.whole_at(SHARE).value
    text = f"{length_words} of {result.area} usable at P80 {_days(first)}, {result.ready} {_days(whole)}"
    return (
        f"{text}: {price_words(row, price_format(result))}."
        if result.priced
        else f"{text}; without flying windows that costs the whole nothing."
    )


def opening_lines(result: OpeningResult) -> Iterator[str]:
    """Yield what each length costs, and which start opens it first."""
    measures = result.scenario.measures.length
    if result.priced:
        closed = next((area_closed(row.opening.scenario) for row in result.rows if row.opening.windows), "")
        if closed:
            yield f"The windows leave the crews no hour to lay {closed}: from {result.milestone} on, no row of it is laid."
        for length in result.lengths:
            row = result.row(result.starts[0], length, True)
            if row is not None:
                way = "In use" if row.made else "Flying"
                yield f"{way} from {measures.text(length)} on, {result.starts[0]}: {price_words(row, price_format(result))}."
        yield from _ends(result)
    yield from _held_by_tasks(result)
    if len(result.starts) > 1:
        for length in result.lengths:
            rows = [result.opened(start, length) for start in result.starts]
            if all(rows):
                yield _first_start(result, length, *[row for row in rows if row is not None])
    yield CAUTION


def _held_by_tasks(result: OpeningResult) -> Iterator[str]:
    """Yield for each start which lengths lie before what they are used with is there, in most runs."""
    measures, starts = result.scenario.measures.length, dict[str, list[str]]()
    for start in result.starts:
        rows = [row for length in result.lengths if (row := result.opened(start, length)) is not None]
        held = [row for row in rows if row.held and row.held[1] > 0.5]
        if held:
            names = listed(list(dict.fromkeys(row.held[0] for row in held if row.held)))
            lengths = listed([measures.text(row.opening.length) for row in held])
            always = all(row.held[1] == 1.0 for row in held if row.held)
            shares = listed([whole(row.held[1]) for row in held if row.held])
            runs = "all runs" if always else f"at least {shares} of the runs"
            said = f"{names} is done only after {lengths} lie in {runs}: length is not what {result.milestone} waits for then."
            starts.setdefault(said, []).append(start)
    for said, alike in starts.items():
        yield f"{wording.capitalised(listed(alike))}: {said}"


def price_format(result: OpeningResult) -> ChangeFormat:
    """Return how costs are written, in the table and in sentences."""
    known = [abs(row.price.value) for row in result.rows if row.price is not None and row.price.value is not None]
    return choose_format(max(known, default=0.0))


def price_words(row: OpeningRow, written: ChangeFormat) -> str:
    """Return what the use of a row's stretch costs the whole."""
    price, use = row.price, _use(row)
    if row.identical or price is None:
        return f"{use} costs the whole nothing, every run is done at the same hour"
    if price.value is None:
        return f"what {use} costs the whole lies beyond the last day simulated"
    if not price.measurable:
        if price.low is None or price.high is None:
            return f"fewer than {FEWEST} runs do not say what {use} costs the whole"
        if written.still(price):
            return f"{use} costs the whole nothing that can be measured at P80"
        ends = [
            f"{written.of(abs(end), False)}{'' if end > 0 else ' gained'}" if written.moves(end) else "nothing"
            for end in (price.low, price.high)
        ]
        return f"{use} costs the whole between {' and '.join(ends)} at P80 (95 % interval; more runs would tell)"
    way = "later" if price.value > 0 else "earlier"
    return f"{use} makes the whole {written.of(abs(price.value))} {way} at P80 (95 % interval {written.interval(price)})"


def _use(row: OpeningRow) -> str:
    """Return what the use of a row's stretch is called."""
    if not row.made:
        return "flying"
    return "flying with temporary ends" if row.opening.windows else "making temporary ends"


def _ends(result: OpeningResult) -> Iterator[str]:
    """Yield how often temporary ends are made, and how often a window begins without one."""
    row = result.row(result.starts[0], result.lengths[0], True)
    if row is None or not row.made:
        return
    made, late = math.fsum(row.made) / len(row.made), sum(count > 0 for count in row.late) / len(row.late)
    length = result.scenario.measures.length.text(row.opening.length)
    line = f"Temporary ends, {length} {row.opening.start}: made {made:.1f} times in the mean"
    if row.opening.windows:
        line += (
            f"; in {wording.percent(late)} of the runs one is held up so long that a window begins without it"
            if late
            else ("; one stands in every window of every run")
        )
    yield f"{line}."


def _first_start(result: OpeningResult, length: float, row: OpeningRow, other: OpeningRow) -> str:
    pairs = (row.first, other.first), (row.whole, other.whole)
    first, whole = (measured(difference_of_quantiles(before, after, SHARE), len(after)) for before, after in pairs)
    length_words = result.scenario.measures.length.text(length)
    written = choose_format(max(abs(change.value or 0.0) for change in (first, whole)))

    def by(change: Difference, at: str) -> str:
        return f"by {written.of(abs(change.value or 0.0))}{at} ({written.in_brackets(change, turned=True)})"

    def which(change: float) -> str:
        return other.opening.start if change < 0 else row.opening.start

    if first.value is None or not first.measurable:
        text = f"{length_words}: too close to call which start opens it first"
    else:
        text = f"{length_words}: {which(first.value)} opens it first, {by(first, ' at P80')}"
    if whole.value is None or not whole.measurable:
        return f"{text}; for {result.ready} it is too close to call."
    return f"{text}; {which(whole.value)} has {result.ready} first, {by(whole, '')}."


def _days(hours: float) -> str:
    return f"in {wording.days(hours)} days" if math.isfinite(hours) else "not by the last day simulated"
