"""What calendar, sun and weather take from each kind of work, as one JSON object."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from simulation.present.record_shapes import ANSWER_UNITS
from simulation.questions.conditions.sentences import HOURS_COUNTED, LOST_DAY, rain_day_rule
from simulation.questions.conditions.study import ConditionsResult
from simulation.questions.conditions.work_lost import WorkLost


def conditions_record(result: ConditionsResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    return {
        "units": ANSWER_UNITS,
        "starts": result.scenario.starts.isoformat(),
        "hours": result.months[-1].end,
        "seasons": result.seasons,
        "weather": result.origin,
        "lost_day": f"{LOST_DAY} {HOURS_COUNTED}",
        "rain_day": rain_day_rule(result.scenario.measures),
        "months": [
            {"month": f"{month.year}-{month.month:02d}", "hours": month.end - month.start, "rain_days": asdict(rain),
             "rain_days_on_record": result.recorded[month.month - 1] if result.recorded else None}
            for month, rain in zip(result.months, result.rain_days, strict=True)
        ],
        "works": [_work_record(result, lost) for lost in result.works],
    }  # fmt: skip


def _work_record(result: ConditionsResult, lost: WorkLost) -> dict[str, Any]:
    return {
        "work": lost.work.name,
        "shift_hours": lost.shift_hours,
        "slower_pace_hours": lost.slower_hours,
        "at_work_hours": asdict(lost.at_work),
        "lost_hours": {cause: asdict(hours) for cause, hours in lost.hours.items()},
        "lost_days": {cause: asdict(days) for cause, days in lost.days.items()},
        "lost_hours_to_weather": asdict(lost.lost_hours),
        "lost_days_to_weather": asdict(lost.lost_days),
        "days_with_hours": lost.days_with_hours,
        "days_without_hours": lost.days_without,
        "days_of_rest": lost.work.rest_days,
        "hours_of_rest_days": lost.work.rest_hours,
        "workable_share": lost.workable,
        "days_of_work": result.work_days,
        "workable_share_of_days_taken": lost.chance,
        "days_taken": {
            "drawn": asdict(lost.drawn),
            "independent": asdict(lost.independent),
            "calendar": asdict(lost.calendar),
        },
        "typical_season": result.typical[lost.work.name],
        "months": [
            {
                "shift_hours": of_month.usable + of_month.slower,
                "usable_hours": of_month.usable,
                "lost_hours": asdict(of_month.hours),
                "by_cause": of_month.by_cause,
                "lost_days": asdict(of_month.days),
                "water_quarts_a_person_and_shift": asdict(of_month.water) if of_month.water else None,
                "share_of_shifts_with_more_than_may_be_drunk": of_month.too_much if of_month.water else None,
                "caution_hours": asdict(of_month.caution) if of_month.caution else None,
            }
            for of_month in lost.months
        ],
    }
