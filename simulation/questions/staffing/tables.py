"""The smallest team as a person reads it: the answer first, then how all teams in question stand, then what limits them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.staffing.verdicts import Verdict
from simulation.stats.likelihood_words import likelihood_among
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day
from simulation.study.effort import in_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console
    from rich.table import Table

    from simulation.questions.staffing.study import Effort, StaffingResult
    from simulation.questions.staffing.verdicts import StaffingRow
    from simulation.stats.paired_difference import Difference
    from simulation.study.utilisation import Use

#: Teams that a sentence names; more are counted.
_NAMED = 4
#: Causes that a table of limits names.
_CAUSES = 6


def print_staff(found: StaffingResult, console: Console) -> None:
    """Print the whole answer; `console` must not read markup, because names are the planner's own words."""
    starts = found.scenario.starts
    count = wording.counted(len(found.teams), "team")
    heading = f"{found.scenario.title}: {count} in question, seed {found.seed}, start (H-hour) {day(starts)} {starts:%H:%M}"
    console.print(heading, style="bold")
    for line in answer_lines(found):
        console.print(line)
    print_section(console, "Teams, the smallest first", _teams(found), *_notes(found))
    if found.limits is not None and found.limits.causes:
        best = found.teams[found.limits.place]
        title = f"What drives {best.candidate.name}: hours of its chain of causes by cause"
        print_section(console, title, _causes(found), f"Means of {wording.counted(found.limits.runs, 'run')}.")
        print_section(console, "Use up to readiness, as shares of the workable hours", _use(found))


def effort_line(effort: Effort) -> str:
    """Return the sentence on what is to come; empty where all runs that may be needed are kept."""
    if not effort.most:
        return ""
    least, most = (in_words(runs, runs * effort.seconds) for runs in (effort.least, effort.most))
    lower = f"from {least}, to " if effort.least else "at most "
    return f"{wording.counted(effort.teams, 'team')} in question: {lower}{most} if every one of them is close to the line"


def answer_lines(found: StaffingResult) -> list[str]:
    """Return the sentences that answer the planner's question."""
    lines = _met(found) if found.answer else _not_met(found)
    if found.stopped:
        lines.append("Stopped early: what is said here is what was known by then.")
    return [*lines, helping_line(found), *one_more_lines(found)]


def one_more_lines(found: StaffingResult) -> list[str]:
    """Return the sentence on what one more forklift buys; none where that is not known."""
    more = found.one_more
    if more is None:
        return []
    who = f"One more forklift, {more.forklifts}, for {found.teams[more.place].candidate.name}: "
    change = more.against.p80
    if change.value is None:
        return [f"{who}its P80 lies after the last day simulated, so nothing is said of it."]
    if not change.measurable:
        return [f"{who}no change of P80 that can be told; {difference(change)} days."]
    before, after = more.before.chance, more.after.chance
    assert before is not None and after is not None
    on_time = f"on time {wording.percent(after.probability)} instead of {wording.percent(before.probability)}"
    return [f"{who}P80 {difference(change)} days; {on_time}, over {wording.counted(found.first, 'run')}."]


def goal(found: StaffingResult) -> str:
    """Return what is asked of a team."""
    when = found.calendar.moment(found.deadline.hours)
    by = f"{found.deadline.text} ({wording.days(found.deadline.hours)} days, {day(when)} {when:%H:%M})"
    return f"ready by {by} with a chance of at least {100 * found.confidence:g} %"


def _met(found: StaffingResult) -> list[str]:
    first, *alike = found.answer
    lines = [f"The smallest team that is {goal(found)}: {_described(first)}.", _chance_line(first)]
    if alike:
        lines.append(f"As small, and it meets the deadline too, with a later P80: {_names(alike)}.")
    close = [one for one in found.smaller if one.verdict is Verdict.TOO_CLOSE]
    if close:
        lines.append(f"Too close to call after {wording.counted(found.most, 'run')}, and no larger: {_names(close)}.")
    left = [one for one in found.smaller if one.verdict is Verdict.OPEN]
    if left:
        lines.append(f"Not looked at to the end, and no larger: {_names(left)}.")
    larger = len(found.of(Verdict.OPEN)) - len(left)
    if larger:
        lines.append(f"Left open, because they are larger and so not the answer: {wording.counted(larger, 'team')}.")
    return lines


