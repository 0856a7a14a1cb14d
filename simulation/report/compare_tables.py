"""Plans side by side as a person reads them: the answer first, then time, then people, effort and the deadline."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.analysis.comparing import Verdict
from simulation.analysis.moments import day
from simulation.analysis.quantiles import SAMPLING_ERROR_ONLY
from simulation.report import wording
from simulation.report.cautions import CAUTIONS
from simulation.report.sections import print_section, table_of
from simulation.report.time_scale import Scale, points, points_interval, scale_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.analysis.comparing import Compared, Comparison
    from simulation.analysis.paired import Difference

_EFFORT = (
    "People on site: operators and drivers included. Crew-days: crews times median days. Mats an hour: mats laid over people on "
    "site times the median hours on the laying shift until readiness."
)


def print_comparison(found: Comparison, console: Console) -> None:
    """Print the whole comparison; `console` must not read markup, because names are the planner's own words."""
    scenario = found.plans[found.reference].outcome.scenario
    builds = wording.counted(found.replications, "build")
    console.print(
        f"{scenario.title}: {len(found.plans)} plans, {builds} of each under the same luck, seed {found.seed}, "
        f"hour zero {day(scenario.starts)} {scenario.starts:%H:%M}",
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


def answer_lines(found: Comparison) -> list[str]:
    """Return the sentences that answer the commander's question."""
    reference = found.plans[found.reference]
    name = label(found, found.reference)
    earlier = [place for place, one in enumerate(found.plans) if one.verdict is Verdict.EARLIER]
    if not earlier:
        lines = [f"No plan is told to be earlier at P80 than {name}, {_days(reference)}."]
    else:
        best = min(earlier, key=lambda place: found.plans[place].outcome.p80.value)
        change = found.plans[best].against.p80
        lines = [
            f"Earliest at P80: {label(found, best)}, {_days(found.plans[best])} against {_days(reference)} of {name}: "
            f"{_change(found, change)} {_scale(found).name} ({_interval(found, change)})."
        ]
        lines += _alike(found, best)
    if found.replications < found.asked:
        lines.append(
            f"Stopped early: {wording.number(found.replications)} of {wording.counted(found.asked, 'build')} of each plan."
        )
    return lines


def _alike(found: Comparison, best: int) -> list[str]:
    """Return the sentence on plans with fewer people than the earliest one that come close to it."""
    first = found.plans[best].outcome
    low = first.p80.low if first.p80.low is not None else first.p80.value
    high = first.p80.high if first.p80.high is not None else first.p80.value
    fewer = [
        place
        for place, one in enumerate(found.plans)
        if one.outcome.people < first.people and low <= one.outcome.p80.value <= high
    ]
    if not fewer:
        return []
    least = min(fewer, key=lambda place: found.plans[place].outcome.people)
    return [
        f"{_upper(label(found, least))} comes within the interval of its P80 with {found.plans[least].outcome.people} people on "
        f"site instead of {first.people}."
    ]


def label(found: Comparison, place: int) -> str:
    """Return how a plan is called: its number in the tables, and its name."""
    return f"plan {place + 1} ({found.plans[place].outcome.name})"


def _upper(text: str) -> str:
    return text[0].upper() + text[1:]


def _days(one: Compared) -> str:
    text = wording.days(one.outcome.p80.value)
    return text if text == wording.BEYOND else f"{text} days"


def _time(found: Comparison) -> Table:
    table = table_of("plan", "P50", "P80", "95 % interval", "change", "95 % interval")
    for place, one in enumerate(found.plans):
        outcome, change = one.outcome, one.against.p80
        reference = place == found.reference
        table.add_row(
            _named(found, place),
            wording.short_days(outcome.p50.value),
            wording.short_days(outcome.p80.value),
            wording.interval(outcome.p80),
            "reference" if reference else _change(found, change),
            "" if reference else _interval(found, change),
        )
    return table


def _time_notes(found: Comparison) -> list[str]:
    notes = [
        f"Change: of P80 against {label(found, found.reference)}, in {_scale(found).name}, paired build by build; below zero is earlier."
    ]
    return [*notes, SAMPLING_ERROR_ONLY]


def _effort(found: Comparison) -> Table:
    table = table_of("plan", "people", "crew-days", "mats an hour", "P80 is")
    for place, one in enumerate(found.plans):
        table.add_row(
            _named(found, place),
            str(one.outcome.people),
            "-" if math.isinf(one.outcome.crew_days) else f"{one.outcome.crew_days:.1f}",
            "-" if one.mats_per_person_hour is None else f"{one.mats_per_person_hour:.2f}",
            one.verdict.value,
        )
    return table


def _on_time(found: Comparison) -> Table:
    table = table_of("plan", "on time", "95 % interval", "change", "95 % interval")
    for place, one in enumerate(found.plans):
        chance, change = one.outcome.chance, one.against.chance
        reference = place == found.reference
        assert chance is not None
        table.add_row(
            _named(found, place),
            wording.percent(chance.probability),
            f"{100 * chance.low:.1f} to {wording.percent(chance.high)}",
            "reference" if reference else points(change),
            "" if reference else points_interval(change),
        )
    return table


def _on_time_note(found: Comparison) -> str:
    deadline = found.plans[found.reference].outcome.deadline
    assert deadline is not None
    when = found.calendar.moment(deadline.hours)
    return f"On time: ready by {deadline.text}, {day(when)} {when:%H:%M}. Change: in percentage points, paired build by build."


def _named(found: Comparison, place: int) -> str:
    return f"{place + 1} {found.plans[place].outcome.name}"


def _scale(found: Comparison) -> Scale:
    """Return the unit that changes are told in."""
    return scale_of(found.plans[found.reference].outcome.p50.value)


def _change(found: Comparison, change: Difference) -> str:
    return "-" if change.value is None else f"{change.value / _scale(found).hours + 0.0:+.1f}"


def _interval(found: Comparison, change: Difference) -> str:
    if change.low is None or change.high is None:
        return "-"
    unit = _scale(found).hours
    return f"{change.low / unit + 0.0:+.1f} to {change.high / unit + 0.0:+.1f}"
