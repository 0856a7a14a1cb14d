"""What shape has each idea in a record, and in which units? A quantile, a chance, a change, what a plan comes to.

Numbers stand always in these units, whatever the words are told in; a key that names its unit has that one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from simulation.stats.chances import Chance, likelihood_word
from simulation.stats.paired_difference import Difference
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY, QuantileEstimate
from simulation.study.calendar import Calendar, make_calendar
from simulation.study.changes.trials import TrialRow, TrialsResult
from simulation.study.outcomes import Against, Outcome
from simulation.study.utilisation import Use

#: Of a take-off, whose keys name none.
TAKE_OFF_UNITS = {
    "length": "ft",
    "area": "sq ft",
    "volume": "cu yd",
    "mass": "lb",
    "distance": "mile",
    "angle": "degree",
    "time": "hour",
}
#: Of what runs come to. Keys that hold values with an interval, such as p80_change_days, name the unit of all of them.
ANSWER_UNITS = {
    "days": "24 hours; a moment counts from the start",
    "workdays": "a day of the shifts",
    "person_days": "8 hours of one person",
    "hours": "hour",
    "square_feet": "sq ft",
    "chance, probability, share, on_time, use": "of 1",
    "mats, pallets, people, runs": "count",
}
#: Of weather fitted to a record.
WEATHER_UNITS = {
    "length, filled": "in steps of the record, see unit",
    "rain": "mm, of a wet hour",
    "wind, gust": "mph; gust as a multiple of it",
    "temperature": "degC",
    "humidity": "%",
    "chain": "chance of each hour",
    "share": "of 1",
}


def quantile_record(quantile: QuantileEstimate, calendar: Calendar) -> dict[str, Any]:
    """Return by when a share of the runs is ready, in days since the start, as date and shift; null where that is not known."""
    value, low, high = (days_record(part) for part in (quantile.value, quantile.low, quantile.high))
    known = value is not None
    moment = calendar.day_and_shift(quantile.value) if known else None
    return {
        "days": value,
        "interval_days": [low, high],
        "date": None if moment is None else datetime.strptime(moment.day, "%a %d %b %Y").date().isoformat(),
        "shift": None if moment is None else moment.shift,
    }


def chance_record(chance: Chance) -> dict[str, Any]:
    """Return a chance: its share of the runs, its interval, and its likelihood word where it bears one."""
    words = likelihood_word(chance)
    return {"share": chance.probability, "interval": [chance.low, chance.high], "words": words, "method": chance.method}


def change_record(change: Difference) -> dict[str, Any]:
    """Return a change of a time and its paired interval in days: above zero is later."""
    value, low, high = (days_record(part) for part in (change.value, change.low, change.high))
    return {"days": value, "interval_days": [low, high], "measurable": change.measurable, "withheld": change.withheld}


def shift_change_record(change: Difference) -> dict[str, Any]:
    """Return a change of the dates around P80 and its paired interval in hours on shift: above zero is later."""
    return {"hours_on_shift": change.value, "interval": [change.low, change.high], "measurable": change.measurable}


def share_change_record(change: Difference) -> dict[str, Any]:
    """Return a change of a chance and its paired interval: above zero is more likely."""
    shares = {"share": change.value, "interval": [change.low, change.high]}
    return {**shares, "measurable": change.measurable, "withheld": change.withheld}


def against_record(against: Against, outcome: Outcome) -> dict[str, Any]:
    """Return each paired change of a plan, whose outcome says whether it has a deadline."""
    return {
        "p50_change": change_record(against.p50),
        "p80_change": change_record(against.p80),
        "around_p80": shift_change_record(against.around_p80),
        "mean_change": change_record(against.mean),
        "on_time_change": None if outcome.deadline is None else share_change_record(against.chance),
    }


def use_record(use: Use) -> dict[str, Any]:
    """Return the hours on shift of an actor, and the shares of them that it worked, waited and so on."""
    return {
        "actor": use.actor,
        "on_shift_hours": use.on_shift,
        "working": use.share(use.working),
        "repair": use.share(use.repair),
        "closing_work": use.share(use.closing),
        "rest_in_turn": use.share(use.resting),
        "waiting": use.share(use.waiting),
    }


def outcome_record(outcome: Outcome) -> dict[str, Any]:
    """Return what a plan comes to: quantiles, and the chance of being on time."""
    calendar, deadline = make_calendar(outcome.scenario), outcome.deadline
    return {
        "p50": quantile_record(outcome.p50, calendar),
        "p80": quantile_record(outcome.p80, calendar),
        "deadline": None
        if deadline is None or outcome.chance is None
        else {"text": deadline.text, "days": deadline.hours / 24.0, "chance": chance_record(outcome.chance)},
    }


def trials_record(result: TrialsResult[Any]) -> dict[str, Any]:
    """Return what every question says that tries changes: runs, looks, margin, the current plan, and how many were not tried."""
    deadline, (fewest, most) = result.outcome.deadline, result.each
    return {
        "units": ANSWER_UNITS,
        "deadline": None if deadline is None else deadline.text,
        "asked": result.asked,
        "runs": result.runs,
        "runs_of_each_change": most,
        "fewest_runs_of_a_change": fewest,
        "looks": list(result.looks),
        "margin_hours": result.margin,
        "unfinished": result.unfinished,
        "current_plan": outcome_record(result.outcome),
        "not_reached": result.not_reached,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def trial_record(row: TrialRow[Any]) -> dict[str, Any]:
    """Return what one change does: what it comes to, each paired change, and what is known of that of P80."""
    return {
        "changes": [str(change) for change in row.trial.changes],
        "runs": row.runs,
        "outcome": outcome_record(row.outcome),
        **against_record(row.against, row.outcome),
        "p80_is": row.effect.value,
        "beside_the_foremost": row.standing.value,
        "no_run_changed": row.identical,
        "other_milestones": other_milestones_record(row.others),
    }


def other_milestones_record(changes: Iterable[tuple[str, Difference]]) -> list[dict[str, Any]]:
    """Return the change of P80 of each milestone that is not the one asked for."""
    return [{"name": name, "p80_change": change_record(change)} for name, change in changes]


def days_record(hours: float | None) -> float | None:
    """Return hours as days; null where they are not known."""
    return None if hours is None or math.isinf(hours) else hours / 24.0
