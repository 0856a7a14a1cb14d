"""How were crews and forklifts used while they were on shift: working, in repair, or waiting?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

_PREFIX = "use."


@dataclass(frozen=True)
class Use:
    """One crew, or the pool of forklifts, up to readiness: hours of all its builds' mean.

    Attributes
    ----------
    actor : str
    on_shift : float
        Hours on shift; of a pool, those of all its members together.
    working, repair, waiting : float
        What they were spent on; the three sum to `on_shift`.
    """

    actor: str
    on_shift: float
    working: float
    repair: float
    waiting: float

    def share(self, hours: float) -> float:
        """Return what part of the hours on shift `hours` are."""
        return hours / self.on_shift if self.on_shift > 0 else 0.0


def use_of(builds: pd.DataFrame, ready: str) -> tuple[Use, ...]:
    """Return the use of every actor over the finished builds, in the order of the builds' columns; none if no build finished."""
    finished = builds[builds[f"milestone.{ready}"] < math.inf]
    if finished.empty:
        return ()
    # A crew's name may hold a dot, an activity never does.
    keys = [name.removeprefix(_PREFIX).rpartition(".") for name in builds.columns if name.startswith(_PREFIX)]
    hours: dict[str, dict[str, float]] = {}
    for actor, _, activity in keys:
        values = finished[f"{_PREFIX}{actor}.{activity}"]
        hours.setdefault(actor, {})[activity] = math.fsum(values) / len(values)
    found = []
    for actor, spent in hours.items():
        on_shift, working, repair = spent["on shift"], spent["working"], spent.get("repair", 0.0)
        found.append(Use(actor, on_shift, working, repair, on_shift - working - repair))
    return tuple(found)
