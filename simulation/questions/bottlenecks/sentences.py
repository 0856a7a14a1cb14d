"""What does a commander read of bottlenecks? Who holds it back, when, what buys most, and whether more people help."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.change_words import (
    HOURS,
    NO_P80_CHANGE,
    as_it_is,
    change_format,
    ends_of,
    how_often,
    on_time_change,
    whole,
)
from simulation.questions.bottlenecks.ideas import CAN_BE, Kind
from simulation.questions.bottlenecks.leader_words import leader_lines
from simulation.stats.likelihood_words import FEW

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulation.questions.bottlenecks.attribution import Holder, Leading
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Holder -> how a sentence names it; others by their own names.
_CALLED = {
    "crews": "the crews",
    "forklifts": "the forklifts",
    "supply": "the supply",
    "waiting for the next flight": "the timetable",
    "port's daily limit": "the daily limit",
    "weather": "the weather",
    "late start": "a late start",
}
#: Third -> when that is.
WHEN = {"early": "early", "middle": "in the middle", "late": "late"}


def called(holder: Holder) -> str:
    """Return how a sentence names who holds a build up."""
    return _CALLED.get(holder.name, holder.name)


def bottleneck_lines(found: BottlenecksResult) -> list[str]:
    """Return the sentences that answer the question."""
    lines = [*held_back(found.leading), *_bought(found), as_it_is(found.outcome)]
    if found.unfinished:
        lines.append(
            f"{wording.counted(found.unfinished, 'run')} of {wording.number(found.runs)} not ready by the last day simulated: "
            f"counted as late{'; what drives runs is read from the others' if found.leading.runs else ''}."
        )
    if found.stopped:
        lines.append(
            f"Stopped early: {wording.number(found.runs)} of {wording.counted(found.asked, 'run')} done as it is, and "
            f"{len(found.tried)} of {wording.counted(len(found.tried) + found.not_reached, 'change')} tried."
        )
    return lines


def held_back(leading: Leading) -> list[str]:
    """Return the sentences on who holds runs back, and whether that stays so from early to late."""
    if not leading.holders:
        return ["No run was ready by the last day simulated, so none says what holds it back."]
    first, *others = leading.holders
    assert first.leads is not None
    working = math.fsum(one.hours for one in leading.holders)
    until = "" if leading.reached else "No run was ready by the last day simulated. Up to it: "
    line = (
        f"{until}Held back most often by {called(first)}: the most hours of the chain of causes {how_often(first.leads)} "
        f"(95 % interval {ends_of(first.leads)}), on average {first.hours:.1f} of {working:.1f} hours"
    )
    if len(first.causes) > 1 or first.causes[0].name != first.name:
        line += f", mainly {first.causes[0].name}"
    second = others[0] if others else None
    if second is not None and second.leads is not None and second.leads.count:
        leads = f"in {second.leads.count}" if second.leads.runs < FEW else whole(second.leads.probability)
        line += f"; then by {called(second)}, {leads}, {second.hours:.1f} hours"
        line += "" if leading.told_apart else ", too close to tell which leads more often"
    firsts = {third: called(leading.first(third)) for third in WHEN}
    if len(set(firsts.values())) == 1:
        return [f"{line}.", f"That holds early, in the middle and late: {firsts['early']}."]
    return [f"{line}.", f"It moves: {_moves(firsts)}."]


def _moves(firsts: Mapping[str, str]) -> str:
    """Return who limits when, each said once while it stays."""
    early, middle, late = (firsts[third] for third in WHEN)
    if early == middle:
        return f"early and in the middle {early}, late {late}"
    if middle == late:
        return f"early {early}, in the middle and late {middle}"
    return f"early {early}, in the middle {middle}, late {late}"


def _bought(found: BottlenecksResult) -> list[str]:
    """Return what buys most of what can be brought or hastened, what taking a trouble away would buy, and what people do."""
    if not found.tried:
        return []
    lines, best = leader_lines(found, called), found.best(*CAN_BE)
    if best is not None:
        lines.append(
            f"Of what can be brought, hastened or done otherwise, most is bought by {best.what_if.name}: {_gain(found, best)}."
        )
    elif math.isfinite(found.outcome.p80.value):
        line = "Nothing that can be brought, hastened or done otherwise moves P80 so that "
        line += f"{wording.counted(found.each, 'run')} can tell it"
        in_mean = found.best_mean(*CAN_BE)
        if in_mean is not None:
            line += f"; the mean is moved most by {in_mean.what_if.name}, {_mean(in_mean)}"
        lines.append(f"{line}.")
    within = [one.what_if.name for one in found.tried if math.isinf(found.outcome.p80.value) > math.isinf(one.outcome.p80.value)]
    if within:
        lines.append(f"P80 lies after the last day simulated as it is; what brings it within: {', '.join(within)}.")
    bounds = [one for one in found.tried if one.what_if.kind is Kind.WITHOUT and one.earns]
    if bounds:
        digits = change_format(found.outcome)
        each = [f"{digits.of(one.earlier_p80.value or 0.0)} with {one.what_if.name}" for one in bounds]
        lines.append(f"For comparison, P80 would come earlier by {', by '.join(each)}.")
    costly = [one.what_if.name for one in found.tried if one.costs]
    if costly:
        lines.append(f"Makes it later: {', '.join(costly)}.")
    return [*lines, *_people(found, best)]


def _people(found: BottlenecksResult, best: BottlenecksRow | None) -> list[str]:
    """Return what more people buy, which is what is asked for first, unless it was said already."""
    from simulation.questions.bottlenecks.ideas import PEOPLE

    name = f"{PEOPLE} more people in the crews"
    people = next((one for one in found.tried if one.what_if.name == name), None)
    if people is None or people is best or people.costs:
        return []
    said = f"{PEOPLE} more people in the crews"
    if people.alike:
        return [f"{said} buy nothing: no run of {wording.number(found.each)} is ready at another hour."]
    if people.earns:
        return [f"{said}: {_gain(found, people)}."]
    if people.earlier_p80.value is None:
        return []
    digits = change_format(found.outcome)
    p80 = NO_P80_CHANGE
    if not digits.still(people.earlier_p80):
        p80 += f" ({digits.ends(people.earlier_p80, 'earlier', 'later')})"
    if people.earns_mean:
        return [f"{said} buy little: {p80}; the mean comes {_mean(people)}."]
    return [f"{said} buy nothing that can be told: {p80}."]


def _mean(one: BottlenecksRow) -> str:
    return f"{HOURS.of(one.earlier_mean.value or 0.0)} earlier ({HOURS.in_brackets(one.earlier_mean)})"


def _gain(found: BottlenecksResult, one: BottlenecksRow) -> str:
    digits, change = change_format(found.outcome), one.earlier_p80
    text = f"P80 comes {digits.of(change.value or 0.0)} earlier ({digits.in_brackets(change)})"
    before, after, deadline = found.outcome.chance, one.outcome.chance, found.outcome.deadline
    if before is None or after is None or deadline is None:
        return text
    return f"{text}; {on_time_change(deadline.text, before, after, one.against.chance)}"
