"""What own records say, as an answer: sentences, tables, a picture, lines to paste and a record."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table, Verbatim
from simulation.questions.rates.mixed_model import CONFIDENCE
from simulation.questions.rates.picture import describe_rates, draw_rates
from simulation.questions.rates.record import rates_record
from simulation.questions.rates.sentences import amount, conclusion, headline, rates_lines, what

if TYPE_CHECKING:
    from simulation.questions.rates.mixed_model import Spread
    from simulation.questions.rates.study import KeyRates, RatesResult

BLOCK = "rates.toml"


def rates_answer(result: RatesResult) -> Answer:
    """Return the answer to what own records say."""
    figure = Figure("rates", conclusion(result), partial(draw_rates, result), partial(describe_rates, result))
    title = "To paste into the scenario"
    others = [Part("Before and after, the other columns", (_compared(result.rates[1:]),))] if len(result.rates) > 1 else []
    parts = (
        Part("What the records say", (_said(result),), short=True),
        Part("Before and after", (_compared(result.rates[:1]),), short=True),
        *others,
        Part(figure.title, (figure,)),
        Part(title, (Verbatim(title, result.pasted.block),)),
    )
    return Answer(
        question="rates",
        title=result.scenario.title,
        about=f"Own records: {', '.join(result.files)}",
        headline=headline(result),
        lines=tuple(rates_lines(result)),
        pages=(Page("rates", "What own records say of the rates", parts),),
        record=rates_record(result),
        sheets={BLOCK: result.pasted.block},
    )


def _said(result: RatesResult) -> Table:
    rows = []
    for rates in result.rates:
        fit = rates.fit
        between = "one job" if fit.jobs == 1 else _spread(fit.between)
        numbers = f"{fit.jobs}", f"{fit.records:,}", amount(rates, fit.level)
        middle = " to ".join(amount(rates, end) for end in fit.level_interval)
        within = _spread(fit.within) if fit.within is not None else "one record each"
        rows.append((rates.measure.name, *numbers, middle, between, within))
    columns = ("column", "jobs", "records", "level", "interval", "between jobs", "within a job")
    notes = (
        "Between and within: standard deviation of the logarithm, about the share it varies by. "
        f"Intervals: {100 * CONFIDENCE:.0f} %.",
    )
    return Table("What the records say", columns, tuple(rows), notes=notes)


def _spread(spread: Spread | None) -> str:
    return "–" if spread is None else f"{100 * spread.value:.0f} % ({100 * spread.low:.0f} % to {100 * spread.high:.0f} %)"


def _compared(some: Sequence[KeyRates]) -> Table:
    rows = []
    for rates in some:
        if rates.before is not None:
            rows.append(_row(rates, "scenario as it is", rates.before, rates.scatter_before))
        if rates.fit.jobs > 1:
            ends = rates.fit.next_job(0.1), rates.fit.level, rates.fit.next_job(0.9)
            rows.append(_row(rates, "next job by the records", ends, rates.fit.variation))
        else:
            rows.append(
                (what(rates), "the records' job", "–", amount(rates, rates.fit.level), "–", _scatter(rates.fit.variation))
            )
        if rates.after is not None:
            rows.append(_row(rates, "with the lines pasted", rates.after, rates.scatter_after))
    columns = ("of", "by", "P10", "P50", "P90", "scatter")
    return Table("Before and after, from job to job", columns, tuple(rows), words=frozenset({1}))


def _row(rates: KeyRates, name: str, ends: tuple[float, float, float], scatter: float | str | None) -> tuple[str, ...]:
    return (what(rates), name, *(amount(rates, end) for end in ends), _scatter(scatter))


def _scatter(scatter: float | str | None) -> str:
    if scatter is None:
        return "–"
    return scatter if isinstance(scatter, str) else f"{scatter:.2f}"
