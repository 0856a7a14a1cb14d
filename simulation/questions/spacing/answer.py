"""Make the result of spacing an answer: a recommendation, what each layout costs, and the frontier as a picture."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.questions.spacing.layouts import HANDBOOK
from simulation.questions.spacing.picture import describe_spacing, draw_spacing, picture_title
from simulation.questions.spacing.record import spacing_record
from simulation.questions.spacing.sentences import change_cell, spacing_headline, spacing_lines, warning_lines
from simulation.questions.spacing.study import mean_days
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.spacing.study import SpacingResult


def spacing_answer(result: SpacingResult) -> Answer:
    """Return the answer to how far apart key strips should lie."""
    figure = Figure("spacing", picture_title(result), partial(draw_spacing, result), partial(describe_spacing, result))
    parts = (Part.of(_costs(result), short=True), Part.of(figure))
    return Answer(
        question="spacing",
        title=result.scenario.title,
        about=f"key strips of {result.area}; {wording.counted(result.runs, 'run')} of each layout, seed {result.seed}",
        headline=spacing_headline(result),
        lines=tuple(spacing_lines(result)),
        warnings=tuple(warning_lines(result)),
        pages=(Page("spacing", "How far apart key strips should lie", parts),),
        record=spacing_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
    )


def _costs(result: SpacingResult) -> Table:
    length = result.scenario.measures.length
    rows = []
    for row in result.rows:
        change = change_cell(result.against(result.handbook, row), row is result.handbook)
        days = (f"{mean_days(row.lay):.2f}", f"{row.closed.mean():,.1f}", f"{mean_days(row.take_up):.2f}")
        rows.append((row.layout.name(length), f"{row.strips}", *days, f"{mean_days(row.without):.2f}", change))
    notes = ["Means. Days without a field: laying, hours closed for repairs over the stay, and taking up together."]
    if result.laid_otherwise:
        pairs = ", ".join(f"{asked} as {length.text(feet)}" for asked, feet in result.laid_otherwise)
        notes.append(f"Key strips lie behind whole rows, laid are: {pairs}.")
    if result.by_zone is not None:
        zone = length.text(result.damage.touchdown)
        notes.append(f"Two distances: up to {zone} from either end, end ramps beside, where aircraft touch down; and elsewhere.")
    notes += [
        f"Change: against the handbook's {length.text(HANDBOOK)} (NAVEDTRA 14251 ch. 11), paired run by run; the intervals of "
        f"all pairs hold together at {100 * CONFIDENCE:.0f} %, since the best is picked by the same runs.",
        SAMPLING_ERROR_ONLY,
    ]
    columns = ("every", "strips", "lay, d", "closed, h", "take up, d", "without, d", "change, d")
    best = frozenset({result.rows.index(result.best)})
    return Table("What each layout of key strips costs", columns, tuple(rows), notes=tuple(notes), strong=best)
