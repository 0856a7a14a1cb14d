"""What own records say, as one JSON object."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.questions.rates.study import KeyRates, RatesResult


def rates_record(result: RatesResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`; times are in hours."""
    return {
        "units": {"time": "h", "spread": "standard deviation of logarithms"},
        "files": list(result.files),
        "area": result.area,
        "people": result.people,
        "rates": [_of_key(rates) for rates in result.rates],
        "notes": [*result.pasted.notes, *result.notes],
        "block": result.pasted.block,
    }


def _of_key(rates: KeyRates) -> dict[str, Any]:
    fit = rates.fit
    return {
        "column": rates.measure.name,
        "key": rates.measure.key,
        "kind": "share" if rates.measure.share else "time",
        "jobs": fit.jobs,
        "records": fit.records,
        "still_under_way": fit.still,
        "level": fit.level,
        "middle": fit.middle,
        "middle_interval": [fit.middle_low, fit.middle_high],
        "between_jobs": None if fit.between is None else asdict(fit.between),
        "within_a_job": None if fit.within is None else asdict(fit.within),
        "next_job": None if fit.jobs == 1 else {f"p{share}": fit.next_job(share / 100) for share in (10, 50, 80, 90)},
        "before": None if rates.before is None else list(rates.before),
        "after": None if rates.after is None else list(rates.after),
        "scatter_before": rates.scatter_before,
        "scatter_after": rates.scatter_after,
    }
