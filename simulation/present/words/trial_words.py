"""Say in how many runs changes were tried, by which rule runs ended, and what is known of each: the same words everywhere."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import (
    BRACKETS,
    HOURS,
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
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.study.changes.trials import TrialRow, TrialsResult

#: What a sentence says of P80 where a change does nothing to it that is known.
NO_MATTER, TOO_CLOSE = "no difference that matters to the 80 % date", "a difference to the 80 % date that is too close to call"
LESS = "less of a difference to the 80 % date than the best change"


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
    """Return what is known of what a change does to P80, for a column."""
    change = row.against.p80
    if row.identical:
        return "no run changed"
    if change.value is None:
        return "beyond"
    if row.effect is Effect.MEASURABLE or change.measurable:
        return "earlier" if change.value < 0 else "later"
    return "none that matters" if row.effect is Effect.NO_MATTER else row.effect.value


def deny_effect(rows: Sequence[TrialRow[Any]]) -> str:
    """Return what changes of no measurable effect on P80 make, together, for a sentence."""
    effects = {row.effect for row in rows}
    return NO_MATTER if effects == {Effect.NO_MATTER} else LESS if effects == {Effect.BEHIND} else TOO_CLOSE


def rule_notes(result: TrialsResult[Any]) -> list[str]:
    """Return by which rule runs ended, and what the words for an effect mean."""
    margin = f"half a shift ({result.margin:.3g} hours)"
    words = {row.effect for row in result.rows if not row.identical and row.against.p80.value is not None}
    notes = []
    if Effect.NO_MATTER in words:
        notes.append(f"None that matters: the whole interval of P80 lies within {margin} of no change.")
    if Effect.TOO_CLOSE in words:
        notes.append(
            f"Too close to call: after {wording.counted(result.looks[-1], 'run')} the interval holds both no change and {margin}."
        )
    if Effect.BEHIND in words:
        notes.append("Less than the best: measurably behind the change that gains most, so it got no more runs.")
    if Effect.OPEN in words:
        notes.append("Left open: stopped before it was known.")
    if len(result.looks) > 1:
        less = ", or less than the best" if any(row.behind for row in result.rows) else ""
        notes.append(
            f"A change gets more runs until its effect on P80 is measurable, and known to a half, or none that matters{less}; "
            f"the best go on to the end. Intervals hold over all looks, after {list_looks(result.looks)} runs."
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
    notes += meanings([(written, row.against.p80) for row in result.rows if not row.identical])
    return [*notes, *rule_notes(result), "Intervals are paired run by run: all else has the same random draws."]


def means_title(result: TrialsResult[Any], written: ChangeFormat) -> str:
    """Return the title of the table of medians, means and chances."""
    deadline = result.outcome.deadline
    by = "" if deadline is None else f", and the chance of being {ready_word(result.outcome.scenario)} by {deadline.text}"
    return f"The same for the median, in {written.name}, and the mean{by}"


def mean_columns(result: TrialsResult[Any], interval: str) -> tuple[str, ...]:
    """Return the columns of the table of medians, means and chances."""
    return (
        "runs",
        "P50",
        interval,
        "mean, hours",
        interval,
        *(() if result.outcome.deadline is None else ("on time", "points", interval)),
    )


def mean_cells(result: TrialsResult[Any], row: TrialRow[Any], written: ChangeFormat) -> tuple[str, ...]:
    """Return what a change does to the median, the mean and the chance of being on time."""
    chance = () if result.outcome.deadline is None else on_time_cells(row.outcome, row.against.chance, row.identical)
    return f"{row.runs:,}", *written.cells(row.against.p50, row.identical), *HOURS.cells(row.against.mean, row.identical), *chance


def mean_notes(result: TrialsResult[Any], written: ChangeFormat) -> list[str]:
    """Return what the table of medians, means and chances needs to be read."""
    changed = [row for row in result.rows if not row.identical]
    cells = [(written, row.against.p50) for row in changed] + [(HOURS, row.against.mean) for row in changed]
    cells += [(POINTS, row.against.chance) for row in changed]
    notes = [note for note in meanings(cells) if note in (NO_SPREAD_MEANS, WITHHELD_MEANS)]
    if any(row.against.mean.value is None and not row.against.mean.withheld for row in changed):
        done = ready_word(result.outcome.scenario)
        notes.append(f"Beyond: some runs are not {done} by the last day simulated, so there is no mean.")
    if result.outcome.chance is not None:
        notes.append(f"Points: percentage points against {whole(result.outcome.chance.probability)} under the current plan.")
    return [*notes, f"{BRACKETS} {SAMPLING_ERROR_ONLY}"]


def stop_lines(result: TrialsResult[Any], thing: str) -> list[str]:
    """Return how far a study came that was stopped; nothing where it was not."""
    if not result.stopped and result.runs >= result.asked:
        return []
    return [
        f"Stopped early: {wording.number(result.runs)} of {wording.counted(result.asked, 'run')} of the current plan done, "
        f"and {len(result.rows)} of {wording.counted(len(result.rows) + result.not_reached, thing)} tried."
    ]
