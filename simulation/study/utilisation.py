"""How were crews and forklifts used while they were on shift: working, in repair, or waiting?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.study.causes_of_time import with_chains

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable

_PREFIX, _WAITED = "use.", "waited."


@dataclass(frozen=True)
class Use:
    """One crew, or the pool of forklifts, up to readiness: hours of all its runs' mean.

    Attributes
    ----------
    actor : str
    on_shift : float
        Hours on shift; of a pool, those of all its members together.
    working, repair, closing, resting, waiting : float
        What they were spent on: final sweep, inspection and marking of readiness, rest while another crew had its turn; the
        five sum to `on_shift`.
    """

    actor: str
    on_shift: float
    working: float
    repair: float
    closing: float
    resting: float
    waiting: float

    def share(self, hours: float) -> float:
        """Return what part of the hours on shift `hours` are."""
        return hours / self.on_shift if self.on_shift > 0 else 0.0


def summarise_use(runs: RunTable, ready: str) -> tuple[Use, ...]:
    """Return the use of every actor, in the order of the runs' columns, over the runs whose chains are told."""
    finished, _ = with_chains(runs, ready)
    if finished.empty:
        return ()
    # A crew's name may hold a dot, an activity never does.
    keys = [name.removeprefix(_PREFIX).rpartition(".") for name in runs.columns if name.startswith(_PREFIX)]
    hours: dict[str, dict[str, float]] = {}
    for actor, _, activity in keys:
        values = finished[f"{_PREFIX}{actor}.{activity}"]
        hours.setdefault(actor, {})[activity] = math.fsum(values) / len(values)
    uses = []
    for actor, spent in hours.items():
        on_shift, working, repair = spent["on shift"], spent["working"], spent.get("repair", 0.0)
        closing, resting = spent.get("closing", 0.0), spent.get("rest in turn", 0.0)
        waiting = on_shift - working - repair - closing - resting
        uses.append(Use(actor, on_shift, working, repair, closing, resting, waiting))
    return tuple(uses)


def summarise_waits(runs: RunTable, ready: str) -> tuple[tuple[str, float], ...]:
    """Return what laying edges waited for while crews were on shift, and the mean hours of all edges together, the most first."""
    chained, _ = with_chains(runs, ready)
    names = [name for name in chained.columns if name.startswith(_WAITED)]
    hours = [(name.removeprefix(_WAITED), math.fsum(chained[name]) / len(chained)) for name in names if len(chained)]
    return tuple(sorted(((what, spent) for what, spent in hours if spent > 0), key=lambda pair: -pair[1]))
