"""What does a planner read of the conditions? What weather takes from each kind of work, and where its figures come from."""

from __future__ import annotations

import math

from simulation.conditions.clock.calendar import DARK, FATIGUE
from simulation.conditions.clock.lost_hours import Month
from simulation.conditions.stops.work_and_rest import MOST_A_DAY, MOST_AN_HOUR
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.conditions.study import ConditionsResult
from simulation.questions.conditions.weather_origin import PLANNED
from simulation.questions.conditions.work_lost import WorkLost
from simulation.questions.conditions.workable_days import LOST, RAIN_DAY
from simulation.scenario.types.quantities.measures import Measures

LOST_DAY = (
    f"A day is lost if weather takes {100 * LOST:.0f} % or more of the work of its shift hours with light (planning value)."
)
#: What takes hours by a slower pace of work, as it is printed.
PACE = {DARK: "the night rate", FATIGUE: "fatigue"}
#: A slower pace that leaves more than this of the shift hours is not told in the sentence. Planning value.
_ALL_BUT = 0.99
HOURS_COUNTED = (
    "Hours are those of the calendar, from the start on; a shift past midnight belongs, whole, to the day on which it begins."
)


def rain_day_rule(measures: Measures) -> str:
    """Return from how much rain a day counts as one of rain, the planner's unit first."""
    amounts = [f"{RAIN_DAY / 25.4:.2f} in", f"{RAIN_DAY:.1f} mm"]
    first, second = reversed(amounts) if measures.metric else amounts
    return f"rain days: {first} ({second}) or more on the day, a rule in use by one state highway department"


def period(result: ConditionsResult) -> str:
    """Return from when to when, and of how many seasons."""
    starts = result.scenario.starts
    days = result.months[-1].end / 24
    seasons = wording.counted(result.seasons, "drawn season")
    return f"{days:,.4g} days from {starts:%Y-%m-%d %H:%M} local time; {seasons}, seed {result.seed}; no work is simulated"


def month_name(month: Month) -> str:
    """Return a month as it is printed, such as ``Apr 2031``."""
    return f"{wording.MONTHS[month.month - 1]} {month.year}"


def work_name(lost: WorkLost) -> str:
    """Return a kind of work as a sentence names it, or several that have the same hours and limits."""
    return listed(lost.work.name.split(", "))


def find_worst_hit(result: ConditionsResult, shown: WorkLost) -> WorkLost | None:
    """Return the kind of work that loses the largest share to weather; None where no other loses a larger one than `shown`."""
    worst = max(result.works, key=lambda lost: lost.share)
    return worst if f"{worst.share:.2f}" > f"{shown.share:.2f}" else None


def loss_sentence(lost: WorkLost, worst: WorkLost | None = None) -> str:
    """Return what weather takes from one kind of work, and what from that which it hits worst, where that is another."""
    usable = lost.at_work.mean + lost.lost_hours.mean
    name = work_name(lost)
    rest = f" {wording.counted(lost.work.rest_days, 'day')} of rest besides." if lost.work.rest_days else ""
    if usable <= 0.0:
        return f"Shifts and daylight leave no hours for {name}."
    most = "" if worst is None else f"; most from {work_name(worst)}: {100 * worst.share:.0f} %, {worst.lost_days.mean:.1f} days"
    hours = f"{lost.shift_hours:,.0f} shift hours with light"
    if usable < _ALL_BUT * lost.shift_hours:
        leave = f"{listed([PACE[cause] for cause in lost.slower])} {'leave' if len(lost.slower) > 1 else 'leaves'}"
        hours = f"{usable:,.0f} full-pace hours that {leave} of {lost.shift_hours:,.0f}"
    if lost.lost_hours.mean <= 0.0:
        return f"Weather takes none of the {hours} from {name}{most}.{rest}"
    seldom = f"{lost.lost_hours.p80:,.0f} hours or {wording.counted(round(lost.lost_days.p80), 'day')}"
    return (
        f"Weather takes {lost.lost_hours.mean:,.0f} of the {hours} from {name} ({100 * lost.share:.0f} %), "
        f"and {lost.lost_days.mean:.1f} of {lost.days_with_hours:,.0f} working days{most}; "
        f"in one season out of five more than {seldom}.{rest}"
    )


def conclusion(lost: WorkLost) -> str:
    """Return what the picture shows, as its title."""
    usable = lost.at_work.mean + lost.lost_hours.mean
    if usable <= 0.0:
        return f"No shift hours with light for {work_name(lost)}"
    share = f"{100 * lost.lost_hours.mean / usable:.0f} %" if lost.lost_hours.mean > 0.0 else "none"
    return f"Weather takes {share} of the shift hours of {work_name(lost)}"


def condition_lines(result: ConditionsResult, shown: WorkLost) -> list[str]:
    """Return the sentences that answer the question, the headline first."""
    lines = [loss_sentence(shown, find_worst_hit(result, shown)), *_days_taken(result, shown), *_too_hot(result)]
    planned = [name for name, origin in result.origin.items() if origin == PLANNED]
    if planned:
        lines.append(f"Planning values, not figures of this place: {listed(planned)}.")
    return lines


def _days_taken(result: ConditionsResult, shown: WorkLost) -> list[str]:
    if math.isinf(shown.calendar.p80):
        return []
    asked, take = wording.counted(result.work_days, "working day"), "take" if result.work_days > 1 else "takes"
    taken = wording.counted(round(shown.calendar.p80), "day")
    return [f"{asked} of {work_name(shown)} {take} {taken} of the calendar or fewer in four seasons out of five."]


def _too_hot(result: ConditionsResult) -> list[str]:
    """Return where the heat asks for more water than may be drunk, and what to do about it."""
    shares = {work_name(lost): max(month.too_much for month in lost.months) for lost in result.works}
    over = [f"{name} in up to {100.0 * share:.0f} % of the shifts of a month" for name, share in shares.items() if share > 0.0]
    if not over:
        return []
    limits = drinking_limits(result.scenario.measures)
    return [f"The heat asks for more water than {limits} from {listed(over)}: write shorter shifts."]


def drinking_limits(measures: Measures) -> str:
    """Return what may be drunk in an hour and in a day."""
    return f"{_limit(MOST_AN_HOUR, measures)} in an hour or {_limit(MOST_A_DAY, measures)} in a day"


def _limit(quarts: float, measures: Measures) -> str:
    """Return a limit of a source, in other units with its own beside them."""
    own = f"{quarts:g} quarts"
    return f"{measures.water.text(quarts)} ({own})" if measures.metric else own