def _not_met(found: StaffingResult) -> list[str]:
    close, left = found.of(Verdict.TOO_CLOSE), found.of(Verdict.OPEN)
    shown = len(found.of(Verdict.DOES_NOT))
    not_to_be = f"; {shown} of {len(found.teams)} are shown not to be" if shown else ""
    lines = [f"No team in question is shown to be {goal(found)}{not_to_be}."]
    if close:
        lines.append(f"Too close to call after {wording.counted(found.most, 'run')}: {_names(close)}.")
    if left:
        lines.append(f"Not looked at to the end: {_names(left)}.")
    if found.limits is None:
        return lines
    best = found.teams[found.limits.place]
    which = "The team most often on time" if best.on_time else "No team is on time in any of its runs; the most promising"
    lines.append(f"{which}: {_described(best)}. {_chance_line(best)}")
    return [*lines, *limit_lines(found)]


def _described(one: StaffingRow) -> str:
    return f"{one.candidate.name}; {one.candidate.people} people on site"


def _chance_line(one: StaffingRow) -> str:
    p80 = f"P80 {wording.days(one.outcome.p80.value)}" + (" days" if math.isfinite(one.outcome.p80.value) else "")
    if one.chance is None:
        return f"{p80}."
    interval = f"{100 * one.low:.1f} to {wording.percent(one.high)}"
    word = likelihood_among(one.chance, one.runs)
    share = wording.percent(one.chance) if word else f"in {one.on_time} of {wording.counted(one.runs, 'run')}"
    return f"Ready by then: {share} ({interval}){f', {word}' if word else ''}; {p80}."


_NEVER = "It is ready by the last day simulated in none of its runs"


def limit_lines(found: StaffingResult) -> list[str]:
    """Return the sentences on what limits the team that is most often on time."""
    limits = found.limits
    assert limits is not None
    if not limits.causes:
        return [f"{_NEVER}, so nothing can be said of what drives it."]
    total = sum(cause_of_time.hours for cause_of_time in limits.causes)
    first, working = limits.causes[0], limits.working
    line = f"What limits it: {first.cause}, {first.hours:.1f} of the {total:.1f} hours to readiness"
    if not limits.reached:
        line = f"{_NEVER}. What holds it up: {first.cause}, {first.hours:.1f} of the {total:.1f} hours to the last day simulated"
    if working is not None and working is not first:
        line += f", and of what is done on shift, {working.cause}, {working.hours:.1f} hours"
    shares = ", ".join(f"{_actor(one)} {100 * one.share(one.working):.0f} %" for one in limits.use)
    return [f"{line}.", f"At work in the workable hours: {shares}."]


def helping_line(found: StaffingResult) -> str:
    """Return the sentence on where more people stop helping."""
    helping = found.helping
    at = found.teams[helping.at]
    if helping.earliest is None:
        if len({sum(crew.people for crew in one.candidate.scenario.crew) for one in found.teams}) == 1:
            return "All teams in question have as many people in their crews, so nothing is said of more of them."
        return f"More people help up to the largest team in question, {_described(at)}: a wider range shows where they stop."
    other = found.teams[helping.earliest]
    if helping.gain.value is None:
        return "No team in question has its P80 by the last day simulated, so nothing is said of more people."
    if not helping.seen:
        return (
            f"Whether more people in the crews help beyond {_described(at)} cannot be told from these runs: the earliest "
            f"larger team, {_described(other)}, changes P80 by {difference(helping.gain)} days."
        )
    line = f"More people in the crews stop helping at {at.candidate.people} on site, {at.candidate.name}: "
    if helping.gain.value == helping.gain.low == helping.gain.high == 0.0:
        return f"{line}people added buy nothing. The earliest larger team, {_described(other)}, has the very same P80."
    return (
        f"{line}no larger team has an earlier P80 beyond its paired interval. The earliest of them, {_described(other)}, changes "
        f"it by {difference(helping.gain)} days, and less than {helping.margin / 24:.2g} days earlier does not matter."
    )


