"""What calendar, sun and weather take from each kind of work, as an answer: sentences, tables, a picture and a record."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial

from simulation.conditions.clock.calendar import OFF_SHIFT
from simulation.present.answer import Answer, Figure, Page, Part, Table, Terms
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.conditions.picture import describe_season, draw_season
from simulation.questions.conditions.record import conditions_record
from simulation.questions.conditions.sentences import (
    HOURS_COUNTED,
    LOST_DAY,
    PACE,
    conclusion,
    condition_lines,
    drinking_limits,
    month_name,
    period,
    rain_day_rule,
    work_name,
)
from simulation.questions.conditions.study import ConditionsResult
from simulation.questions.conditions.work_lost import Estimate, WorkLost

#: Months that the short form has room for.
_SHORT_MONTHS = 8
RESTED = (
    "On a day of rest no shift begins; a shift of the night before still ends on it. Its hours are those that it would have had."
)
_DAYS_TAKEN = (
    "Drawn: days with hours, as the seasons have them, bad days in rows. Apart: as if each day with hours were workable with the "
    "share given, whatever the day before was (negative binomial). The share is that of the days from the start to the P90 in "
    "all. In all: days of the calendar from that of the start on, of the drawn seasons; those of rest, and without light, are "
    "counted. Means and P90 of each are in conditions.json.",
)


def conditions_answer(result: ConditionsResult, shown: WorkLost) -> Answer:
    """Return the answer to what conditions take; by month, from one kind of work."""
    headline, *lines = condition_lines(result, shown)
    figure = Figure("conditions", conclusion(shown), partial(draw_season, result, shown), partial(describe_season, result, shown))
    days = f"Days that {wording.counted(result.work_days, 'day')} of work take"
    others = "Other kinds of work by month: --work NAME, and all in conditions.json."
    months = months_table(result, shown, (others,) if len(result.works) > 1 else ())
    tables = (
        (works_table(result), True),
        (months, len(result.months) <= _SHORT_MONTHS),
        *((causes_table(lost), False) for lost in result.works),
        *((table, False) for table in people_tables(result)),
        (_days_table(result, days), False),
    )
    origin = Part("Where the weather comes from", (Terms(tuple(result.origin.items())),))
    parts = (*(Part.of(table, short=short) for table, short in tables), origin, Part.of(figure))
    return Answer(
        question="conditions",
        title=result.scenario.title,
        about=f"what calendar, light and weather take; {period(result)}",
        headline=headline,
        lines=tuple(lines),
        pages=(Page("conditions", "What calendar, light and weather take", parts),),
        record=conditions_record(result),
        study={"seed": result.seed},
    )


def works_table(result: ConditionsResult) -> Table:
    """Return what weather takes from each kind of work, a row each; where some work is slower, what that takes before it."""
    slower = _name_slower(result.works)
    rows = []
    for lost in result.works:
        share = f"{100 * lost.share:.0f} %" if lost.shift_hours > 0.0 else "–"
        pace = [f"{lost.slower_hours:,.1f}"] if slower else []
        hours = f"{lost.shift_hours:,.0f}", *pace, f"{lost.lost_hours.mean:,.1f}", share, f"{lost.lost_hours.p80:,.1f}"
        rows.append(
            (lost.work.name, *hours, f"{lost.days_with_hours:,.0f}", f"{lost.lost_days.mean:.1f}", f"{lost.lost_days.p80:.0f}")
        )
    columns = ("work", "shift hours", *slower, "lost", "share", "P80", "days", "lost", "P80")
    means = "Shift hours: on shift and in light, lamps included."
    if slower:
        means += f" {wording.capitalised(slower[0])}: what work at less than full pace costs of them; share: of the rest."
    notes = (f"{means} P80: more is lost in one season out of five.", LOST_DAY)
    return Table("What weather takes from each kind of work", columns, tuple(rows), notes=notes)


def _name_slower(works: Sequence[WorkLost]) -> tuple[str, ...]:
    """Return the head of the column of what a slower pace takes; none where nothing is slower."""
    names = [PACE[cause].removeprefix("the ") for cause in PACE if any(cause in lost.slower for lost in works)]
    return (listed(names),) if names else ()


def causes_table(lost: WorkLost) -> Table:
    """Return what each cause takes from one kind of work."""
    rows: list[tuple[str, ...]] = []
    for cause, hours in lost.hours.items():
        days = lost.days.get(cause)
        name = PACE[cause].removeprefix("the ") if cause in lost.slower else cause
        rows.append((name, *_tenths(hours), *(_tenths(days) if days else ("", "", ""))))
        if cause == OFF_SHIFT and lost.work.rest_days:
            work = lost.work
            rows.append(("of it, days of rest", *[f"{work.rest_hours:,.1f}"] * 3, *[f"{work.rest_days:,.1f}"] * 3))
    if len(lost.days) != 1:
        rows.append(("weather together", *_tenths(lost.lost_hours), *_tenths(lost.lost_days)))
    rows.append(("left for work", *_tenths(lost.at_work), f"{lost.days_with_hours - lost.lost_days.mean:,.1f}", "", ""))
    columns = ("lost to", "hours: mean", "P50", "P80", "days: mean", "P50", "P80")
    notes = (LOST_DAY, HOURS_COUNTED, *((RESTED,) if lost.work.rest_days else ()))
    return Table(f"{_title(lost)}: hours and days lost", columns, tuple(rows), notes=notes)


def _title(lost: WorkLost) -> str:
    return wording.capitalised(work_name(lost))


def _tenths(value: Estimate) -> tuple[str, str, str]:
    return f"{value.mean:,.1f}", f"{value.p50:,.1f}", f"{value.p80:,.1f}"


def months_table(result: ConditionsResult, lost: WorkLost, notes: tuple[str, ...] = ()) -> Table:
    """Return what weather takes from one kind of work, month by month."""
    recorded, slower = result.recorded, _name_slower([lost])
    rows = []
    for month, of_month, rain in zip(result.months, lost.months, result.rain_days, strict=True):
        on_record = recorded[month.month - 1] if recorded else None
        rows.append(
            (
                month_name(month),
                f"{of_month.usable + of_month.slower:,.0f}",
                *([f"{of_month.slower:,.1f}"] if slower else []),
                *_tenths(of_month.hours),
                f"{of_month.days.mean:.1f}",
                f"{of_month.days.p80:.0f}",
                f"{rain.mean:.1f}",
                *(["–" if on_record is None else f"{on_record:.2f}"] if recorded else []),
            )
        )
    columns = (
        "month",
        "shift h",
        *slower,
        "lost h",
        "P50",
        "P80",
        "days",
        "P80",
        "rain days",
        *(["on record"] if recorded else []),
    )
    record = "; on record: the same of the record, for a whole month" if recorded else ""
    note = f"Hours and days: means over the seasons. {wording.capitalised(rain_day_rule(result.scenario.measures))}{record}."
    return Table(f"{_title(lost)}: lost to weather by month", columns, tuple(rows), notes=(note, *notes))


def people_tables(result: ConditionsResult) -> list[Table]:
    """Return a table of water where heat is considered, and one of caution where cold is."""
    tables = []
    measures = result.scenario.measures
    unit = measures.water
    water: list[tuple[str, ...]] = []
    caution: list[tuple[str, ...]] = []
    for lost in result.works:
        for month, of_month in zip(result.months, lost.months, strict=True):
            name = f"{lost.work.name}, {month_name(month)}"
            if of_month.water is not None:
                drunk = of_month.water
                water.append((name, *(unit.number(quarts, 1) for quarts in (drunk.mean, drunk.p50, drunk.p80))))
            if of_month.caution is not None and of_month.caution.mean > 0.0:
                caution.append((name, *_tenths(of_month.caution)))
    columns = ("month", "mean", "P50", "P80")
    if water:
        note = (
            f"Over all shifts of all seasons. Caution: more than {drinking_limits(measures)} does harm (TB MED 507, from "
            f"memory); medical staff decide. It is carried to the laying edge, too: {unit.text(4.0)} weigh "
            f"{measures.mass.text(8.3)}."
        )
        tables.append(Table(f"Water: {unit.name} that each person drinks in a shift", columns, tuple(water), notes=(note,)))
    if result.scenario.cold is not None:
        none = "" if caution else " None in any season."
        note = f"Hours at work in a wind chill below {result.scenario.cold.caution_below:.0f} °C; they stop nothing.{none}"
        tables.append(Table("Wind chill: hours of caution in the month", columns, tuple(caution), notes=(note,)))
    return tables


def _days_table(result: ConditionsResult, title: str) -> Table:
    rows = tuple(
        (
            lost.work.name,
            f"{100 * lost.chance:.0f} %",
            *map(_days, (lost.drawn.p80, lost.independent.p80, lost.calendar.p80, lost.calendar.p90)),
        )
        for lost in result.works
    )
    columns = ("work", "workable", "drawn: P80", "apart: P80", "in all: P80", "P90")
    return Table(title, columns, rows, notes=_DAYS_TAKEN)


def _days(days: float) -> str:
    return "beyond" if math.isinf(days) else f"{days:.0f}"
