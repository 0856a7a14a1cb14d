"""The sentences on bottlenecks: who holds the job up, when, which change gains most, and whether more people help."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS, as_it_is, change_format, how_often, on_time_change, whole
from simulation.present.words.job_words import ready_word
from simulation.present.words.trial_words import beside_foremost, count_each, deny_effect, ends_around, move_around, stop_lines
from simulation.questions.bottlenecks.idea import CAN_BE, Kind
from simulation.questions.bottlenecks.ideas import PEOPLE
from simulation.questions.bottlenecks.leader_words import in_vain, leader_lines
from simulation.stats.likelihood_words import FEW
from simulation.study.changes.foremost import Standing
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.attribution import Holder, Leading
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Holder -> how a sentence names it, and whether that is a plural; others go by their own names.
_CALLED = {
    "crews": ("laying crews", True),
    "forklifts": ("forklifts", True),
    "temporary ends": ("temporary ends", True),
    "tasks": ("tasks beside laying", True),
    "crews lifting": ("crews lifting", True),
    "crews handling mats": ("crews handling mats", True),
    "trucks": ("trucks", True),
    "ships": ("ships", True),
    "rail gang": ("the rail gang", False),
    "port's daily limit": ("the port's daily limit", False),
    "final sweep, inspection and marking": ("the final sweep, inspection and marking", False),
    "late start": ("a late start", False),
    "waiting for the next flight": ("waits for flights", True),
    "waiting for a shipment": ("waits for shipments", True),
    "closed for flying": ("hours closed for flying", True),
}
#: Third of the time to readiness -> its name.
WHEN = {"early": "first third", "middle": "middle third", "late": "last third"}


def called(holder: Holder) -> str:
    """Return how a sentence names who holds a run up."""
    return _CALLED.get(holder.name, (holder.name, False))[0]


def bottleneck_lines(result: BottlenecksResult) -> list[str]:
    """Return the sentences that answer the question, the headline first."""
    return [*held_lines(result), *gain_lines(result), as_it_is(result.outcome)]


def held_lines(result: BottlenecksResult) -> list[str]:
    """Return the sentences on who holds runs up; the first ends with what helps most."""
    first, *others = held_back(result.leading, ready_word(result.outcome.scenario))
    if not result.rows or not result.leading.holders or not result.leading.reached:
        return [first, *others]
    leader, second = result.leading.holders[0], _second(result.leading)
    rivals = [leader] if second is None or result.leading.clear_leader else [leader, second]
    eased = ""
    if math.isfinite(result.outcome.p80.value) and in_vain(result, rivals):
        eased = f", but easing {'it' if len(rivals) == 1 else 'either'} gains nothing measurable"
    return [f"{first.removesuffix('.')}{eased}; {helps_most(result)}.", *others]


def helps_most(result: BottlenecksResult) -> str:
    """Return which change that can be made gains most, for the end of the headline; that none does measurably where none does."""
    best, in_mean = result.best(*CAN_BE), result.best_mean(*CAN_BE)
    if best is not None:
        beside = any(row.standing in (Standing.ALIKE, Standing.RIVAL) for row in result.rows if row.trial.kind in CAN_BE)
        written, change = change_format(result.outcome), best.earlier_p80
        gain = f"{written.of(change.value or 0.0)} earlier"
        if not change.above_zero:  # P80 itself jumps by nights
            gain = f"dates around P80 {HOURS.of(best.earlier_around_p80.value or 0.0)} on shift earlier"
        return f"{'among the most useful' if beside else 'most useful'}: {best.trial.name}, {gain}"
    if math.isinf(result.outcome.p80.value):
        return "the 80 % date lies after the last day simulated"
    if in_mean is not None:
        return f"most useful: {in_mean.trial.name}, {HOURS.of(in_mean.earlier_mean.value or 0.0)} earlier in the mean"
    hours = " with the hours as they are" if result.best(Kind.NIGHT) else ""
    return f"no change that can be made{hours} helps measurably"


def warning_lines(result: BottlenecksResult) -> list[str]:
    """Return what a reader must know before any number: runs that are not ready, and a study that was stopped."""
    lines = []
    if result.unfinished:
        done = ready_word(result.outcome.scenario)
        others = "; the causes are read from the others" if result.leading.runs and result.leading.reached else ""
        lines.append(
            f"{wording.counted(result.unfinished, 'run')} of {wording.number(result.runs)} not {done} by the last day simulated: "
            f"counted as late{others}."
        )
    return [*lines, *stop_lines(result, "change")]


def held_back(leading: Leading, done: str = "ready") -> list[str]:
    """Return the sentences on who holds runs up, and whether that stays so from start to finish; `done` is what runs are then."""
    if not leading.holders:
        return [f"No run was {done} by the last day simulated, so there is no finish to explain."]
    first, second = leading.holders[0], _second(leading)
    verb = "hold" if _CALLED.get(first.name, ("", False))[1] else "holds"
    if second is not None and not leading.clear_leader:
        assert first.leads is not None and second.leads is not None
        some = f"{first.leads.count}" if first.leads.runs < FEW else whole(first.leads.probability)
        often = f"in {some} and {how_often(second.leads)}"
        line = f"{called(first)} or {called(second)} hold the job up most, too close to call which: the main cause {often}"
    else:
        assert first.leads is not None
        line = f"{called(first)} {verb} the job up most: the main cause {how_often(first.leads)}"
    if not leading.reached:
        line = f"no run was {done} by the last day simulated; up to then {line}"
    return [f"{wording.capitalised(line)}.", _hours_of(leading), _over_time(leading)]


def _second(leading: Leading) -> Holder | None:
    """Return who comes second, where that one is the main cause in any run."""
    return next((holder for holder in leading.holders[1:2] if holder.leads is not None and holder.leads.count), None)


def _hours_of(leading: Leading) -> str:
    """Return how many working hours the main cause takes, and who comes second."""
    first, second = leading.holders[0], _second(leading)
    working = math.fsum(holder.hours for holder in leading.holders)
    single = len(first.causes) == 1 and first.causes[0].name == first.name
    mostly = "" if single else f", mostly {first.causes[0].name}"
    verb = "take" if _CALLED.get(first.name, ("", False))[1] else "takes"
    line = f"{called(first)} {verb} {first.hours:,.0f} of {working:,.0f} working hours{mostly}"
    if second is not None:
        assert second.leads is not None
        line += f"; next {called(second)}, {second.hours:,.0f} hours, the main cause {how_often(second.leads)}"
    return f"{wording.capitalised(line)}."


def _over_time(leading: Leading) -> str:
    """Return who limits in each third of the time, each said once while it stays, and where another one has more hours."""
    return f"{_most_often(leading)}{_most_hours(leading)}"


def _most_hours(leading: Leading) -> str:
    """Return in which thirds another one has more hours in the mean than the one that leads in most runs."""
    parts = []
    for third, name in WHEN.items():
        often, most = leading.first(third), max(leading.holders, key=lambda holder: holder.thirds[third])
        if round(most.thirds[third]) > round(often.thirds[third]):
            hours = f"{most.thirds[third]:,.0f} against {often.thirds[third]:,.0f}"
            parts.append(f"{called(most)} in the {name} ({hours} of {called(often)})")
    return f" By hours in the mean more go to {listed(parts)}." if parts else ""


def _most_often(leading: Leading) -> str:
    """Return who leads in most runs in each third of the time, each said once while it stays."""
    early, middle, late = (called(leading.first(third)) for third in WHEN)
    if early == middle == late:
        return f"The main constraint is the same in most runs from start to finish: {early}."
    if early == middle:
        return f"The main constraint changes: {early} in the first two thirds of the time, {late} in the last."
    if middle == late:
        return f"The main constraint changes: {early} in the first third of the time, {middle} in the last two."
    return f"The main constraint changes: {early} in the first third, {middle} in the middle third, {late} in the last."


def gain_lines(result: BottlenecksResult) -> list[str]:
    """Return which change that can be made gains most, what each trouble costs, and what more people do."""
    if not result.rows:
        return []
    lines, best = leader_lines(result, called), result.best(*CAN_BE)
    if best is not None:
        kind = "addition" if best.trial.kind is Kind.MORE else "change"
        lines.append(f"The most useful {kind} is {best.trial.name}: {_gain(result, best)}{_people_for(result, best)}.")
        lines += beside_foremost(result, lambda row: row.trial.name, "gain")
    elif math.isfinite(result.outcome.p80.value):
        small = any(row.trial.kind in CAN_BE and row.earns for row in result.rows)
        written = change_format(result.outcome)
        far = f"by as much as {written.of(0.1 * written.size)}" if small else "measurably"
        hours = "with the hours as they are " if result.best(Kind.NIGHT) else ""
        line = f"No change that can be made {hours}moves the dates around the 80 % date {far} in {count_each(result)}"
        in_mean = result.best_mean(*CAN_BE)
        if in_mean is not None:
            line += f"; the mean moves most with {in_mean.trial.name}: {_mean(in_mean)}"
        lines.append(f"{line}.")
    if math.isinf(result.outcome.p80.value):
        within = [row.trial.name for row in result.rows if math.isfinite(row.outcome.p80.value)]
        if within:
            lines.append(f"The 80 % date lies after the last day simulated; these bring it within: {', '.join(within)}.")
    night = result.best(Kind.NIGHT)
    if night is not None:
        lines.append(f"With {night.trial.name}, other people on at night, {_gain(result, night)}.")
    bounds = [row for row in result.rows if row.trial.kind is Kind.WITHOUT and row.earns]
    if bounds:
        each = [f"with {row.trial.name} {_move(result, row)}" for row in bounds]
        lines.append(f"For comparison, {'; '.join(each)}.")
    costly = [row.trial.name for row in result.rows if row.costs]
    if costly:
        lines.append(f"These make the dates around the 80 % date later: {', '.join(costly)}.")
    return [*lines, *_people(result, best)]


def _people(result: BottlenecksResult, best: BottlenecksRow | None) -> list[str]:
    """Return what more people gain, which is what is asked for first, unless it was said already."""
    name = f"{PEOPLE} more people in the crews"
    row = next((row for row in result.rows if row.trial.name == name), None)
    if row is None or row is best or row.costs or (best is not None and row.standing in (Standing.ALIKE, Standing.RIVAL)):
        return []
    if row.identical:
        done = ready_word(row.outcome.scenario)
        return [f"{name} make no difference: every run of {row.runs:,} is {done} at the same hour as before."]
    if row.earns:
        return [f"{name}: {_gain(result, row)}."]
    if row.earlier_p80.value is None:
        return []
    line = f"{name} make {deny_effect([row])}{ends_around(row)}"
    return [f"{line}; the mean moves {_mean(row)}." if row.earns_mean else f"{line}."]


def _people_for(result: BottlenecksResult, row: BottlenecksRow) -> str:
    """Return how many more people a change takes: longer hours may ask for a second set of them, which its name does not say."""
    more = count_people(row.trial.scenario).total - count_people(result.outcome.scenario).total
    return f"; it takes {wording.counted(more, 'more person', 'more people')} on site" if more > 0 else ""


def _mean(row: BottlenecksRow) -> str:
    return f"{HOURS.of(row.earlier_mean.value or 0.0)} earlier ({HOURS.in_brackets(row.earlier_mean)})"


def _move(result: BottlenecksResult, row: BottlenecksRow) -> str:
    """Return how far the 80 % date moves; where it does not measurably, the dates around it."""
    written, change = change_format(result.outcome), row.earlier_p80
    if not change.above_zero:
        return move_around(row.against)
    return f"the 80 % date moves {written.of(change.value or 0.0)} earlier ({written.in_brackets(change)})"


def _gain(result: BottlenecksResult, row: BottlenecksRow) -> str:
    text = _move(result, row)
    before, after, deadline = result.outcome.chance, row.outcome.chance, result.outcome.deadline
    if before is None or after is None or deadline is None:
        return text
    return f"{text}; {on_time_change(deadline.text, before, after, row.against.chance, ready_word(row.outcome.scenario))}"
