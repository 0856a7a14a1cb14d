"""Say in how many runs changes were tried, by which rule runs ended, and what is known of each: the same words everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import (
    BRACKETS,
    HOURS,
    INTERVAL,
    NO_SPREAD_MEANS,
    POINTS,
    WITHHELD_MEANS,
    ChangeFormat,
    meanings,
    on_time_cells,
    whole,
)
from simulation.present.words.job_words import ready_word
from simulation.stats.group_sequential import Effect
from simulation.stats.paired_difference import FEWEST
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.changes.foremost import Standing

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from simulation.study.changes.trials import TrialRow, TrialsResult
    from simulation.study.outcomes import Against

#: What a sentence says of P80 where a change does nothing to it that is known.
NO_MATTER, TOO_CLOSE = "no difference that matters to the 80 % date", "a difference to the 80 % date that is too close to call"
LESS = "less of a difference to the 80 % date than the best change"
#: Heads of columns, and what stands in them.
AROUND = "around P80, hours"
AROUND_SHORT = f"around P80: {INTERVAL}, in hours on shift."
AROUND_MEANS = "Around P80: the mean of all dates from P70 to P90. All is judged by its change: P80 itself jumps by nights."
#: How a change stands beside the best -> that it ends there, too.
_NO_MORE = {Standing.BEHIND: ", or less than the best", Standing.ALIKE: ", or as large as the best to within half a shift"}


def count_each(result: TrialsResult[Any]) -> str:
    """Return the number of runs in which changes were tried, for a sentence."""
    fewest, most = result.each
    return wording.counted(most, "run") if fewest == most else f"{fewest:,} to {most:,} runs"


def count_runs(result: TrialsResult[Any]) -> str:
    """Return how many runs there are of the current plan and of each change that was tried, for a sentence."""
    if result.each == (result.runs, result.runs):
        return f"{wording.counted(result.runs, 'run')} of each"
    return f"{result.runs:,} runs of the current plan, {count_each(result).removesuffix(' runs')} of each change, paired"


def name_effect(row: TrialRow[Any]) -> str:
    """Return what is known of what a change does to the dates around P80, for a column."""
    change = row.against.around_p80
    if row.identical:
        return "no run changed"
    if row.against.p80.value is None:
        return "beyond"
    if change.value is not None and (row.effect is Effect.MEASURABLE or change.measurable):
        return "earlier" if change.value < 0 else "later"
    return "none that matters" if row.effect is Effect.NO_MATTER else row.effect.value


def deny_effect(rows: Sequence[TrialRow[Any]]) -> str:
    """Return what changes of no measurable effect on P80 make, together, for a sentence."""
    effects = {row.effect for row in rows}
    return NO_MATTER if effects == {Effect.NO_MATTER} else LESS if effects == {Effect.BEHIND} else TOO_CLOSE


def judged_change(against: Against, written: ChangeFormat) -> tuple[str, str]:
    """Return the change of P80, in brackets where nothing is measurable around it, and the interval around it on shift."""
    around = against.around_p80
    if against.p80.value is None:
        return written.cells(against.p80)[0], ""
    p80 = written.text(against.p80.value, against.p80.measurable and around.measurable)
    return p80 if around.measurable else f"({p80})", HOURS.interval(around)


def judged_cells(row: TrialRow[Any], written: ChangeFormat) -> tuple[str, ...]:
    """Return the change of P80, the interval of the dates around it, and what is known of it, for columns."""
    if row.identical:
        return *written.cells(row.against.p80, True), name_effect(row)
    return *judged_change(row.against, written), name_effect(row)


def ends_around(row: TrialRow[Any]) -> str:
    """Return the interval of the dates around P80, for a sentence that denies an effect; nothing where no digit moves."""
    change = row.against.around_p80
    return "" if HOURS.still(change) else f" (dates around it, in hours on shift: {HOURS.ends(change, 'later', 'earlier')})"


def move_around(against: Against) -> str:
    """Return how far the dates around P80 move, for a sentence on a change that moves them and not measurably P80 itself."""
    change = against.around_p80
    way = "later" if (change.value or 0.0) > 0 else "earlier"
    return (
        f"the dates around the 80 % date move {HOURS.of(change.value or 0.0)} on shift {way} "
        f"({HOURS.in_brackets(change, turned=True)}), the 80 % date itself not measurably"
    )


def beside_foremost(result: TrialsResult[Any], called: Callable[[TrialRow[Any]], str], does: str) -> list[str]:
    """Return which changes do as much as the foremost, and which may: the runs do not say which does more."""
    lines = []
    for standing, words in (
        (Standing.ALIKE, f"{does} as much to within half a shift ({result.margin:.3g} hours on shift)"),
        (Standing.RIVAL, f"may {does} as much or more, too close to call"),
    ):
        names = [called(row) for row in result.rows if row.standing is standing]
        if names:
            words = words.replace(does, f"{does}s", 1) if standing is Standing.ALIKE and len(names) == 1 else words
            lines.append(f"{wording.capitalised(listed(names))} {words}.")
    return lines


def rule_notes(result: TrialsResult[Any]) -> list[str]:
    """Return by which rule runs ended, and what the words for an effect mean."""
    margin, notes = f"half a shift ({result.margin:.3g} hours)", [AROUND_MEANS]
    words = {row.effect for row in result.rows if not row.identical and row.against.p80.value is not None}
    if Effect.NO_MATTER in words:
        notes.append(f"None that matters: the whole interval around P80 lies within {margin} of no change.")
    if Effect.TOO_CLOSE in words:
        notes.append(
            f"Too close to call: after {wording.counted(result.looks[-1], 'run')} the interval around P80 holds both no change "
            f"and {margin}."
        )
    if Effect.BEHIND in words:
        notes.append("Less than the best: measurably behind the change that gains most, so it got no more runs.")
    if Effect.OPEN in words:
        notes.append("Left open: stopped before it was known.")
    if len(result.looks) > 1:
        beside = [words for standing, words in _NO_MORE.items() if any(row.standing is standing for row in result.rows)]
        notes.append(
            "A change gets more runs until its effect around P80 is measurable, and known to a half, or none that matters"
            f"{''.join(beside)}; the best goes on to the end. Intervals hold over all looks, after "
            f"{list_looks(result.looks)} runs."
        )
    return notes


def list_looks(looks: Sequence[int]) -> str:
    """Return the numbers of runs at which is looked, for a sentence."""
    return listed([f"{look:,}" for look in looks])


def p80_notes(result: TrialsResult[Any], written: ChangeFormat) -> list[str]:
    """Return what a table of changes of P80 needs to be read."""
    notes = [f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]
    if any(row.identical for row in result.rows):
        notes.append("None: no run changed at all.")
    notes += meanings([(HOURS, row.against.around_p80) for row in result.rows if not row.identical])
    return [*notes, *rule_notes(result), "Intervals are paired run by run: all else has the same random draws."]


def means_title(result: TrialsResult[Any], written: ChangeFormat) -> str:
    """Return the title of the table of medians, means and chances."""
    deadline = result.outcome.deadline
    by = "" if deadline is None else f", and the chance of being {ready_word(result.outcome.scenario)} by {deadline.text}"
    return f"The same for P80 alone and the median, in {written.name}, and the mean{by}"


def mean_columns(result: TrialsResult[Any], interval: str) -> tuple[str, ...]:
    """Return the columns of the table of medians, means and chances."""
    return (
        "runs",
        "P80",
        interval,
        "P50",
        interval,
        "mean, hours",
        interval,
        *(() if result.outcome.deadline is None else ("on time", "points", interval)),
    )


def mean_cells(result: TrialsResult[Any], row: TrialRow[Any], written: ChangeFormat) -> tuple[str, ...]:
    """Return what a change does to the median, the mean and the chance of being on time."""
    chance = () if result.outcome.deadline is None else on_time_cells(row.outcome, row.against.chance, row.identical)
    quantiles = (row.against.p80, row.against.p50)
    cells = (cell for change in quantiles for cell in written.cells(change, row.identical))
    return f"{row.runs:,}", *cells, *HOURS.cells(row.against.mean, row.identical), *chance


def mean_notes(result: TrialsResult[Any], written: ChangeFormat) -> list[str]:
    """Return what the table of medians, means and chances needs to be read."""
    changed = [row for row in result.rows if not row.identical]
    cells = [(written, change) for row in changed for change in (row.against.p80, row.against.p50)]
    cells += [(HOURS, row.against.mean) for row in changed]
    cells += [(POINTS, row.against.chance) for row in changed]
    notes = [note for note in meanings(cells) if note in (NO_SPREAD_MEANS, WITHHELD_MEANS)]
    if any(row.against.mean.value is None and not row.against.mean.withheld for row in changed):
        done = ready_word(result.outcome.scenario)
        notes.append(f"Beyond: some runs are not {done} by the last day simulated, so there is no mean.")
    if result.outcome.chance is not None:
        notes.append(f"Points: percentage points against {whole(result.outcome.chance.probability)} under the current plan.")
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]


def stop_lines(result: TrialsResult[Any], thing: str) -> list[str]:
    """Return that runs are too few to measure a change, and how far a study came that was stopped; nothing where neither is."""
    few = f"With fewer than {FEWEST} runs no change can be measured: raise --runs."
    lines = [few] if result.rows and result.each[1] < FEWEST else []
    if result.stopped or result.runs < result.asked:
        tried = wording.counted(len(result.rows) + result.not_reached, thing)
        lines.append(
            f"Stopped early: {wording.number(result.runs)} of {wording.counted(result.asked, 'run')} of the current plan done, "
            f"and {len(result.rows)} of {tried} tried."
        )
    return lines
