"""What does a planner read of the search for the smallest team? Which it is, how sure that is, and what more people would do."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.staffing.verdicts import Verdict
from simulation.stats.likelihood_words import likelihood_among
from simulation.study.calendar import day

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.questions.staffing.candidates import Candidate
    from simulation.questions.staffing.study import StaffingResult
    from simulation.questions.staffing.verdicts import StaffingRow
    from simulation.stats.paired_difference import Difference
    from simulation.study.utilisation import Use

#: Teams that a sentence names; more are counted.
_NAMED = 4

#: What those of a crew who are lent to tasks are called in use: they are at work for as long as they are lent.
LENT = "gang from crew "


def write_headline(result: StaffingResult) -> str:
    """Return the answer in one sentence."""
    wanted = f"{result.ready_word} by {result.deadline.text} with a chance of at least {100 * result.confidence:g} %"
    if result.answer:
        first = result.answer[0]
        team = f"{describe_team(first.candidate)}, {wording.counted(first.candidate.people, 'person', 'people')} on site"
        which = "The smallest team shown to be" if result.smaller else "The smallest team that is"
        return f"{which} {wanted}: {team}; it is on time {_how_often(first)}{_not_settled(result)}."
    line = f"No team tried is shown to be {wanted}"
    if result.limits is None:
        return f"{line}."
    best = result.teams[result.limits.index]
    often = f"is on time {_how_often(best)}" if best.on_time else f"is late in all of its {wording.counted(best.runs, 'run')}"
    limited = "; more runs (--most) may settle it" if best.verdict is Verdict.TOO_CLOSE else ""
    return f"{line}; the nearest, {describe_team(best.candidate)}, {often}{limited}."


def write_lines(result: StaffingResult) -> list[str]:
    """Return the sentences around the headline."""
    lines = _met_lines(result) if result.answer else _not_met_lines(result)
    return [*lines, describe_more_people(result), *describe_one_more_forklift(result)]


def write_warnings(result: StaffingResult) -> list[str]:
    """Return what a reader must know before any number."""
    lines = [f"Left out, {left.name}: {left.why}." for left in result.left_out]
    return [*lines, "Stopped early: the answer rests on the runs that were done by then."] if result.stopped else lines


def write_conclusion(result: StaffingResult) -> str:
    """Return the title of the picture."""
    if not result.answer:
        return "No team tried is shown to meet the deadline"
    return f"Smallest team that meets the deadline: {result.answer[0].candidate.name}"


def describe_goal(result: StaffingResult) -> str:
    """Return what is asked of a team."""
    moment = result.calendar.moment(result.deadline.hours)
    by = f"{result.deadline.text} ({wording.days(result.deadline.hours)} days, {day(moment)} {moment:%H:%M})"
    return f"{result.ready_word} by {by} with a chance of at least {100 * result.confidence:g} %"


def count_runs(result: StaffingResult) -> str:
    """Return how many runs the P80 of each team and its chance are of."""
    return _count_runs_of(result.teams)


def _count_runs_of(rows: Sequence[StaffingRow]) -> str:
    counts = sorted({len(row.outcome.hours) for row in rows})
    return wording.counted(counts[0], "run") if len(counts) == 1 else f"{counts[0]:,} to {wording.counted(counts[-1], 'run')}"


def describe_team(candidate: Candidate) -> str:
    """Return a team in words, such as ``2 crews of 20, centre-out``."""
    name, crews, people = candidate.name, getattr(candidate.team, "crews", 0), getattr(candidate.team, "people", 0)
    if not crews:  # the scenario's own crews, which are named in words already
        return name
    return f"{wording.counted(crews, 'crew')} of {people}{name.removeprefix(str(candidate.team))}"


def _met_lines(result: StaffingResult) -> list[str]:
    first, *same_size = result.answer
    lines = [f"{first.candidate.name}: {_describe_chance(first)}"]
    if same_size:
        lines.append(f"As small and on time too, with a later P80: {_list_names(same_size)}.")
    close = [row for row in result.smaller if row.verdict is Verdict.TOO_CLOSE]
    if close:
        lines.append(f"No larger, and too close to call after {_count_runs_of(close)}: {_list_names(close)}.")
    left = [row for row in result.smaller if row.verdict is Verdict.OPEN]
    if left:
        lines.append(f"No larger, and not looked at to the end: {_list_names(left)}.")
    larger = len(result.of(Verdict.OPEN)) - len(left)
    if larger:
        lines.append(f"Left open because larger than the answer: {wording.counted(larger, 'team')}.")
    return lines


def _not_met_lines(result: StaffingResult) -> list[str]:
    close, left = result.of(Verdict.TOO_CLOSE), result.of(Verdict.OPEN)
    late = len(result.of(Verdict.DOES_NOT))
    lines = []
    if late:
        lines.append(f"Shown to fall short of that chance: {late} of {wording.counted(len(result.teams), 'team')}.")
    if close:
        most = "the most of one team" if min(row.runs for row in close) == result.most else f"of at most {result.most:,}"
        after = f"Too close to call after {_count_runs_of(close)}, {most} (--most)"
        lines.append(f"{after}: {_list_names(close)}.")
    if left:
        lines.append(f"Not looked at to the end: {_list_names(left)}.")
    if result.limits is None:
        return lines
    best = result.teams[result.limits.index]
    which = "The team most often on time" if best.on_time else "No team is on time in any of its runs. The nearest"
    lines.append(f"{which}: {_with_people(best)}, {_describe_chance(best)}")
    return [*lines, *describe_limits(result)]


def describe_limits(result: StaffingResult) -> list[str]:
    """Return the sentences on what limits the team that is most often on time."""
    limits = result.limits
    assert limits is not None
    if not limits.causes:
        return [f"{_never(result)}, so nothing can be said about what takes its time."]
    total = sum(cause_of_time.hours for cause_of_time in limits.causes)
    first, working = limits.causes[0], limits.working
    line = f"What takes its time: {first.cause}, {first.hours:.1f} of the {total:.1f} hours until it is {result.ready_word}"
    if not limits.reached:
        line = f"{_never(result)}. What holds it up: {first.cause}, {first.hours:.1f} of the {total:.1f} hours simulated"
    if working is not None and working is not first:
        line += f"; of the work on shift, {working.cause}, {working.hours:.1f} hours"
    shares = ", ".join(
        f"{say_actor(use)} {100 * use.share(use.working):.0f} %" for use in limits.use if not use.actor.startswith(LENT)
    )
    return [f"{line}.", f"At work in the workable hours: {shares}."]


def describe_more_people(result: StaffingResult) -> str:
    """Return the sentence on where more people stop helping."""
    helping = result.helping
    team = result.teams[helping.at]
    if helping.earliest is None:
        if len({sum(crew.people for crew in row.candidate.scenario.crew) for row in result.teams}) == 1:
            return "All teams tried have as many people in their crews, so nothing can be said about more of them."
        line = f"More people help up to the largest team tried, {_with_people(team)}"
        if helping.smaller is not None and helping.gain.value is not None:
            smaller, runs = result.teams[helping.smaller].candidate.name, wording.counted(helping.runs, "run")
            line += f": P80 {describe_change(helping.gain)} days against {smaller}, in {runs} of both"
        return f"{line}. Try larger ones to see where that ends."
    larger = _with_people(result.teams[helping.earliest])
    if helping.gain.value is None:
        return "No team tried has its P80 by the last day simulated, so nothing can be said about more people."
    compared = f", in {wording.counted(helping.runs, 'run')} of both"
    if not helping.seen:
        return (
            f"Whether more people in the crews help beyond {_with_people(team)} cannot be measured with these runs: the quickest "
            f"larger team, {larger}, changes P80 by {describe_change(helping.gain)} days{compared}."
        )
    line = f"Beyond {team.candidate.people} people on site ({team.candidate.name})"
    if helping.gain.value == helping.gain.low == helping.gain.high == 0.0:
        return f"{line} more people in the crews gain nothing: the quickest larger team, {larger}, has the very same P80."
    if helping.gain.measurable and helping.gain.value < 0:
        return (
            f"{line} larger teams gain less than half a shift, {helping.margin / 24:.2g} days: the quickest, {larger}, changes "
            f"P80 by {describe_change(helping.gain)} days{compared}."
        )
    return (
        f"{line} no larger team is measurably earlier: the quickest of them, {larger}, changes P80 by "
        f"{describe_change(helping.gain)} days{compared}. Less than half a shift, {helping.margin / 24:.2g} days, does not "
        "matter."
    )


def describe_one_more_forklift(result: StaffingResult) -> list[str]:
    """Return the sentence on what one more forklift gains; none where that is not known."""
    more = result.one_more
    if more is None:
        return []
    line = f"One more forklift, {more.forklifts}, for {result.teams[more.index].candidate.name}"
    change, compared = more.against.p80, wording.counted(len(more.before.hours), "run")
    if change.value is None:
        return [f"{line}: its P80 lies after the last day simulated, so the gain is not known."]
    if change.value == change.low == change.high == 0.0:
        return [f"{line}, makes no difference: P80 stays as it is."]
    if not change.measurable:
        return [f"{line}, makes no measurable difference to P80: {describe_change(change)} days, in {compared} of both."]
    before, after = more.before.chance, more.after.chance
    assert before is not None and after is not None
    on_time = f"on time {wording.percent(after.probability)} instead of {wording.percent(before.probability)}"
    return [f"{line}: P80 {describe_change(change)} days; {on_time}, in {compared} of both."]


def describe_change(change: Difference) -> str:
    """Return a change that is known, in days with its interval, later with a plus."""
    assert change.value is not None
    ends = "no interval" if change.low is None or change.high is None else f"{_signed(change.low)} to {_signed(change.high)}"
    return f"{_signed(change.value)} ({ends})"


def say_actor(use: Use) -> str:
    """Return who is at work; the crews of a team bear the name of their trade already."""
    return use.actor.removeprefix("crew ") if use.actor.startswith("crew crew ") else use.actor


def _never(result: StaffingResult) -> str:
    return f"Not one of its runs is {result.ready_word} by the last day simulated"


def _not_settled(result: StaffingResult) -> str:
    """Return the clause on teams no larger than the answer that may meet the deadline too: the smallest, and how many more."""
    if not result.smaller:
        return ""
    from simulation.scenario import Scaled

    first, others = result.smaller[0], len(result.smaller) - 1
    team = first.candidate.team
    name = f"{team.percent} %" if isinstance(team, Scaled) else first.candidate.name
    more = f" and {others} more" if others else ""
    return f"; not settled: {name}{more}"


def _how_often(row: StaffingRow) -> str:
    assert row.chance is not None
    if likelihood_among(row.chance, row.runs):
        return f"in {wording.percent(row.chance)} of runs"
    return f"in {row.on_time} of {wording.counted(row.runs, 'run')}"


def _describe_chance(row: StaffingRow) -> str:
    p80 = f"P80 {wording.days(row.outcome.p80.value)}" + (" days" if math.isfinite(row.outcome.p80.value) else "")
    if row.chance is None:
        return f"{p80}."
    word = likelihood_among(row.chance, row.runs)
    interval = f"{100 * row.low:.1f} to {wording.percent(row.high)}"
    return f"on time {_how_often(row)} (interval {interval}){f', {word}' if word else ''}; {p80}."


def _with_people(row: StaffingRow) -> str:
    return f"{row.candidate.name} ({row.candidate.people} people on site)"


def _signed(hours: float) -> str:
    return f"{round(hours / 24, 2) + 0.0:+.2f}"  # no minus before a zero


def _list_names(teams: Sequence[StaffingRow]) -> str:
    named = "; ".join(row.candidate.name for row in teams[:_NAMED])
    return named if len(teams) <= _NAMED else f"{named}; and {len(teams) - _NAMED} more"
