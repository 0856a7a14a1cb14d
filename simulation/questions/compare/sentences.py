"""What does a commander read of a comparison? Which plan is ready first, which needs fewer people, which meets the deadline."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS, chance_in_words, change_format
from simulation.questions.compare.verdicts import Verdict
from simulation.stats.paired_difference import FEWEST
from simulation.study.calendar import day, make_calendar
from simulation.study.told_by_change import disagrees

if TYPE_CHECKING:
    from simulation.questions.compare.study import CompareResult
    from simulation.study.outcomes import Outcome

#: Letters of a plan's name in the one sentence that is repeated. Planning value: two names leave it at about 200 letters.
_LONGEST = 40
#: Plans that are named as being as good as another; more are counted. Planning value.
_MOST_ALIKE = 3


def write_headline(result: CompareResult) -> str:
    """Return the answer in one sentence."""
    reference, best = result.plans[result.reference].outcome, result.plans[result.earliest]
    own = label(result, result.reference, _LONGEST)
    if result.earliest == result.reference:
        if math.isinf(reference.p80.value):
            return f"No plan is measurably earlier than {own}, whose 80 % date lies {wording.BEYOND}."
        return f"No plan is measurably earlier than {own}: 80 % date {_date(reference)}{_measurably_later(result)}."
    if len(result.first_ones) > 1:
        first = label(result, result.earliest, _LONGEST)
        line = f"{_name_first_ones(result)}; the 80 % date of {first} is {_date(best.outcome)}"
        own = f"plan {result.reference + 1}"
    else:
        first = wording.capitalised(label(result, result.earliest, _LONGEST))
        line = f"{first} is {result.ready_word} first: 80 % date {_date(best.outcome)}"
    if best.against.p80.value is None:
        return f"{line}; that of {own} lies {wording.BEYOND}."
    if not (-best.against.p80).above_zero:
        by = HOURS.of(best.against.around_p80.value or 0.0)
        return f"{line}; the dates around it lie {by} on shift before those of {own}."
    return f"{line}, {change_format(reference).of(best.against.p80.value)} earlier than {own}."


def write_lines(result: CompareResult) -> list[str]:
    """Return the sentences around the headline: fewer people, the deadline, a lower P80 that is no measurable gain."""
    return [*_fewer_people(result), *_most_often_on_time(result), *_lower_and_not_measurable(result)]


def write_warnings(result: CompareResult) -> list[str]:
    """Return what a reader must know before any number: few runs, runs that are not ready, a stop."""
    lines = []
    if result.run_count < FEWEST:
        lines.append(f"With fewer than {FEWEST} runs of each plan no difference between plans can be measured.")
    late = [index for index, row in enumerate(result.plans) if row.unfinished]
    if late:
        most = max(late, key=lambda index: result.plans[index].unfinished)
        row = result.plans[most]
        runs = f"{row.unfinished:,} of {wording.counted(row.runs, 'run')} of {label(result, most)}"
        others = f", and as many or fewer of {wording.counted(len(late) - 1, 'other plan')}" if len(late) > 1 else ""
        lines.append(f"Not {result.ready_word} by the last day simulated: {runs}{others}. They count as late.")
    if result.run_count < result.asked:
        done, asked = wording.number(result.run_count), wording.counted(result.asked, "run")
        lines.append(f"Stopped early: {done} of {asked} of each plan.")
    return lines


def write_conclusion(result: CompareResult) -> str:
    """Return the title of a picture: who is ready first, and who does it with fewer people."""
    if result.earliest == result.reference:
        title, later = f"No plan is measurably earlier than plan {result.reference + 1}", _find_later(result)
        if not later:
            return title
        return f"{title}; {f'plan {later[0] + 1} is' if len(later) == 1 else f'{len(later)} are'} measurably later"
    title, fewer = f"Plan {result.earliest + 1} is {result.ready_word} first", result.with_fewer_people
    if len(result.first_ones) > 1:
        title = _name_first_ones(result)
        if fewer in result.first_ones:
            return f"{title}; plan {fewer + 1} with fewer people"
    return title if fewer is None else f"{title}; plan {fewer + 1} is as quick with fewer people"


def _name_first_ones(result: CompareResult) -> str:
    """Return that several plans are ready first, and how alike they are."""
    equal = [index for index in result.first_ones if index != result.earliest]
    alike, runs = all(index in result.as_early for index in equal), wording.counted(result.run_count, "run")
    if len(result.first_ones) <= _MOST_ALIKE:
        so = ", alike to within half a shift" if alike else f" and not measurably apart in these {runs}"
        return f"Plans {listed([str(index + 1) for index in result.first_ones])} are {result.ready_word} first{so}"
    so = "are alike to within half a shift" if alike else f"are not measurably later in these {runs}"
    return f"Plan {result.earliest + 1} is {result.ready_word} first, and {len(equal)} others {so}"


def how_read(result: CompareResult, reference: str = "") -> str:
    """Return from how many runs each plan is read, where they are more than are paired, or where plans are read by a change.

    `reference` is how a sentence calls the reference; default: by its number.
    """
    by_change = [row.outcome.by_change for row in result.plans if row.outcome.by_change]
    if by_change:
        name, runs = reference or f"plan {result.reference + 1}", result.plans[result.reference].runs
        paired = f"{min(by_change):,}{'' if min(by_change) == max(by_change) else ' or more'}"
        return (
            f"{wording.capitalised(name)} is read from {runs:,} runs. Any other plan is read as {name} plus the change between "
            f"the two, measured in {paired} runs of both.{_contradictions(result)}"
        )
    more = {number: row.runs for number, row in enumerate(result.plans, 1) if row.runs > result.run_count}
    if not more:
        return ""
    each = ", ".join(f"{runs:,} of plan {number}" for number, runs in more.items())
    paired = f"{result.run_count:,}"
    return f"P50, P80 and chances are read from {each}, {paired} of any other. Changes use the {paired} that all have."


def _contradictions(result: CompareResult) -> str:
    """Return which plans have a P80 and a chance that contradict each other, because each has moved by a change of its own."""
    apart = [row.outcome.name for row in result.plans if row.outcome.paired and disagrees(row.outcome)]
    if not apart:
        return ""
    return (
        " P80 and the chance each move by their own change: where P80 lies by the deadline and the chance is under 80 %, or the "
        f"other way round, these runs leave open which is right ({'; '.join(apart)})."
    )


def count_runs(result: CompareResult) -> str:
    """Return how many runs there are of a plan, for a sentence."""
    fewer = "" if result.fewest == result.run_count else f"{result.fewest:,} to "
    return f"{fewer}{wording.counted(result.run_count, 'run')}"


def label(result: CompareResult, index: int, most: int | None = None) -> str:
    """Return how a plan is called: its number in the tables, and its name, of which so many letters are said."""
    name = result.plans[index].outcome.name
    if most is not None and len(name) > most:
        name = f"{name[: most - 1].rstrip(' ,')}…"
    return f"plan {index + 1} ({name})"


def _date(outcome: Outcome) -> str:
    """Return the 80 % date, and its days from the start."""
    hours = outcome.p80.value
    return f"{make_calendar(outcome.scenario).day_and_shift(hours).day_alone} ({wording.days(hours)} days)"


def _find_later(result: CompareResult) -> list[int]:
    """Return the plans that are measurably later than the reference, the latest first."""
    later = [index for index, row in enumerate(result.plans) if row.verdict is Verdict.LATER]
    return sorted(later, key=lambda index: -(result.plans[index].against.around_p80.value or 0.0))


def _measurably_later(result: CompareResult) -> str:
    """Return the clause on what is measurably later than the reference: the latest with its change, the others counted."""
    later = _find_later(result)
    if not later:
        return ""
    row = result.plans[later[0]]
    assert row.against.p80.value is not None
    if row.against.p80.above_zero:
        by = change_format(result.plans[result.reference].outcome).of(row.against.p80.value)
    else:
        by = f"{HOURS.of(row.against.around_p80.value or 0.0)} on shift around P80"
    name = label(result, later[0], _LONGEST)
    if len(later) == 1:
        return f"; {name} is measurably later, by {by}"
    return f"; {len(later)} plans are measurably later, {name} by {by}"


def _fewer_people(result: CompareResult) -> list[str]:
    least = result.with_fewer_people
    if least is None:
        return []
    people = [row.outcome.people for row in result.plans]
    if least in result.first_ones:
        return [
            f"{wording.capitalised(label(result, least))} needs fewer people than plan {result.earliest + 1}: {people[least]:,} "
            f"on site instead of {people[result.earliest]:,}. Half a shift is {result.margin:.3g} hours."
        ]
    return [
        f"{wording.capitalised(label(result, least))} is as quick as {label(result, result.earliest)}, with {people[least]:,} "
        f"people on site instead of {people[result.earliest]:,}: the dates around P80 lie less than half a shift "
        f"({result.margin:.3g} hours) apart."
    ]


def _most_often_on_time(result: CompareResult) -> list[str]:
    best = result.most_often_on_time
    if best is None:
        return []
    alike = result.as_often_on_time
    if best != result.reference and result.earliest in alike:  # of equals by the deadline, the one that the headline names
        alike, best = tuple(sorted({*alike, best} - {result.earliest})), result.earliest
    outcome = result.plans[best].outcome
    assert outcome.chance is not None and outcome.deadline is not None
    by, line = outcome.deadline.text, f"{label(result, best)}, {chance_in_words(outcome.chance)}"
    equal = [f"plan {index + 1}" for index in alike] if len(alike) <= _MOST_ALIKE else [f"{len(alike)} other plans"]
    are = "is" if len(alike) == 1 else "are"
    if best != result.reference:
        before = result.plans[result.reference].outcome.chance
        assert before is not None
        line += f"; {label(result, result.reference)}, {chance_in_words(before)}"
        if not alike:
            return [f"Best chance of being {result.ready_word} by {by}: {line}."]
        apart = f"plan {best + 1} and {listed(equal)}, which these runs cannot tell apart"
        chances = f"plan {best + 1}, {chance_in_words(outcome.chance)}; plan {result.reference + 1}, {chance_in_words(before)}"
        return [f"Most often {result.ready_word} by {by}: {apart}; {chances}."]
    if len(result.plans) > 1:
        rest = f"{listed(equal)} {are} as good in the same runs, and none" if alike else "none of the other plans"
        line += f"; {rest} is measurably better"
    return [f"{result.ready_word.capitalize()} by {by}: {line}."]


def _lower_and_not_measurable(result: CompareResult) -> list[str]:
    first = result.by_p80[0]
    lowest, named = (result.plans[index].outcome.p80.value for index in (first, result.earliest))
    if not lowest < named or wording.days(lowest) == wording.days(named):
        return []
    if result.plans[first].verdict is Verdict.EARLIER:
        return [
            f"{wording.capitalised(label(result, first))} has the lowest P80, {wording.days(lowest)} days; the dates around it "
            f"are no earlier than those of plan {result.earliest + 1}."
        ]
    return [
        f"{wording.capitalised(label(result, first))} has the lowest P80, {wording.days(lowest)} days, but its gain on plan "
        f"{result.reference + 1} is too small to measure with so many runs."
    ]


def describe_deadline(result: CompareResult) -> str:
    """Return what being on time means, and for which plans it is known from below only."""
    deadline = result.plans[result.reference].outcome.deadline
    assert deadline is not None
    moment = result.calendar.moment(deadline.hours)
    beyond = [
        str(number)
        for number, row in enumerate(result.plans, 1)
        if row.unfinished and row.outcome.deadline and row.outcome.deadline.hours > row.outcome.scenario.horizon
    ]
    note = f"On time: {result.ready_word} by {deadline.text}, {day(moment)} {moment:%H:%M}."
    if beyond:
        note += (
            f" At least, for plan {', '.join(beyond)}: the deadline lies after the last day simulated, and unfinished runs may "
        )
        note += "have met it."
    return note
