"""What takes the time: the hours of the chain of causes by cause, which sum to the time of readiness.

Means are over the runs that were ready by the last day simulated. Where none was, they are over all, of the chains that lead to
the horizon: what was held up is known even if its end is not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.construction.trace.chain import OFF_SHIFT_OF
from simulation.stats.quantiles import order_statistic

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

_PREFIX = "cause."

#: The late runs are the fifth beyond this share.
_LATE = 0.8


@dataclass(frozen=True)
class CauseOfTime:
    """One cause on the chain of causes of readiness.

    Attributes
    ----------
    cause : str
    hours : float
        Mean over the finished runs.
    share : float
        Of the mean time of readiness.
    late_hours : float
        Mean over the finished runs that were ready at P80 or later: beside `hours` it shows what makes a late run late.
    thirds : dict of str to float
        The mean `hours` by third of a run's time to readiness, ``early``, ``middle`` and ``late``: beside each other they show
        when in the course of a run the cause holds it up. They sum to `hours`; a third's hours of all causes, to a third of
        the mean time of readiness.
    growth : float
        Mean over the later half of the finished runs, less that over the earlier half: what it adds to a late run. Those of all
        causes sum to the time by which the later half is ready later. The middle one of an odd number of runs is in neither.
    """

    cause: str
    hours: float
    share: float
    late_hours: float
    thirds: dict[str, float]
    growth: float = 0.0


def find_causes(runs: RunTable, ready: str) -> tuple[CauseOfTime, ...]:
    """Return the causes that drove milestone `ready`, largest first; up to the last day simulated where no run was ready."""
    import numpy as np  # here: the help of a command loads this room

    finished, _ = with_chains(runs, ready)
    if finished.empty:
        return ()
    times = finished[f"milestone.{ready}"]
    late = finished[times >= order_statistic(times.tolist(), _LATE)]
    thirds, late_hours = _by_cause(finished), _by_cause(late)
    growth = _growth(finished.take(np.argsort(times, kind="stable")))
    hours = {cause: math.fsum(of_thirds.values()) for cause, of_thirds in thirds.items()}
    total = math.fsum(hours.values())
    causes = [
        CauseOfTime(cause, mean, mean / total, math.fsum(late_hours[cause].values()), thirds[cause], growth.get(cause, 0.0))
        for cause, mean in hours.items()
        if mean > 0
    ]
    return tuple(sorted(causes, key=lambda cause_of_time: (-cause_of_time.hours, cause_of_time.cause)))


def name_crews(causes: Iterable[CauseOfTime], scenario: Scenario) -> tuple[CauseOfTime, ...]:
    """Return causes with the hours off shift of the common hours named by the crews that keep these.

    Where some crews keep hours of their own, *crews* beside *crew night* would read as all of them. Where all do, these are the
    hours in which the final sweep waits until any of them comes: those of the only crew, or of all.
    """
    causes, common = tuple(causes), [crew.name for crew in scenario.crew if crew.shift is None]
    if len(common) == len(scenario.crew):
        return causes
    names = common or [crew.name for crew in scenario.crew]
    several = f"crews {', '.join(names[:-1])} and {names[-1]}" if common else "all crews"
    whose = f"crew {names[0]}" if len(names) == 1 else several
    shared = OFF_SHIFT_OF["laying"]
    own = f"{shared.partition(', ')[0]}, {whose}"
    by_name: dict[str, CauseOfTime] = {}
    for row in causes:
        name = own if row.cause == shared else row.cause
        by_name[name] = _together(by_name[name], row) if name in by_name else replace(row, cause=name)
    return tuple(sorted(by_name.values(), key=lambda row: (-row.hours, row.cause)))


def _together(first: CauseOfTime, second: CauseOfTime) -> CauseOfTime:
    """Return two causes as one, by the name of the first."""
    return CauseOfTime(
        first.cause,
        first.hours + second.hours,
        first.share + second.share,
        first.late_hours + second.late_hours,
        {third: hours + second.thirds[third] for third, hours in first.thirds.items()},
        first.growth + second.growth,
    )


def with_chains(runs: RunTable, ready: str) -> tuple[RunTable, bool]:
    """Return the runs whose chains of causes are told, and whether these reach `ready`: the others lead to the last day
    simulated.
    """
    finished = runs[runs[f"milestone.{ready}"] < math.inf]
    if len(finished):
        return finished, True
    import numpy as np

    column = next(name for name in runs.columns if name.startswith(_PREFIX))
    return runs[~np.isnan(runs[column])], False


def _growth(in_order: RunTable) -> dict[str, float]:
    """Return by how much each cause takes more hours in the later half of runs than in the earlier; nothing of a single run."""
    half = len(in_order) // 2
    if not half:
        return {}
    earlier, later = _by_cause(in_order.head(half)), _by_cause(in_order.take(range(len(in_order) - half, len(in_order))))
    return {cause: math.fsum(later[cause].values()) - math.fsum(earlier[cause].values()) for cause in later}


def _by_cause(runs: RunTable) -> dict[str, dict[str, float]]:
    """Return the mean hours of each cause in each third."""
    means: dict[str, dict[str, float]] = {}
    for name in runs.columns:
        if name.startswith(_PREFIX):
            third, _, cause = name.removeprefix(_PREFIX).partition(".")
            means.setdefault(cause, {})[third] = math.fsum(runs[name]) / len(runs)
    return means
