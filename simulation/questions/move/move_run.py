"""One run of a move: the first site taken up, what comes of it on the way, and the second laid, since nothing flows back."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.chance import Streams
from simulation.construction.trace.taken_up import TakenUp, take_up_once
from simulation.questions.move.kept_run import MoveRun, pack_ways
from simulation.questions.move.on_the_way import OnTheWay, arrivals_at, order_missing, send
from simulation.questions.move.second_site import lay_again, stock_of
from simulation.questions.move.ways import Way

if TYPE_CHECKING:
    from simulation.construction.plan.plan import Plan


@dataclass(frozen=True)
class Moving:
    """One run of every way of moving, the one as written first.

    Ways that take the first field up alike, as with more stock at the second, share that run of it.
    """

    takings: tuple[Plan, ...]
    layings: tuple[Plan, ...]
    ways: tuple[Way, ...]
    taken_by: tuple[int, ...]
    needs: tuple[int, int]

    def __call__(self, run: int) -> bytes:
        """Return the record of a run."""
        taken = [take_up_once(plan, run) for plan in self.takings]
        each = zip(self.ways, self.layings, self.taken_by, strict=True)
        asked, *others = (self.move(way, plan, taken[number], run) for way, plan, number in each)
        return pack_ways((asked, tuple(other.laid.milestones for other in others)))

    def move(self, way: Way, plan: Plan, up: TakenUp, run: int) -> MoveRun:
        """Return a run of one way, its first site taken up so."""
        second = way.second
        loads = send(second, way.first, up.off, Streams(plan.seed, run))
        known = max((load.hour for load in up.off), default=math.inf)
        on_the_way = OnTheWay(loads, order_missing(second, self.needs, stock_of(second), loads, known))
        arrivals = arrivals_at(on_the_way, way.shift, (second.mat.pallet_full, second.mat.pallet_half))
        comes = way.shift + second.leg.people_time
        machines = up.gone if math.isfinite(up.gone) else up.in_yard
        return MoveRun(up, on_the_way, lay_again(plan, second, run, arrivals, up.rows_up + comes, machines + comes))
