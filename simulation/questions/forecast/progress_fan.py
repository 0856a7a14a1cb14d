"""How much of the field lies by which day? Quantiles over runs of the time at which each twentieth of it was laid.

Read across, the band says when so much lies; read upwards, how much lies by then. It is the same band: at least a tenth of the
runs have laid a share by an hour if, and only if, the P10 of the time of that share is no later.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.construction.trace.progress import PERCENTS
from simulation.stats.quantiles import order_statistic

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable


@dataclass(frozen=True)
class ProgressFan:
    """When each part of the field was laid, hours since the start; infinite where too few runs came to it.

    Attributes
    ----------
    percents : tuple of int
        Of the field's square feet.
    p10, p50, p90 : tuple of float
        Quantiles over runs, one for each of `percents`.
    """

    percents: tuple[int, ...]
    p10: tuple[float, ...]
    p50: tuple[float, ...]
    p90: tuple[float, ...]


def progress_fan(runs: RunTable) -> ProgressFan:
    """Return the quantiles of the times at which runs had laid each part of the field."""
    times = [runs[f"progress.{percent}"].tolist() for percent in PERCENTS]
    low, middle, high = (tuple(order_statistic(each, share) for each in times) for share in (0.1, 0.5, 0.9))
    return ProgressFan(PERCENTS, low, middle, high)
