"""What stands on the comparison page of a brief? Plans side by side, the decision sheet, and what each change would buy."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Figure, Page, Part, Points, Sheet, Table, Text
from simulation.present.change_format import INTERVAL, change_format, meanings, on_time_share, whole
from simulation.questions.brief.answer import band_interval, measures_table
from simulation.questions.brief.decision_sheet import grid_table, sheet_record
from simulation.questions.compare.picture import describe_comparison, draw_comparison
from simulation.questions.compare.study import FEWEST, how_read
from simulation.questions.compare.tables import answer_lines

if TYPE_CHECKING:
    from simulation.questions.brief.study import Findings
    from simulation.questions.compare.study import CompareResult


def plans_page(found: Findings) -> Page | None:
    """Return the comparison page; None where nothing else was tried."""
    parts: list[Part] = []
    if found.comparison is not None:
        parts.append(Part("Other plans under the same luck", _compared(found.comparison)))
    if found.grid is not None:
        parts.append(
            Part("Decision sheet", (Text(_SHEET), Sheet(sheet_record(found.grid)), grid_table(found.grid)), on_paper=False)
        )
    if found.measures is not None and found.measures.tried:
        table = measures_table(found.measures, list(found.measures.tried), "Every change that was tried")
        left_out = [f"{one.name} ({one.why})" for one in found.measures.left_out]
        not_tried = [Text(f"Not tried: {'; '.join(left_out)}.")] if left_out else []
        parts.append(Part("What each change would buy", (table, *not_tried), on_paper=False))
    return Page("plans", "Other plans", tuple(parts)) if parts else None


_SHEET = (
    "Choose a plan: crews, start and forklifts. Every combination was simulated beforehand, under the same luck as the scenario "
    "as written; nothing is computed between them. It works without a network."
)


def _compared(found: CompareResult) -> tuple[Points | Table | Figure, ...]:
    draw, describe = partial(draw_comparison, found), partial(describe_comparison, found)
    return (
        Points(tuple(answer_lines(found))),
        plans_table(found),
        Figure("plans", "Days until ready, plan by plan", draw, describe, on_paper=False),
    )


def plans_table(found: CompareResult) -> Table:
    """Return the plans of a comparison: people, days, the paired change of P80, the chance of a deadline."""
    reference = found.plans[found.reference]
    digits = replace(change_format(reference.outcome), signed=True)
    deadline = reference.outcome.deadline
    rows = []
    for place, one in enumerate(found.plans):
        outcome, own = one.outcome, place == found.reference
        cells = ("reference", "") if own else digits.cells(one.against.p80)
        chance = () if one.outcome.chance is None else (whole(on_time_share(reference.outcome, one.outcome, one.against.chance)),)
        days = (wording.short_days(band.value) for band in (outcome.p50, outcome.p80))
        rows.append((f"{place + 1} {outcome.name}", f"{outcome.people:,}", *days, band_interval(outcome.p80), *cells, *chance))
    notes = [
        f"{wording.counted(found.run_count, 'run')} of each plan, paired run by run. Change: of P80 against plan "
        f"{found.reference + 1}; below zero is earlier; in brackets: cannot be measurable. People: on site, operators and "
        "drivers included.",
        *meanings([(digits, one.against.p80) for one in found.plans if one is not reference]),
        *filter(None, [how_read(found)]),
    ]
    if found.run_count < FEWEST:
        notes.append(f"With fewer than {FEWEST} runs these intervals hold too seldom, so no difference is told.")
    by = () if deadline is None else (f"ready by {deadline.text}",)
    columns = ("plan", "people", "P50, days", "P80, days", INTERVAL, f"change, {digits.name}", INTERVAL, *by)
    return Table("Plans side by side", columns, tuple(rows), notes=tuple(notes))
