"""What takes the time: the hours of the driving chain by cause, which sum to the time of readiness.

Only builds that were ready by the horizon have a driving chain to readiness, so the means are over those.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.analysis.quantiles import order_statistic

if TYPE_CHECKING:
    import pandas as pd

_PREFIX = "driver."

#: The late builds are the fifth beyond this share.
_LATE = 0.8


@dataclass(frozen=True)
class Driver:
    """One cause on the driving chain of readiness.

    Attributes
    ----------
    cause : str
    hours : float
        Mean over the finished builds.
    share : float
        Of the mean time of readiness.
    late_hours : float
        Mean over the finished builds that were ready at P80 or later: beside `hours` it shows what makes a late build late.
    """

    cause: str
    hours: float
    share: float
    late_hours: float


def drivers_of(builds: pd.DataFrame, ready: str) -> tuple[Driver, ...]:
    """Return the causes that drove milestone `ready`, largest first; none where no build was ready."""
    finished = builds[builds[f"milestone.{ready}"] < math.inf]
    if finished.empty:
        return ()
    times = finished[f"milestone.{ready}"]
    late = finished[times >= order_statistic(times.tolist(), _LATE)]
    columns = [name for name in builds.columns if name.startswith(_PREFIX)]
    hours = {name: _mean(finished[name]) for name in columns}
    total = math.fsum(hours.values())
    found = [
        Driver(name.removeprefix(_PREFIX), mean, mean / total, _mean(late[name])) for name, mean in hours.items() if mean > 0
    ]
    return tuple(sorted(found, key=lambda driver: (-driver.hours, driver.cause)))


def _mean(values: pd.Series[float]) -> float:
    return math.fsum(values) / len(values)
