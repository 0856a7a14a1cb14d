"""Make the result of move an answer: days without a field, what comes, other splits and stocks, both sites over time."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from simulation.present.answer import CAUTIONS as ALWAYS
from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.questions.move.picture import describe_move, draw_move
from simulation.questions.move.record import move_record
from simulation.questions.move.sentences import CAUTIONS, change_cell, move_headline, move_lines, picture_title
from simulation.stats.paired_difference import FEWEST
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY, estimate
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.move.study import Array, MoveResult, MoveRow

LEFT_OUT = (
    "Key strips, rail, connectors and anchors come as the second file says; mats to be repaired and scrap stay behind. "
    "Loads on the leg go by the clock, whatever the hour and the weather."
)


def move_answer(result: MoveResult, stem: str = "move") -> Answer:
    """Return the answer to how long there is no field; `stem` is the name of its files."""
    figure = Figure(stem, picture_title(result), partial(draw_move, result), partial(describe_move, result))
    parts = [Part.of(_when(result), short=True), Part.of(_ways(result), short=True), Part.of(_mats(result))]
    seeds = " and ".join(map(str, result.seeds))
    return Answer(
        question="move",
        title=f"{result.first.title}, then {result.second.title}",
        about=f"{wording.counted(result.runs, 'run')} of each way, seeds {seeds}, first site closes {day(result.first.starts)}",
        headline=move_headline(result),
        lines=tuple(move_lines(result)),
        warnings=tuple(_warnings(result)),
        pages=(Page("move", "Moving the field", (*parts, Part.of(figure))),),
        record=move_record(result),
        study=study_record(result.manifest),
        stopped=result.stopped,
        stem=stem,
        cautions=(*ALWAYS, *CAUTIONS),
    )


def _warnings(result: MoveResult) -> list[str]:
    asked, lines = result.asked, list[str]()
    if result.stopped:
        lines.append(f"Stopped early: {result.runs} of {result.wanted} runs of each way are done.")
    if left := int(np.isinf([run.taken.in_yard for run in asked.runs]).sum()):
        lines.append(f"In {left} of {result.runs} runs the first site is not up by its last day simulated; raise its horizon.")
    if left := int(np.isinf(asked.without).sum()):
        lines.append(f"In {left} of {result.runs} runs the second site is not open by its last day simulated; raise its horizon.")
    return lines


def _when(result: MoveResult) -> Table:
    asked = result.asked
    rows = [("last pallet off the first site", *_days(asked.off))]
    rows += [
        (f"second site: {milestone.name}", *_days(asked.until(number)))
        for number, milestone in enumerate(result.second.milestones)
    ]
    return Table(
        "When, in days since the first site closed",
        ("", "P10", "P50", "P80", "P90"),
        tuple(rows),
        notes=(LEFT_OUT, SAMPLING_ERROR_ONLY),
        short=1 + len(result.second.milestones),
    )


def _days(hours: Array) -> tuple[str, ...]:
    return tuple(wording.short_days(estimate(hours.tolist(), share).value) for share in (0.1, 0.5, 0.8, 0.9))


def _mats(result: MoveResult) -> Table:
    runs = result.asked.runs
    rows = []
    for kind, name in enumerate(("full", "half")):
        come = float(np.mean([run.way.mats()[kind] for run in runs]))
        behind = float(np.mean([_behind(run.taken.mats, kind == 0) for run in runs]))
        own = result.stock * (result.second.mat.pallet_full, result.second.mat.pallet_half)[kind]
        rows.append((name, f"{result.laid[kind]:,}", f"{behind:,.0f}", f"{come:,.0f}", f"{own:,}", f"{result.needs[kind]:,}"))
    return Table(
        "Where the mats are",
        ("", "lie at first", "stay behind", "arrive", "own stock", "second takes"),
        tuple(rows),
        notes=("Means. Stay behind: to be repaired, and scrap. The rest arrives, but for loads that are lost.",),
    )


def _behind(mats: dict[tuple[str, bool], int], full: bool) -> int:
    return sum(count for (state, whole), count in mats.items() if whole == full and state != "good")


def _ways(result: MoveResult) -> Table:
    rows = [_way(result, row) for row in (result.asked, *result.splits, *result.stocks)]
    return Table(
        f"{'More stock' if not result.splits else 'Other splits of people, more stock'}: days without a field",
        ("", "P50", "P80", "change of P50"),
        tuple(rows),
        words=frozenset({3}),
        notes=(
            "Change against the files as written, paired run by run; the intervals hold for all lines together at 95 %."
            if result.runs >= FEWEST
            else f"Change against the files as written, paired run by run; in brackets: under {FEWEST} runs measure none.",
            *(f"{row.way.name}: {row.way.keys}." for row in (*result.splits, *result.stocks)),
        ),
        strong=frozenset({0}),
        short=len(rows),
    )


def _way(result: MoveResult, row: MoveRow) -> tuple[str, ...]:
    return (row.way.name, *_days(row.without)[1:3], change_cell(result.against(row), row is result.asked))
