"""Plans side by side as a person reads them: the answer first, then time, then people, effort and the deadline."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.cautions import CAUTIONS
from simulation.present.change_format import POINTS, ChangeFormat, chance_in_words, choose_format
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.compare.study import FEWEST, how_read
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.questions.compare.study import CompareResult, CompareRow

#: With more plans than this it is said that some differ by chance. Planning value.
_FEW = 6
_EFFORT = (
    "People: on site, operators and drivers included. Crew-days: crews times median days. Mats/person-h: mats of the "
    "field over people on site times the hours on the laying shift until the median."
)


def print_comparison(found: CompareResult, console: Console) -> None:
    """Print the whole comparison; `console` must not read markup, because names are the planner's own words."""
    scenario = found.plans[found.reference].outcome.scenario
    runs = wording.counted(found.run_count, "run")
    console.print(
        f"{scenario.title}: {len(found.plans)} plans, {runs} of each under the same luck, seed {found.seed}, "
        f"start {day(scenario.starts)} {scenario.starts:%H:%M}",
        style="bold",
    )
    for line in answer_lines(found):
        console.print(line)
    print_section(console, "Days until ready", _time(found), *_time_notes(found))
    print_section(console, "People and effort", _effort(found), _EFFORT)
    if found.plans[found.reference].outcome.deadline is not None:
        print_section(console, "Ready by the deadline", _on_time(found), _on_time_note(found))
    console.print()
    for caution in CAUTIONS:
        console.print(f"* {caution}")


def answer_lines(found: CompareResult) -> list[str]:
    """Return the sentences that answer the commander's question."""
    reference, best = found.plans[found.reference], found.plans[found.earliest]
    name = label(found, found.reference)
    if found.earliest == found.reference:
        lines = [f"No plan is told to be earlier at P80 than {name}, {_days(reference)}."]
    else:
        line = f"Earliest at P80: {label(found, found.earliest)}, {_days(best)}"
        change = f"{_change(found, best)} {_scale(found).name} ({_interval(found, best)})"
        lines = [f"{line}; the P80 of {name} lies after the last day simulated."]
        if best.against.p80.value is not None:
            lines = [f"{line} against {_days(reference)} of {name}: {change}."]
    lines += _alike(found)
    lines += _on_time_line(found)
    lines += _late(found)
    if found.run_count < found.asked:
        lines.append(f"Stopped early: {wording.number(found.run_count)} of {wording.counted(found.asked, 'run')} of each plan.")
    return lines


def _late(found: CompareResult) -> list[str]:
    """Return the sentence on runs that were not ready by the last day simulated."""
    late = [place for place, one in enumerate(found.plans) if one.unfinished]
    if not late:
        return []
    most = max(late, key=lambda place: found.plans[place].unfinished)
    runs = f"{found.plans[most].unfinished:,} of {wording.counted(found.plans[most].runs, 'run')} of {label(found, most)}"
    others = f" and as many or fewer of {wording.counted(len(late) - 1, 'other plan')}" if len(late) > 1 else ""
    return [f"Not ready by the last day simulated: {runs}{others}, counted as late."]


def _alike(found: CompareResult) -> list[str]:
    """Return the sentence on a plan with fewer people than the earliest one that is alike to within the margin."""
    people = [one.outcome.people for one in found.plans]
    fewer = [place for place in found.alike if people[place] < people[found.earliest]]
    if not fewer:
        return []
    least = min(fewer, key=lambda place: (people[place], found.plans[place].outcome.p80.value))
    earliest = label(found, found.earliest)
    return [
        f"With fewer people and a P80 alike to within half a shift ({found.margin:.3g} hours) of {earliest}: "
        f"{label(found, least)}, {people[least]:,} people on site instead of {people[found.earliest]:,}."
    ]


def _on_time_line(found: CompareResult) -> list[str]:
    """Return the sentence on the plan with the best chance of the deadline: of several the reference, else the fewest people."""
    chances = [one.outcome.chance.probability if one.outcome.chance else -1.0 for one in found.plans]
    people = [one.outcome.people for one in found.plans]
    best = max(range(len(chances)), key=lambda place: (chances[place], place == found.reference, -people[place]))
    outcome = found.plans[best].outcome
    if outcome.chance is None or outcome.deadline is None:
        return []
    return [f"Best chance of the deadline {outcome.deadline.text}: {label(found, best)}, {chance_in_words(outcome.chance)}."]


