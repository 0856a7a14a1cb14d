"""What calendar, sun and weather are expected to take from each kind of work, for a terminal and as JSON."""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from simulation.conditions.clock.calendar import OFF_SHIFT
from simulation.conditions.stops.work_and_rest import MOST_A_DAY, MOST_AN_HOUR
from simulation.present import wording
from simulation.present.record_units import ANSWER_UNITS
from simulation.present.terminal_table import new_table, print_section, terms
from simulation.present.wording import MONTHS
from simulation.questions.conditions.workable_days import LOST, RAIN_DAY

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.conditions.clock.lost_hours import Month
    from simulation.questions.conditions.study import ExpectedLosses
    from simulation.questions.conditions.work_lost import Estimate, WorkLost
    from simulation.questions.conditions.workable_days import CalendarDays
    from simulation.scenario.types.measures import Measures

RULE = f"rain days: {RAIN_DAY / 25.4:.2f} in ({RAIN_DAY:g} mm) or more on the day, a rule in use by one state highway department"
HALF = (
    f"A day is lost if weather takes {100 * LOST:.0f} % or more of the hours that calendar and light leave (planning value). "
    "Hours are those of the calendar, from the start on; a shift past midnight belongs, whole, to the day on which it begins."
)
RESTED = (
    "On a day of rest no shift begins; a shift of the night before still ends on it. Its hours are those that it would have had."
)


def print_losses(found: ExpectedLosses, shown: WorkLost, console: Console) -> None:
    """Print all of it; by month, of one kind of work."""
    console.print(found.scenario.title, style="bold")
    console.print(period(found))
    for one in found.works:
        console.print(losses_answer(one))
    for one in found.works:
        print_section(console, f"{one.work.name}: hours and days that are lost", causes_table(one))
    console.print(HALF, style="italic")
    if any(one.work.rest_days for one in found.works):
        console.print(RESTED, style="italic")
    print_section(
        console, f"{shown.work.name}: hours and days lost to weather by month", months_table(found, shown), months_note(found)
    )
    if len(found.works) > 1:
        console.print("Other kinds of work: --work NAME, and all in conditions.json.", style="italic")
    for title, table, note in people_tables(found):
        print_section(console, title, table, note)
    asked = wording.counted(found.work_days, "day")
    print_section(console, f"Days that {asked} of work take", _work_days(found), *_DAYS)
    listed = terms()
    for name, origin in found.origin.items():
        listed.add_row(name, origin)
    print_section(console, "Where the weather comes from", listed)


_DAYS = (
    "Drawn: days with hours, as the seasons have them, bad days in rows. Apart: as if each day with hours were workable with the "
    "share given, whatever the day before was (negative binomial). The share is that of the days from the start to the P90 in "
    "all. In all: days of the calendar from that of the start on, "
    "of the drawn seasons; those of rest, and without light, are counted. Means and P90 of each are in conditions.json.",
)


def period(found: ExpectedLosses) -> str:
    """Return from when to when, and of how many seasons."""
    starts = found.scenario.starts
    days = found.months[-1].end / 24
    seasons = wording.counted(found.seasons, "drawn season")
    return f"{days:,.4g} days from {starts:%Y-%m-%d %H:%M} local time; {seasons}, seed {found.seed}; nothing is built."


def losses_answer(one: WorkLost) -> str:
    """Return in a sentence what weather takes from one kind of work."""
    usable = one.at_work.mean + one.lost_hours.mean
    rest = f" {wording.counted(one.work.rest_days, 'day')} of rest." if one.work.rest_days else ""
    if usable <= 0.0:
        return f"{one.work.name}: calendar and light leave no hours."
    if one.lost_hours.mean <= 0.0:
        return f"{one.work.name}: weather takes none of the {usable:,.0f} hours that calendar and light leave.{rest}"
    return (
        f"{one.work.name}: weather takes {one.lost_hours.mean:,.0f} of the {usable:,.0f} hours that calendar and light leave "
        f"({100 * (one.lost_hours.mean / usable):.0f} %; P80 {one.lost_hours.p80:,.0f}), and {one.lost_days.mean:.1f} of their "
        f"{one.days_with_hours:,.0f} days (P80 {one.lost_days.p80:.0f}).{rest}"
    )


def causes_table(one: WorkLost) -> Table:
    """Return what each cause takes from one kind of work."""
    table = new_table("lost to", "hours: mean", "P50", "P80", "days: mean", "P50", "P80")
    for cause, hours in one.hours.items():
        days = one.days.get(cause)
        table.add_row(cause, *_tenths(hours), *(_tenths(days) if days else ("", "", "")))
        if cause == OFF_SHIFT and one.work.rest_days:
            table.add_row("of it, days of rest", *[f"{one.work.rest_hours:,.1f}"] * 3, *[f"{one.work.rest_days:,.1f}"] * 3)
    if len(one.days) != 1:
        table.add_row("weather together", *_tenths(one.lost_hours), *_tenths(one.lost_days))
    table.add_row("left for work", *_tenths(one.at_work), f"{one.days_with_hours - one.lost_days.mean:,.1f}", "", "")
    return table


def _tenths(value: Estimate) -> tuple[str, str, str]:
    return f"{value.mean:,.1f}", f"{value.p50:,.1f}", f"{value.p80:,.1f}"


def month_name(month: Month) -> str:
    """Return a month as it is printed, such as ``Apr 2031``."""
    return f"{MONTHS[month.month - 1]} {month.year}"