def difference(gain: Difference) -> str:
    """Return a difference that is known, in days with its interval, later with a plus."""
    assert gain.value is not None
    ends = "no interval" if gain.low is None or gain.high is None else f"{_signed(gain.low)} to {_signed(gain.high)}"
    return f"{_signed(gain.value)} ({ends})"


def _signed(hours: float) -> str:
    return f"{round(hours / 24, 2) + 0.0:+.2f}"  # no minus before a zero


def _actor(one: Use) -> str:
    """Return who an actor is; the crews of a team bear the name of their trade already."""
    return one.actor.removeprefix("crew ") if one.actor.startswith("crew crew ") else one.actor


def _names(teams: Sequence[StaffingRow]) -> str:
    if len(teams) == 1:
        return teams[0].candidate.name
    named = "; ".join(one.candidate.name for one in teams[:_NAMED])
    return named if len(teams) <= _NAMED else f"{named}; and {len(teams) - _NAMED} more"


def _teams(found: StaffingResult) -> Table:
    from rich import box
    from rich.table import Table

    starts = len({one.candidate.start for one in found.teams}) > 1
    forklifts = len({one.candidate.forklifts for one in found.teams}) > 1
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, collapse_padding=True)
    table.add_column("team", no_wrap=True)
    if starts:
        table.add_column("start", no_wrap=True)
    for name in ("fork-\nlifts",) * forklifts + ("people\non site", "P80,\ndays", "on\ntime, %", "interval,\n%", "runs"):
        table.add_column(name, justify="right", no_wrap=True)
    table.add_column("verdict", overflow="fold", min_width=9)
    answer = found.answer
    for one in found.teams:
        candidate = one.candidate
        table.add_row(
            str(candidate.team),
            *((candidate.start,) if starts else ()),
            *((str(candidate.forklifts),) if forklifts else ()),
            str(candidate.people),
            wording.short_days(one.outcome.p80.value),
            "-" if one.chance is None else f"{100 * one.chance:.1f}",
            f"{100 * one.low:.1f}-{100 * one.high:.1f}" if one.runs else "-",
            wording.number(one.runs),
            one.verdict.value,
            style="bold" if one in answer else None,
        )
    return table


def _notes(found: StaffingResult) -> list[str]:
    area = found.scenario.area[0].name
    start = f" start: of {area}." if any(one.candidate.start for one in found.teams) else ""
    notes = [
        f"team: crews x people in each.{start} P80: by then 80 % of {wording.counted(found.first, 'run')} were "
        "ready, the same ones for every team. on time: by the deadline.",
        f"Each interval holds at every look at its team. Any verdict is wrong with a chance of at most {100 * found.error:g} %, "
        f"all {len(found.teams)} teams together ({100 * found.error_each:.2g} % each).",
        SAMPLING_ERROR_ONLY,
    ]
    if found.of(Verdict.OPEN):
        notes.insert(2, "left open: not looked at to the end, so nothing is said of it.")
    return notes


def _causes(found: StaffingResult) -> Table:
    assert found.limits is not None
    table = new_table("cause", "hours", "share")
    causes = found.limits.causes
    for cause_of_time in causes[:_CAUSES]:
        table.add_row(cause_of_time.cause, f"{cause_of_time.hours:.1f}", wording.percent(cause_of_time.share))
    if causes[_CAUSES:]:
        rest = causes[_CAUSES:]
        hours, share = sum(cause_of_time.hours for cause_of_time in rest), sum(cause_of_time.share for cause_of_time in rest)
        table.add_row(wording.counted(len(rest), "other cause"), f"{hours:.1f}", wording.percent(share))
    return table


def _use(found: StaffingResult) -> Table:
    assert found.limits is not None
    table = new_table("who", "workable h", "working", "in repair", "closing", "resting", "waiting")
    for one in found.limits.use:
        spent = (one.working, one.repair, one.closing, one.resting, one.waiting)
        shares = (wording.percent(one.share(hours)) for hours in spent)
        table.add_row(_actor(one), f"{one.on_shift:.0f}", *shares)
    return table
