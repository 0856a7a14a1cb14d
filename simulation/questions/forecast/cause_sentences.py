"""The causes of a forecast in sentences: where the time goes, and why late runs are late."""

from __future__ import annotations

import math
from collections.abc import Sequence

from simulation.conditions.clock.calendar import DARK
from simulation.construction.trace.chain import PAST, is_off_shift, of_calendar
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.forecast.study import Forecast
from simulation.study.causes_of_time import CauseOfTime

#: Causes that a sentence has room for. Planning value.
MOST_CAUSES = 5
#: Runs of which halves are compared at the least, the causes that are named at the most, and the share of the difference that one
#: must make to be named. Planning values: means of ten runs each, and what a listener keeps.
FEWEST_FOR_HALVES, _MOST_LATE, _WORTH_SAYING = 20, 3, 0.05


def say_causes(forecast: Forecast) -> str:
    """Return where the hours of an average run go: outside shifts, in the dark, and the largest of the rest."""
    causes = forecast.causes
    mean = math.fsum(row.hours for row in causes)
    if forecast.unfinished < forecast.run_count:
        whole = f"{mean:,.0f} hours ({wording.days(mean)} days)"
        line = f"Where the time goes: of {whole} to {forecast.readiness.name} in an average run"
    else:
        line = f"What held the work up: of {mean:,.0f} hours up to the last day simulated"
    idle = _say_idle(causes)
    rest = [row for row in causes if not of_calendar(row.cause)][:MOST_CAUSES]
    said = listed([f"{row.cause} ({row.hours:,.0f})" for row in rest]) if rest else ""
    if not idle:
        return f"{line}, most go to {said}."
    return f"{line}, {listed(idle)}.{f' Most of the rest goes to {said}.' if said else ''}"


def _say_idle(causes: Sequence[CauseOfTime]) -> list[str]:
    """Return the hours outside shifts and in the dark, and whose shifts these are."""
    off = [row for row in causes if is_off_shift(row.cause)]
    dark = [row for row in causes if row.cause == DARK]
    parts = [f"{row.hours:,.0f} had passed when the log ends" for row in causes if row.cause == PAST]
    if off:
        each = {row.cause.partition(", ")[2]: round(row.hours) for row in off if round(row.hours)}
        whose = f" ({', '.join(f'{name} {hours:,}' for name, hours in each.items())})" if each else ""
        parts.append(f"{sum(each.values()):,} lie outside shifts{whose}")  # the sum of what is shown
    return parts + [f"{row.hours:,.0f} are lost to darkness" for row in dark if row.hours >= 0.5]


def say_late(forecast: Forecast) -> list[str]:
    """Return why late runs are late: what the later half of the runs spends more hours on than the earlier half.

    Nothing where too few runs were ready, or where all take about as long.
    """
    causes, finished = forecast.causes, forecast.run_count - forecast.unfinished
    apart = math.fsum(row.growth for row in causes)
    if finished < FEWEST_FOR_HALVES or apart < 1.0:
        return []
    more = sorted((row for row in causes if not of_calendar(row.cause)), key=lambda row: -row.growth)
    more = [row for row in more if row.growth >= max(_WORTH_SAYING * apart, 0.5)][:_MOST_LATE]
    said = [f"{row.cause} ({row.growth:,.0f} h more)" for row in more]
    idle = math.fsum(row.growth for row in causes if of_calendar(row.cause))
    line = (
        f"Why late runs are late: the later half of the runs is {forecast.ready_word} {apart:,.0f} h after the earlier half on "
        "average"
    )
    if said:
        line += f", mostly because of {listed(said)}"
    if idle >= max(_WORTH_SAYING * apart, 0.5):
        line += (
            f"; with that come {idle:,.0f} h more outside shifts or in the dark"
            if said
            else (f", because of {idle:,.0f} h more outside shifts or in the dark")
        )
    return [f"{line}."]