def months_table(found: ExpectedLosses, one: WorkLost) -> Table:
    """Return what weather takes from one kind of work, month by month."""
    recorded = found.recorded
    table = new_table(
        "month", "usable h", "hours", "P50", "P80", "days", "P80", "rain days", *(["on record"] if recorded else [])
    )
    for place, (month, lost) in enumerate(zip(found.months, one.months, strict=True)):
        mine = recorded[month.month - 1] if recorded else None
        table.add_row(
            month_name(month),
            f"{lost.usable:,.0f}",
            *_tenths(lost.hours),
            f"{lost.days.mean:.1f}",
            f"{lost.days.p80:.0f}",
            f"{found.rain_days[place].mean:.1f}",
            *(["–" if mine is None else f"{mine:.2f}"] if recorded else []),
        )
    return table


def months_note(found: ExpectedLosses) -> str:
    """Return what the figures of a month are."""
    record = "; on record: the same of the record, for a whole month" if found.recorded else ""
    return f"Hours and days: means over the seasons. {RULE[0].upper()}{RULE[1:]}{record}."


def _limit(quarts: float, told: Measures) -> str:
    """Return a limit of a source, in other units with its own beside them."""
    own = f"{quarts:g} quarts"
    return f"{told.water.text(quarts)} ({own})" if told.metric else own


def people_tables(found: ExpectedLosses) -> list[tuple[str, Table, str]]:
    """Return a table of water where heat is considered, and one of caution where cold is."""
    tables = []
    told = found.scenario.measures
    unit = told.water
    water, caution = (new_table("month", "mean", "P50", "P80") for _ in range(2))
    for one in found.works:
        for month, lost in zip(found.months, one.months, strict=True):
            name = f"{one.work.name}, {month_name(month)}"
            if lost.water is not None:
                water.add_row(name, *(unit.number(one, 1) for one in (lost.water.mean, lost.water.p50, lost.water.p80)))
            if lost.caution is not None and lost.caution.mean > 0.0:
                caution.add_row(name, *_tenths(lost.caution))
    if water.row_count:
        note = (
            f"Over all shifts of all seasons. Caution: more than {_limit(MOST_AN_HOUR, told)} in an hour or "
            f"{_limit(MOST_A_DAY, told)} in a day does harm (TB MED 507, from memory); medical staff decide. It is carried to "
            f"the laying edge, too: {unit.text(4.0)} weigh {told.mass.text(8.3)}."
        )
        too_much = {one.work.name: max(month.too_much for month in one.months) for one in found.works}
        over = [f"{name} in up to {share:.0%} of the shifts of a month" for name, share in too_much.items() if share > 0.0]
        if over:
            note += f" The heat asks for more than that of {', '.join(over)}: write shorter shifts."
        tables.append((f"Water: {unit.name} that each person drinks in a shift", water, note))
    if found.scenario.cold is not None:
        none = "" if caution.row_count else " None in any season."
        note = f"Hours at work in a wind chill below {found.scenario.cold.caution_below:.0f} °C; they stop nothing.{none}"
        tables.append(("Wind chill: hours of caution in the month", caution, note))
    return tables


def _work_days(found: ExpectedLosses) -> Table:
    table = new_table("", "workable", "drawn: P80", "apart: P80", "in all: P80", "P90")
    for one in found.works:
        taken = (_days(one.drawn.p80), _days(one.independent.p80), _days(one.calendar.p80), _days(one.calendar.p90))
        table.add_row(one.work.name, f"{100 * one.chance:.0f} %", *taken)
    return table


def _days(days: float) -> str:
    return "beyond" if math.isinf(days) else f"{days:.0f}"


def losses_record(found: ExpectedLosses) -> dict[str, Any]:
    """Return the answer as one object for JSON."""
    return {
        "scenario": found.scenario.title,
        "units": ANSWER_UNITS,
        "starts": found.scenario.starts.isoformat(),
        "hours": found.months[-1].end,
        "seasons": found.seasons,
        "seed": found.seed,
        "weather": found.origin,
        "lost_day": HALF,
        "rain_day": RULE,
        "months": [
            {"month": f"{month.year}-{month.month:02d}", "hours": month.end - month.start, "rain_days": asdict(rain),
             "rain_days_on_record": found.recorded[month.month - 1] if found.recorded else None}
            for month, rain in zip(found.months, found.rain_days, strict=True)
        ],
        "works": [_work_record(found, one) for one in found.works],
    }  # fmt: skip


def _work_record(found: ExpectedLosses, one: WorkLost) -> dict[str, Any]:
    return {
        "work": one.work.name,
        "at_work_hours": asdict(one.at_work),
        "lost_hours": {cause: asdict(hours) for cause, hours in one.hours.items()},
        "lost_days": {cause: asdict(days) for cause, days in one.days.items()},
        "lost_hours_to_weather": asdict(one.lost_hours),
        "lost_days_to_weather": asdict(one.lost_days),
        "days_with_hours": one.days_with_hours,
        "days_without_hours": one.days_without,
        "days_of_rest": one.work.rest_days,
        "hours_of_rest_days": one.work.rest_hours,
        "workable_share": one.workable,
        "days_of_work": found.work_days,
        "workable_share_of_days_taken": one.chance,
        "days_taken": {
            "drawn": _days_record(one.drawn),
            "independent": _days_record(one.independent),
            "calendar": _days_record(one.calendar),
        },
        "typical_season": found.typical[one.work.name],
        "months": [
            {
                "usable_hours": lost.usable,
                "lost_hours": asdict(lost.hours),
                "by_cause": lost.by_cause,
                "lost_days": asdict(lost.days),
                "water_quarts_a_person_and_shift": asdict(lost.water) if lost.water else None,
                "share_of_shifts_with_more_than_may_be_drunk": lost.too_much if lost.water else None,
                "caution_hours": asdict(lost.caution) if lost.caution else None,
            }
            for lost in one.months
        ],
    }


def _days_record(days: CalendarDays) -> dict[str, float | None]:
    return {name: None if value is None or math.isinf(value) else value for name, value in asdict(days).items()}
