"""The smallest team that meets the deadline as an answer: sentences, the teams around it, all of them, what limits, a picture."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Figure, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.present.words.job_words import cautions_of
from simulation.questions.staffing.picture import describe_teams, draw_teams
from simulation.questions.staffing.record import staffing_record
from simulation.questions.staffing.sentences import (
    count_runs,
    describe_goal,
    say_actor,
    write_conclusion,
    write_headline,
    write_lines,
    write_warnings,
)
from simulation.questions.staffing.verdicts import Verdict
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from simulation.questions.staffing.candidates import Candidate
    from simulation.questions.staffing.study import StaffingResult

#: Teams that the short form shows. Planning value: what leaves it at 45 lines.
_MOST_SHOWN = 12
#: Causes that a table of limits names.
_CAUSES = 6
#: Verdict -> how a narrow column says it.
_SHORT = {Verdict.MEETS: "yes", Verdict.DOES_NOT: "no", Verdict.TOO_CLOSE: "too close", Verdict.OPEN: "open"}


def staffing_answer(result: StaffingResult) -> Answer:
    """Return the answer to which is the smallest team that meets a deadline."""
    starts = result.scenario.starts
    title = write_conclusion(result)
    figure = Figure("staffing", title, partial(draw_teams, result), partial(describe_teams, result))
    return Answer(
        question="staffing",
        title=result.scenario.title,
        about=(
            f"{wording.counted(len(result.teams), 'team')} tried, to be {describe_goal(result)}; seed {result.seed}, start "
            f"(H-hour) {day(starts)} {starts:%H:%M}"
        ),
        headline=write_headline(result),
        lines=tuple(write_lines(result)),
        warnings=tuple(write_warnings(result)),
        pages=(Page("staffing", "Manning", (*_parts(result), Part(title, (figure,)))),),
        record=staffing_record(result),
        study={} if result.manifest is None else study_record(result.manifest),
        stopped=result.stopped,
        cautions=cautions_of(result.scenario),
    )


def _parts(result: StaffingResult) -> tuple[Part, ...]:
    shown = find_teams_around(result)
    title = "Teams, the smallest first"
    if len(shown) < len(result.teams):
        title = f"The {len(shown)} teams around the answer, of {len(result.teams)}, the smallest first"
    parts = [Part(title, (_short_table(result, shown, title),), short=True)]
    title = "All teams, the smallest first, with their runs and verdicts"
    parts.append(Part(title, (_full_table(result, title),)))
    if result.limits is not None and result.limits.causes:
        best = result.teams[result.limits.index]
        title = f"What takes the time of {best.candidate.name}: hours of its chain of causes"
        parts.append(Part(title, (_causes_table(result, title),)))
        title = f"Use until it is {result.ready_word}, as shares of the workable hours"
        parts.append(Part(title, (_use_table(result, title),)))
    return tuple(parts)


def find_teams_around(result: StaffingResult) -> range:
    """Return the places of at most `_MOST_SHOWN` teams, as large as the answer, the team most often on time, or nearly so."""
    middle = 0 if result.limits is None else result.limits.index
    if result.answer:
        middle = result.teams.index(result.answer[0])
    first = max(0, min(middle - _MOST_SHOWN // 2, len(result.teams) - _MOST_SHOWN))
    return range(first, min(first + _MOST_SHOWN, len(result.teams)))


def _short_table(result: StaffingResult, shown: Sequence[int], title: str) -> Table:
    varied = _varied_columns(result)
    columns = ("team", *varied, "people on site", "P80, days", "on time, %", "interval, %", "meets it?")
    rows = [(*_cells(result, index), _SHORT[result.teams[index].verdict]) for index in shown]
    answers = frozenset(number for number, index in enumerate(shown) if result.teams[index] in result.answer)
    notes = [*_notes(result), SAMPLING_ERROR_ONLY]
    if len(shown) < len(result.teams):
        notes.insert(1, f"{wording.counted(len(result.teams) - len(shown), 'more team')} not shown: all stand in the full text.")
    return Table(title, columns, tuple(rows), _words(columns), tuple(notes), answers)


def _full_table(result: StaffingResult, title: str) -> Table:
    columns = ("team", *_varied_columns(result), "people on site", "P80, days", "on time, %", "interval, %", "runs", "verdict")
    rows = [(*_cells(result, index), wording.number(row.runs), row.verdict.value) for index, row in enumerate(result.teams)]
    answers = frozenset(index for index, row in enumerate(result.teams) if row in result.answer)
    notes = (
        *_notes(result),
        f"Each interval holds at every look at its team. Any verdict is wrong with a chance of at most {100 * result.error:g} %, "
        f"all {len(result.teams)} teams together.",
        SAMPLING_ERROR_ONLY,
    )
    return Table(title, columns, tuple(rows), _words(columns), notes, answers)


def _varied_columns(result: StaffingResult) -> tuple[str, ...]:
    """Return the columns of what not all teams have in common besides their crews."""
    starts = len({row.candidate.start for row in result.teams}) > 1
    forklifts = len({row.candidate.forklifts for row in result.teams}) > 1
    return ("start",) * starts + ("forklifts",) * forklifts


def _words(columns: Sequence[str]) -> frozenset[int]:
    return frozenset(index for index, name in enumerate(columns) if name in ("start", "meets it?", "verdict"))


def _cells(result: StaffingResult, index: int) -> tuple[str, ...]:
    row, varied = result.teams[index], _varied_columns(result)
    candidate = row.candidate
    return (
        _short_team(candidate),
        *((str(candidate.start),) if "start" in varied else ()),
        *((str(candidate.forklifts),) if "forklifts" in varied else ()),
        str(candidate.people),
        wording.short_days(row.outcome.p80.value),
        "-" if row.chance is None else f"{100 * row.chance:.1f}",
        f"{100 * row.low:.1f}-{100 * row.high:.1f}" if row.runs else "-",
    )


def _short_team(candidate: Candidate) -> str:
    """Return a team for a narrow column, such as ``2x20``, or ``75 %: 14+12`` of own crews."""
    percent = getattr(candidate.team, "percent", 0)
    if not percent:
        return str(candidate.team)
    return f"{percent} %: {'+'.join(str(crew.people) for crew in candidate.scenario.crew)}"


def _notes(result: StaffingResult) -> list[str]:
    start = f" Start: of {result.scenario.area[0].name}." if any(row.candidate.start for row in result.teams) else ""
    own = [bool(getattr(row.candidate.team, "percent", 0)) for row in result.teams]
    kinds = ["crews x people in each"] * (not all(own))
    kinds += ["the plan's own crews with a share of their people, each crew on its own hours, and the people of each"] * any(own)
    team = "; ".join(kinds)
    notes = [
        f"Team: {team}.{start} P80: 8 runs of 10 are {result.ready_word} by then. On time: by the deadline. Both are of the "
        f"same runs of a team, {count_runs(result)}, under the same weather and chances for every team."
    ]
    if result.of(Verdict.OPEN):
        notes.append("Open: not looked at to the end, so not judged.")
    return notes


def _causes_table(result: StaffingResult, title: str) -> Table:
    assert result.limits is not None
    causes = result.limits.causes
    rows = [(cause.cause, f"{cause.hours:.1f}", wording.percent(cause.share)) for cause in causes[:_CAUSES]]
    if rest := causes[_CAUSES:]:
        hours, share = sum(cause.hours for cause in rest), sum(cause.share for cause in rest)
        rows.append((wording.counted(len(rest), "other cause"), f"{hours:.1f}", wording.percent(share)))
    note = f"Means of {wording.counted(result.limits.runs, 'run')}."
    return Table(title, ("cause", "hours", "share"), tuple(rows), notes=(note,))


def _use_table(result: StaffingResult, title: str) -> Table:
    assert result.limits is not None
    rows = []
    for use in result.limits.use:
        spent = (use.working, use.repair, use.closing, use.resting, use.waiting)
        rows.append((say_actor(use), f"{use.on_shift:.0f}", *(wording.percent(use.share(hours)) for hours in spent)))
    columns = ("who", "workable h", "working", "in repair", "final sweep", "resting", "waiting")
    return Table(title, columns, tuple(rows), notes=(wording.WORKABLE,))
