"""What does a planner read of own records? The rate they show, how it compares, and what they cannot tell."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.rates.records import ROW

if TYPE_CHECKING:
    from simulation.questions.rates.study import KeyRates, RatesResult


def amount(rates: KeyRates, value: float) -> str:
    """Return a time or a share as it is told."""
    if rates.measure.share:
        return f"{value:.2f}"
    if value < 3 / 60 and rates.measure.key != ROW:
        return f"{value * 3600:.1f} s"
    return f"{value * 60:.2f} min" if value < 3.0 else f"{value:.2f} h"


def what(rates: KeyRates) -> str:
    """Return what one column is about, in words."""
    return "a row" if rates.measure.key == ROW else rates.measure.key


def headline(result: RatesResult) -> str:
    """Return the answer in one sentence."""
    first = result.rates[0]
    fit = first.fit
    named = "A row" if first.measure.key == ROW else first.measure.key
    counts = f"{wording.counted(fit.records, 'record')} of {wording.counted(fit.jobs, 'job')}"
    line = f"{named} {'is' if first.measure.share else 'takes'} {amount(first, fit.level)} by {counts}"
    if first.before is None:
        return f"{line}; the scenario has no such key yet."
    return f"{line}, where {result.scenario.title} holds {amount(first, first.before[1])}."


def rates_lines(result: RatesResult) -> list[str]:
    """Return the sentences below the headline."""
    lines = []
    first = result.rates[0]
    if first.measure.key == ROW:
        lines.append(
            f"Set beside ordinary rows of {result.area}, laid by {result.people} people; --area and --people say otherwise. "
            "Times are taken as they passed at work, pauses in them."
        )
    if first.fit.jobs > 1 and not first.measure.share:
        low, high = amount(first, first.fit.next_job(0.1)), amount(first, first.fit.next_job(0.9))
        lines.append(
            f"The next job lies between {low} and {high} in eight of ten cases (Student's t over {first.fit.jobs} jobs)."
        )
    if first.fit.still:
        lines.append(f"{wording.counted(first.fit.still, 'record')} still under way: counted as lasting longer than that.")
    lines += [*result.pasted.notes, *result.notes]
    skipped = [
        rate.measure.name for rate in result.rates if rate.measure.key not in {key for key, _ in result.pasted.lines} | {ROW}
    ]
    overlapped = [
        rate.measure.name
        for rate in result.rates
        if first.measure.key == ROW and rate.measure.key in ("laying.place", "laying.pick_up", "laying.efficiency")
    ]
    if overlapped or skipped:
        names = " and ".join(dict.fromkeys([*overlapped, *skipped]))
        lines.append(f"{names}: shown, and not pasted, since rows hold them together; --of laying.place makes lines of that one.")
    lines.append("The lines to paste are in rates.toml; --full prints them.")
    return lines


def conclusion(result: RatesResult) -> str:
    """Return the title of the picture."""
    first = result.rates[0]
    if first.before is None:
        return headline(result)
    ratio = first.fit.level / first.before[1]
    if abs(ratio - 1.0) < 0.05:
        return f"The records agree with the scenario about {what(first)}"
    more = f"{100.0 * abs(ratio - 1):.0f} % {'longer' if ratio > 1 else 'less'} than"
    return f"By the records {what(first)} {'is' if first.measure.share else 'takes'} {more} the scenario holds"
