"""How much of the first field lies, how many pallets are on the way, and how much of the second lies, by the hour?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

if TYPE_CHECKING:
    from simulation.questions.move.kept_run import MoveRun
    from simulation.questions.move.study import AskedRow

Array = NDArray[float64]
#: Moments at which both sites are looked at.
_MOMENTS = 240
#: Quantiles over the runs that are drawn.
BAND = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class OverTime:
    """Both sites over time.

    Attributes
    ----------
    hours : array
        Since the start at the first site.
    down, up : array
        Share of the first field that still lies, and of the second that lies: quantiles of `BAND`, moments.
    on_the_way : array
        Pallets that have left the first site, or are off it, and have not come to the second.
    """

    hours: Array
    down: Array
    up: Array
    on_the_way: Array


def over_time(row: AskedRow) -> OverTime:
    """Return both sites over time, up to when nine runs of ten are open."""
    done = row.without[np.isfinite(row.without)]
    last = float(np.quantile(done, 0.9)) if done.size else 24.0
    hours = np.linspace(0.0, max(last * 1.02, 1.0), _MOMENTS)
    down = [_down(run, hours) for run in row.runs]
    field = sum(area.length * area.width for area in row.way.second.area)
    up = [_up(run, hours, row.shift, field) for run in row.runs]
    way = [_on_the_way(run, hours) for run in row.runs]
    return OverTime(hours, *(np.quantile(np.array(each), BAND, axis=0) for each in (down, up, way)))


def _down(run: MoveRun, hours: Array) -> Array:
    return np.asarray(1.0 - _counted(sorted(run.taken.bare), hours) / max(sum(feet for _, feet in run.taken.bare), 1.0))


def _up(run: MoveRun, hours: Array, shift: float, field: float) -> Array:
    return np.asarray(_counted(sorted((hour - shift, feet) for hour, feet in run.laid.covered), hours) / field)


def _on_the_way(run: MoveRun, hours: Array) -> Array:
    off = sorted((load.hour, sum(pallet.state == "good" for pallet in load.pallets)) for load in run.taken.off)
    came = sorted((load.comes, len(load.pallets)) for load in run.way.loads)
    return _counted(off, hours) - _counted(came, hours)


def _counted(events: Sequence[tuple[float, float]], hours: Array) -> Array:
    total = np.concatenate([[0.0], np.cumsum([count for _, count in events])])
    return np.asarray(total[np.searchsorted([hour for hour, _ in events], hours, side="right")])
