"""The forecast in sentences: when, how likely by the deadline, where the time goes, and how far to trust it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from simulation.conditions.clock.calendar import DARK
from simulation.construction.trace.chain import PAST, is_off_shift, of_calendar
from simulation.field import take_off
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import chance_in_words, how_often
from simulation.present.words.pallet_words import to_order_in_words
from simulation.questions.forecast.coming_back import say_what_came_back
from simulation.questions.forecast.milestones import BANDS
from simulation.questions.forecast.outrun import Outrun
from simulation.questions.forecast.precision import Reached
from simulation.questions.forecast.study import Forecast
from simulation.study.calendar import day
from simulation.study.causes_of_time import CauseOfTime

#: Causes that a sentence has room for. Planning value.
MOST_CAUSES = 5
#: Runs of which halves are compared at the least, the causes that are named at the most, and the share of the difference that one
#: must make to be named. Planning values: means of ten runs each, and what a listener keeps.
FEWEST_FOR_HALVES, _MOST_LATE, _WORTH_SAYING = 20, 3, 0.05


def say_what_was_done(forecast: Forecast) -> str:
    """Return how many runs there are, and from when."""
    starts = forecast.scenario.starts
    drawn = "" if forecast.sampling == "random" else "job-wide values drawn in hypercubes, "
    return f"{wording.counted(forecast.run_count, 'run')}, seed {forecast.seed}, {drawn}start {day(starts)} {starts:%H:%M}"


def headline(forecast: Forecast) -> str:
    """Return the sentence that a commander repeats: the date that four runs in five keep, and the chance of the deadline."""
    eighty, name = forecast.readiness.quantile(0.8).value, forecast.readiness.name
    if math.isinf(eighty):
        line = f"Fewer than four runs in five reach {name} within the {wording.days(forecast.scenario.horizon)} days simulated"
    else:
        when = wording.moment(forecast.calendar, eighty)
        line = f"Four runs in five reach {name} by {when}: {wording.days(eighty)} days after the start"
    if forecast.deadline is None:
        return f"{line}."
    chance, word = forecast.deadline.chance, forecast.deadline.likelihood
    often = how_often(chance)
    often = often.replace("in ", "in at least ", 1) if chance.at_least else often
    return f"{line}; the deadline {forecast.deadline.deadline.text} is met {often}{f' ({word})' if word else ''}."


def find_warnings(forecast: Forecast) -> list[str]:
    """Return what must be known before any number: runs that are few, not ready, or missing."""
    lines, done = [], forecast.ready_word
    if forecast.run_count < forecast.asked:
        lines.append(f"Stopped early: {wording.number(forecast.run_count)} of {wording.counted(forecast.asked, 'run')} done.")
    if (few := wording.few_runs(forecast.run_count)) is not None:
        lines.append(few)
    if forecast.unfinished:
        lines.append(
            f"{wording.counted(forecast.unfinished, 'run')} of {wording.number(forecast.run_count)} not {done} within the "
            f"{wording.days(forecast.scenario.horizon)} days simulated: counted as late, so no mean is given."
        )
    unknown = [f"P{100 * share:.0f}" for share in BANDS if math.isinf(forecast.readiness.quantile(share).value)]
    if unknown:
        fewer = {3: "half", 2: "80 %", 1: "90 %"}[len(unknown)]
        lines.append(f"Fewer than {fewer} of the runs are {done} by then, so {listed(unknown)} {_are(unknown)} not known.")
    return lines


def _are(names: Sequence[str]) -> str:
    return "is" if len(names) == 1 else "are"


def answer_lines(forecast: Forecast) -> list[str]:
    """Return the sentences around the headline."""
    lines = outrun_lines(forecast.outrun, forecast.scenario.takes_up)
    if forecast.causes:
        lines += [say_causes(forecast), *say_late(forecast)]
    if forecast.came_back is None:
        lines.append(to_order_in_words(take_off(forecast.scenario)))
    else:
        lines.append(say_what_came_back(forecast.scenario, forecast.came_back))
    if forecast.deadline is not None:
        lines.append(say_deadline(forecast))
    if forecast.precision is not None:
        lines.append(say_precision(forecast.precision))
    return lines


def say_deadline(forecast: Forecast) -> str:
    """Return the chance of the deadline: the number, its interval and its word."""
    asked = forecast.deadline
    assert asked is not None
    when = forecast.calendar.moment(asked.deadline.hours)
    line = (
        f"{forecast.ready_word.capitalize()} by the deadline {asked.deadline.text} "
        f"({wording.days(asked.deadline.hours)} days, {day(when)} {when:%H:%M}): "
        f"{chance_in_words(asked.chance)}."
    )
    if asked.chance.at_least:
        done = forecast.ready_word
        line += f" The deadline lies after the last day simulated: a run that was not {done} may still have met it."
    # A duration from a morning ends at a morning, and its planner may have meant the day that begins then.
    calendar, at = forecast.calendar, asked.deadline.hours
    same_day = next((row for row in forecast.by_day if row.hours > at and calendar.day_of(row.hours).date() == when.date()), None)
    midnight = (when.hour, when.minute) == (0, 0)  # a date's end
    if same_day is not None and not midnight:
        line += f" By the end of that day, {wording.end_of_day(calendar)}: {wording.percent(same_day.ready)}."
    return line


def say_precision(reached: Reached) -> str:
    """Return how precise the runs are, and why there are not more of them."""
    asked = reached.asked
    reach = "has no limit on one side" if math.isinf(reached.side) else f"reaches {reached.side:.2f} h of laying time from it"
    line = f"The {100 * asked.confidence:g} % interval of {asked.name} {reach} ({asked.within:.3g} h asked)"
    if reached.met:
        return f"{line}."
    if reached.runs >= asked.most:
        return f"{line}: stopped at the most runs allowed, {wording.number(asked.most)}."
    return f"{line}: not there yet."


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


def outrun_lines(outrun: Outrun | None, taken_up: bool = False) -> list[str]:
    """Return what is said of runs that were not ready: what they lack, and who waits for what; nothing where all were."""
    if outrun is None:
        return []
    if taken_up:
        runs = "the run that was" if outrun.runs == 1 else f"the {outrun.runs:,} runs that were"
        waits = f"; crews wait for {_say_each(outrun)}" if outrun.waits else ""
        return [f"In {runs} not done, {wording.percent(outrun.share)} of the field still lies by the last day simulated{waits}."]
    runs = "the run that was" if outrun.runs == 1 else f"the {outrun.runs:,} runs that were"
    left = f"{wording.percent(outrun.share)} of the field is not laid by the last day simulated"
    lines = [f"In {runs} not ready, {left}{_say_waits(outrun)}."]
    lacking = [
        f"{lack:,.0f} of {left:,.0f} {kind} mats"
        for kind, left, lack in (("full", outrun.full, outrun.full_lacking), ("half", outrun.half, outrun.half_lacking))
        if lack >= 0.5
    ]
    if lacking:
        to_come = (
            f"; {outrun.to_come:,.0f} pallets have not arrived yet" if outrun.to_come >= 0.5 else "; no more pallets are expected"
        )
        lines.append(f"Missing on the last day simulated: {listed(lacking)} still to be laid{to_come}.")
    elif outrun.full + outrun.half >= 0.5:
        lines.append(f"The mats for the rest are on site: {outrun.full:,.0f} full and {outrun.half:,.0f} half mats.")
    return lines


def _say_waits(outrun: Outrun) -> str:
    if outrun.closed:
        return f"; {outrun.closed} is flown from, and its windows leave the crews no hour to lay there"
    if not outrun.waits:
        return (
            "; rows are being laid" if outrun.full + outrun.half >= 0.5 else "; final sweep, inspection and marking is not done"
        )
    return f"; laying edges wait for {_say_each(outrun)}"


def _say_each(outrun: Outrun) -> str:
    return listed([f"{what}{'' if share == 1.0 else f' in {wording.percent(share)}'}" for what, share in outrun.waits])
