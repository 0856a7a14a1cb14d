"""What stands on the comparison page of a brief? Plans side by side, the decision sheet, and what each change would buy."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Figure, Page, Part, Points, Sheet, Table, Text
from simulation.questions.brief.answer import measures_table
from simulation.questions.brief.decision_sheet import grid_table, sheet_record
from simulation.questions.compare.answer import plans_table
from simulation.questions.compare.picture import describe_comparison, draw_comparison
from simulation.questions.compare.sentences import write_conclusion, write_headline, write_lines, write_warnings

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
        Points((write_headline(found), *write_lines(found), *write_warnings(found))),
        plans_table(found),
        Figure("plans", write_conclusion(found), draw, describe, on_paper=False),
    )
