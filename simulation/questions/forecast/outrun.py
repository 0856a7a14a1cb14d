"""What of the runs that were not ready by the last day simulated: how much is left, what is not there for it, and what edges
wait for?
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable

_WAITS = "left.waits for "


@dataclass(frozen=True)
class Outrun:
    """Runs that were not ready when their horizon came; means over them.

    Attributes
    ----------
    runs : int
    share : float
        Of the field, in square feet, that is not laid.
    full, half : float
        Mats still to be laid.
    full_lacking, half_lacking : float
        Those of them that are not on site by the last day.
    to_come : float
        Pallets at the port, on the road, on loads that wait, and ordered again.
    waits : tuple of (str, float)
        What laying edges wait for by the last day simulated, and in which share of these runs one does, the most frequent first.
    closed : str
        The area of which flying windows close every hour of the crews; empty where there is none.
    """

    runs: int
    share: float
    full: float
    half: float
    full_lacking: float
    half_lacking: float
    to_come: float
    waits: tuple[tuple[str, float], ...]
    closed: str = ""


def summarise_unfinished(runs: RunTable, ready: str, closed: str = "") -> Outrun | None:
    """Return what is left of the runs that did not reach milestone `ready`; None where all did. `closed` as in `Outrun`."""
    late = runs[runs[f"milestone.{ready}"] == math.inf]
    if late.empty or "left.share of field" not in late.columns:
        return None

    def mean(name: str) -> float:
        return math.fsum(late[f"left.{name}"]) / len(late)

    waits = [(name.removeprefix(_WAITS), float((late[name] > 0).mean())) for name in late.columns if name.startswith(_WAITS)]
    return Outrun(
        len(late),
        mean("share of field"),
        mean("full mats"),
        mean("half mats"),
        mean("full mats lacking"),
        mean("half mats lacking"),
        mean("pallets to come"),
        tuple(sorted(((what, share) for what, share in waits if share > 0), key=lambda wait: -wait[1])),
        closed,
    )
