"""Make the result of an update an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Points, Table, Terms
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL, POINTS, change_format, whole
from simulation.questions.update.picture import conclude_update, describe_update, draw_update
from simulation.questions.update.record import update_record
from simulation.questions.update.sentences import update_headline, update_lines, update_warnings
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY, estimate
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from simulation.questions.update.study import UpdateResult


def update_answer(result: UpdateResult) -> Answer:
    """Return the answer to when the field is ready as the work stands."""
    scenario = result.now.scenario
    headline, starts = update_headline(result), scenario.starts
    figure = Figure("update", conclude_update(result), partial(draw_update, result), partial(describe_update, result))
    parts = [Part("Then and now", (_then_and_now(result),), short=True)]
    if result.lessons.levels:
        parts.append(Part("What the log teaches of the rates", (_levels(result),), short=True))
        evidence = Terms(tuple((level.key, level.evidence) for level in result.lessons.levels))
        parts.append(Part("What the log says of each level", (evidence,)))
    parts.append(Part("What was forecast, what happened, what is forecast now", (figure,)))
    granted = _granted(result)
    if granted:
        parts.append(Part("What was taken for granted", (Points(granted),), short=True))
    log = scenario.source.log
    return Answer(
        question="update",
        title=scenario.title,
        about=f"the work as {log.file if log is not None else 'a log'} has it; {wording.counted(result.runs, 'run')}, seed "
        f"{result.seed}, start {day(starts)} {starts:%H:%M}",
        headline=headline,
        lines=tuple(update_lines(result)),
        warnings=tuple(update_warnings(result)),
        pages=(Page("update", "How the work stands against the forecast", tuple(parts)),),
        record=update_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
    )


def _granted(result: UpdateResult) -> tuple[str, ...]:
    later = result.log.later
    left_out = (f"left out, since they go beyond the moment: {wording.counted(len(later), 'line')} of the log",) if later else ()
    return (*result.log.taken, *left_out)


def _then_and_now(result: UpdateResult) -> Table:
    calendar, written = make_calendar(result.now.scenario), change_format(result.then)
    rows = []
    for name, share, change in (("P50", 0.5, result.change.p50), ("P80", 0.8, result.change.p80)):
        then, now = (estimate(outcome.hours, share).value for outcome in (result.then, result.now))
        rows.append(
            (name, wording.days(then), wording.moment(calendar, then), wording.days(now), wording.moment(calendar, now),
             *written.cells(change, result.then.hours == result.now.hours))
        )  # fmt: skip
    if result.then.chance is not None and result.now.chance is not None and result.now.deadline is not None:
        then_share, now_share = whole(result.then.chance.probability), whole(result.now.chance.probability)
        cells = POINTS.cells(result.change.chance, result.then.hours == result.now.hours)
        rows.append((f"ready by {result.now.deadline.text}", then_share, "", now_share, "", *cells))
    notes = (
        f"Days from the start. The change is in {written.name} (points of a chance), above zero later. {SAMPLING_ERROR_ONLY}",
        "Then: forecast from the start. Now: from where the log says that the work stands, with what it teaches of the rates.",
    )
    columns = ("ready", "then, days", "then, day and shift", "now, days", "now, day and shift", "change", INTERVAL)
    return Table("Readiness as forecast from the start, and as the work stands", columns, tuple(rows), frozenset({2, 4}), notes)


def _levels(result: UpdateResult) -> Table:
    rows = []
    for level in sorted(result.lessons.levels, key=lambda level: -_moved(level.before[1], level.now[1])):
        middle = f"{level.now[1] / level.before[1]:.2f}" if level.before[1] else "-"
        spread = level.before[2] - level.before[0]
        left = whole((level.now[2] - level.now[0]) / spread) if spread else "-"
        rows.append((level.key, middle, left))
    lessons = result.lessons
    notes = (
        "Middle: its median now, as a multiple of what the scenario held; 1.10 of a time is a tenth longer. Spread left: P10 to "
        "P90 now, as a share of that before.",
        f"Read from {wording.counted(lessons.runs, 'draw')} worth {lessons.effective_size:.0f} independent ones; halves of the "
        f"chains agree to {lessons.agreement:.2f} (1.05 at most can be trusted).",
    )
    columns = ("level", "middle", "spread left")
    return Table("Levels that the log moved", columns, tuple(rows), notes=notes, short=6)


def _moved(before: float, now: float) -> float:
    return abs(math.log(now / before)) if before > 0.0 and now > 0.0 else 0.0
