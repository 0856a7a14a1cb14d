"""What a forecast says as numbers, under ``"answer"`` of its record: a contract with whoever reads `forecast --json`.

A number that is not known is null: a mean with unfinished runs, a quantile after the last day simulated, a limit that few runs
do not set.
"""

from __future__ import annotations

import math
from dataclasses import asdict
from typing import Any

from simulation.present.record_shapes import ANSWER_UNITS, chance_record, days_record, quantile_record, use_record
from simulation.questions.forecast.coming_back import CameBack
from simulation.questions.forecast.days.by_day_table import by_day_records
from simulation.questions.forecast.milestones import BANDS, MilestoneForecast
from simulation.questions.forecast.outrun import Outrun
from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.tasks import lengths_record, tasks_record
from simulation.questions.forecast.yard_room import yard_record
from simulation.questions.forecast.yardsticks.handbook_labour import SOURCE
from simulation.questions.forecast.yardsticks.published_rates import AsSlow, published_for
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.study.calendar import Calendar


def forecast_record(forecast: Forecast) -> dict[str, Any]:
    """Return everything a forecast says, ready for `json.dumps`; the same numbers for the same seed, whoever asks."""
    return {
        "units": ANSWER_UNITS,
        "runs": forecast.run_count,
        "asked": forecast.asked,
        "seed": forecast.seed,
        "sampling": forecast.sampling,
        "precision": _precision(forecast),
        "starts": forecast.scenario.starts.isoformat(),
        "horizon_days": days_record(forecast.scenario.horizon),
        "unfinished": forecast.unfinished,
        "milestones": [_milestone(milestone, forecast.calendar) for milestone in forecast.milestones],
        "tasks": tasks_record(forecast.tasks),
        "areas": tasks_record(forecast.areas),
        "usable_lengths": lengths_record(forecast.lengths),
        "causes": [{key: value for key, value in asdict(cause).items() if key != "thirds"} for cause in forecast.causes],
        "waited_at_edges_hours": dict(forecast.waited),
        "not_ready": None if forecast.outrun is None else _outrun(forecast.outrun),
        "use": [use_record(use) for use in forecast.use],
        "came_back": None if forecast.came_back is None else _came_back(forecast.came_back),
        "deadline": _deadline(forecast),
        "by_day": by_day_records(forecast),
        "yardsticks": _yardsticks(forecast),
        "people_on_site": {"total": forecast.people.total, **asdict(forecast.people)},
        "gate": _gate(forecast),
        "shortage": {
            "chance": chance_record(forecast.shortage.chance),
            "of": [
                {"kind": item.kind, "chance": chance_record(item.chance), "mats_ordered_again": item.mats}
                for item in forecast.shortage.of
            ],
            "rejected_mats_mean": forecast.shortage.rejected,
        },
        "by_the_book": {"source": SOURCE, **asdict(forecast.book)},
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _milestone(milestone: MilestoneForecast, calendar: Calendar) -> dict[str, Any]:
    record: dict[str, Any] = {
        "name": milestone.name,
        "ready": milestone.ready,
        "unfinished": milestone.unfinished,
        "mean_days": days_record(milestone.mean),
        "sd_days": days_record(milestone.sd),
    }
    for band in milestone.quantiles:
        record[f"{band.name.lower()}_days"] = days_record(band.value)
    for share in BANDS:
        band = milestone.quantile(share)
        name, known = band.name.lower(), math.isfinite(band.value)
        record[f"{name}_interval_days"] = [days_record(band.low), days_record(band.high)]
        record[f"{name}_date"] = str(calendar.day_and_shift(band.value)) if known else None
        record[f"{name}_moment"] = calendar.moment(band.value).isoformat(timespec="minutes") if known else None
        record[name] = quantile_record(band, calendar)
    return record


def _precision(forecast: Forecast) -> dict[str, Any] | None:
    precision = forecast.precision
    if precision is None:
        return None
    return {
        "quantile": precision.asked.name,
        "asked_hours": precision.asked.within,
        "reached_hours": precision.side,
        "met": precision.met,
        "confidence": precision.asked.confidence,
        "most_runs": precision.asked.most,
        "hours_are": "of laying time",
    }


def _came_back(came_back: CameBack) -> dict[str, Any]:
    names = ("full_mats", "half_mats", "pallets")
    return {
        "loads": came_back.loads,
        "by_state": {state: dict(zip(names, counts, strict=True)) for state, *counts in came_back.by_state},
        "yard": yard_record(came_back.yard),
    }


def _deadline(forecast: Forecast) -> dict[str, Any] | None:
    deadline = forecast.deadline
    if deadline is None:
        return None
    return {
        "text": deadline.deadline.text,
        "days": deadline.deadline.hours / 24.0,
        "moment": forecast.calendar.moment(deadline.deadline.hours).isoformat(timespec="minutes"),
        "chance": chance_record(deadline.chance),
        "likelihood": deadline.likelihood,
        "likelihood_scale": "ICD 203",
        "at_least": deadline.chance.at_least,
    }


def _yardsticks(forecast: Forecast) -> dict[str, Any]:
    own = forecast.yardsticks
    return {
        "square_feet": own.square_feet,
        "median_days": own.days,
        "people_on_site": own.people,
        "person_hours": own.person_hours,
        "square_feet_per_day": own.per_day,
        "square_feet_per_person_hour": own.per_person_hour,
        "published": [
            {
                "what": published.what,
                "rate": published.rate,
                "source": published.source,
                "as_slow": [_as_slow(slow) for slow in forecast.as_slow if slow.published is published],
            }
            for published in published_for(forecast.scenario)
        ],
    }


def _as_slow(slow: AsSlow) -> dict[str, Any]:
    chance = None if slow.chance is None else chance_record(slow.chance)
    return {"by": slow.by, "days": slow.days, "chance": chance}


def _gate(forecast: Forecast) -> dict[str, Any] | None:
    passing = forecast.gate
    if passing is None:
        return None
    return {
        "pallets_a_day_mean": passing.mean,
        "busiest_day_p50": passing.peak_p50,
        "busiest_day_p80": passing.peak_p80,
        "limit": passing.limit,
    }


def _outrun(outrun: Outrun) -> dict[str, Any]:
    return {
        "runs": outrun.runs,
        "share_not_laid": outrun.share,
        "mats_to_lay": {"full": outrun.full, "half": outrun.half},
        "mats_not_there": {"full": outrun.full_lacking, "half": outrun.half_lacking},
        "pallets_to_come": outrun.to_come,
        "edges_wait_for": dict(outrun.waits),
    }