def label(found: CompareResult, place: int) -> str:
    """Return how a plan is called: its number in the tables, and its name."""
    return f"plan {place + 1} ({found.plans[place].outcome.name})"


def _days(one: CompareRow) -> str:
    text = wording.days(one.outcome.p80.value)
    return text if text == wording.BEYOND else f"{text} days"


def _time(found: CompareResult) -> Table:
    table = new_table("plan", "P50", "P80", "95 % interval", "change", "95 % interval")
    for place, one in enumerate(found.plans):
        outcome = one.outcome
        reference = place == found.reference
        table.add_row(
            _named(found, place),
            wording.short_days(outcome.p50.value),
            wording.short_days(outcome.p80.value),
            wording.interval(outcome.p80),
            "reference" if reference else _change(found, one),
            "" if reference else _interval(found, one),
        )
    return table


def _time_notes(found: CompareResult) -> list[str]:
    held = f"Change: of P80 against {label(found, found.reference)}, in {_scale(found).name}, paired run by run"
    notes = [f"{held}; below zero is earlier.", *filter(None, [how_read(found)])]
    if len(found.plans) > _FEW:
        notes.append("Each interval stands for itself: of twenty plans that change nothing, one is told to differ by chance.")
    if found.run_count < FEWEST:
        notes.append(f"With fewer than {FEWEST} runs these intervals hold too seldom, so no difference is told.")
    notes.append(SAMPLING_ERROR_ONLY)
    if any(wording.has_no_limit(one.outcome.p80) for one in found.plans):
        notes.append(wording.NO_LIMIT_MEANS)
    return notes


def _effort(found: CompareResult) -> Table:
    table = new_table("plan", "people", "crew-days", "mats/person-h", "P80 is")
    for place, one in enumerate(found.plans):
        table.add_row(
            _named(found, place),
            f"{one.outcome.people:,}",
            "-" if math.isinf(one.outcome.crew_days) else f"{one.outcome.crew_days:.1f}",
            "-" if one.mats_per_person_hour is None else f"{one.mats_per_person_hour:.2f}",
            one.verdict.value,
        )
    return table


def _on_time(found: CompareResult) -> Table:
    table = new_table("plan", "on time", "95 % interval", "change", "95 % interval")
    for place, one in enumerate(found.plans):
        chance, change = one.outcome.chance, one.against.chance
        reference = place == found.reference
        assert chance is not None
        table.add_row(
            _named(found, place),
            wording.percent(chance.probability),
            f"{100 * chance.low:.1f} to {wording.percent(chance.high)}",
            "reference" if reference else POINTS.text(change.value or 0.0),
            "" if reference else POINTS.interval(change),
        )
    return table


def _on_time_note(found: CompareResult) -> str:
    deadline = found.plans[found.reference].outcome.deadline
    assert deadline is not None
    when = found.calendar.moment(deadline.hours)
    note = f"On time: ready by {deadline.text}, {day(when)} {when:%H:%M}. Change: in percentage points, paired run by run."
    beyond = [
        str(place)
        for place, one in enumerate(found.plans, 1)
        if one.unfinished and one.outcome.deadline and one.outcome.deadline.hours > one.outcome.scenario.horizon
    ]
    if beyond:
        note += f" At least, for plan {', '.join(beyond)}: the deadline lies after the last day simulated; what "
        note += "is unfinished may have met it."
    return note


def _named(found: CompareResult, place: int) -> str:
    return f"{place + 1} {found.plans[place].outcome.name}"


def _scale(found: CompareResult) -> ChangeFormat:
    """Return the unit that changes are told in: what suits the longest plan."""
    known = [one.outcome.p80.value for one in found.plans if math.isfinite(one.outcome.p80.value)]
    return choose_format(max(known, default=math.inf))


def _change(found: CompareResult, one: CompareRow) -> str:
    change = one.against.p80
    return "-" if change.value is None else _signed(change.value / _scale(found).size)


def _interval(found: CompareResult, one: CompareRow) -> str:
    change, unit = one.against.p80, _scale(found).size
    if change.low is None or change.high is None:
        return "-"
    return f"{_signed(change.low / unit)} to {_signed(change.high / unit)}"


def _signed(value: float) -> str:
    """Return a change to a tenth, or to a hundredth where a tenth would hide on which side of zero it lies."""
    return f"{value:+.2f}" if 0.005 <= abs(value) < 0.05 else f"{round(value, 1) + 0.0:+.1f}"
