"""The forecast in sentences: when, how likely by the deadline, and how far to trust it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from simulation.construction.trace.temporary_ends import LATE
from simulation.field import take_off
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import chance_in_words, how_often
from simulation.present.words.pallet_words import lopsided_in_words, to_order_in_words
from simulation.questions.forecast.cause_sentences import say_causes, say_late
from simulation.questions.forecast.coming_back import say_what_came_back
from simulation.questions.forecast.milestones import BANDS
from simulation.questions.forecast.outrun_sentences import say_outrun
from simulation.questions.forecast.precision import Reached
from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.yard_room import say_yard_room
from simulation.study.calendar import day


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
    unknown = [share for share in BANDS if math.isinf(forecast.readiness.quantile(share).value)]
    if unknown:
        fewer = "half" if unknown[0] == 0.5 else f"{100 * unknown[0]:.0f} %"
        names = [f"P{100 * share:.0f}" for share in unknown]
        lines.append(f"Fewer than {fewer} of the runs are {done} by then, so {listed(names)} {_are(names)} not known.")
    return lines


def _are(names: Sequence[str]) -> str:
    return "is" if len(names) == 1 else "are"


def answer_lines(forecast: Forecast) -> list[str]:
    """Return the sentences around the headline."""
    lines = say_outrun(forecast)
    if forecast.causes:
        lines += [say_causes(forecast), *say_late(forecast)]
    if forecast.came_back is None:
        lines += [to_order_in_words(take_off(forecast.scenario)), *lopsided_in_words(take_off(forecast.scenario))]
    else:
        lines += [say_what_came_back(forecast.scenario, forecast.came_back), say_yard_room(forecast.came_back.yard)]
    lines += say_late_ends(forecast)
    if forecast.deadline is not None:
        lines.append(say_deadline(forecast))
    if forecast.precision is not None:
        lines.append(say_precision(forecast.precision))
    return lines


def say_late_ends(forecast: Forecast) -> list[str]:
    """Return in how many runs a flying window begins without its temporary end; nothing where none does."""
    if LATE not in forecast.table.columns:
        return []
    late = sum(count > 0 for count in forecast.table[LATE].tolist()) / forecast.run_count
    said = f"In {wording.percent(late)} of runs a flying window begins before the temporary end stands."
    return [said] if late else []


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
    at = asked.deadline.hours
    same_day = next((row for row in forecast.by_day if row.hours > at and row.day.date() == when.date()), None)
    midnight = (when.hour, when.minute) == (0, 0)  # a date's end
    if same_day is not None and not midnight:
        line += f" By the end of that day, {wording.end_of_day(same_day.ends_at)}: {wording.percent(same_day.ready)}."
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
