"""What comes from the one site to the other in a run: loads on the leg, those that are lost, what is ordered in their place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.chance import LevelPlan, Streams, draw_factors, draw_levels
from simulation.construction.plan.plan_parts import Arrival
from simulation.construction.take_up.pallet_up import LoadOff

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: The state of mats that can be laid again.
GOOD = "good"

Mix = tuple[int, int]
#: Hours since the start of the first site, and pallets that come then.
Orders = tuple[tuple[float, int], ...]


@dataclass(frozen=True)
class SentLoad:
    """One load on the leg: when it leaves and comes, in hours since the start of the first site, and full and half mats on it.

    `comes` is when it is due, for one that is lost too.
    """

    leaves: float
    comes: float
    pallets: tuple[Mix, ...]
    lost: bool


@dataclass(frozen=True)
class OnTheWay:
    """What one run sends.

    Attributes
    ----------
    loads : tuple of SentLoad
    ordered : tuple of (float, int)
        Hours since the start of the first site, and pallets of the second's own mix, that come in the place of what is missing.
    """

    loads: tuple[SentLoad, ...]
    ordered: Orders

    @property
    def arrivals(self) -> tuple[tuple[float, tuple[Mix, ...]], ...]:
        """When which pallets come along the leg."""
        return tuple((load.comes, load.pallets) for load in self.loads if not load.lost)

    def mats(self) -> Mix:
        """Return the full and half mats that come along the leg."""
        pallets = [pallet for _, load in self.arrivals for pallet in load]
        return sum(full for full, _ in pallets), sum(half for _, half in pallets)


def send(second: Scenario, first: Scenario, off: Sequence[LoadOff], streams: Streams) -> tuple[SentLoad, ...]:
    """Return the loads of a run: good pallets fill one load after the other in the order in which they are off the first site.

    A load leaves when its last pallet is there, on a day that has room for it. The n-th load has the n-th luck.
    """
    leg = second.leg
    pallets = [
        (load.hour, (pallet.mats, 0) if pallet.full else (0, pallet.mats))
        for load in sorted(off, key=lambda load: load.hour)
        for pallet in load.pallets
        if pallet.state == GOOD and math.isfinite(load.hour)
    ]
    level = draw_levels([LevelPlan.of("leg.time", leg.time)], streams)["leg.time"]
    luck = draw_factors(leg.time.scatter, streams, "leg time", "loads")
    lost = streams.stream("leg arrives", "loads").random(len(pallets) // leg.load + 1) >= leg.arrives
    starts = first.starts
    morning = starts.hour + starts.minute / 60 + starts.second / 3600
    loads: list[SentLoad] = []
    today: dict[int, int] = {}
    for number, start in enumerate(range(0, len(pallets), leg.load)):
        load = pallets[start : start + leg.load]
        leaves = load[-1][0]
        while leg.per_day is not None and today.get(day := math.floor((leaves + morning) / 24.0 + 1e-9), 0) >= leg.per_day:
            leaves = 24.0 * (day + 1) - morning
        if leg.per_day is not None:
            today[day] = today.get(day, 0) + 1
        comes = leaves + level * next(luck)
        loads.append(SentLoad(leaves, comes, tuple(pallet for _, pallet in load), bool(lost[number])))
    return tuple(loads)


def order_missing(second: Scenario, needs: Mix, stock: int, loads: Sequence[SentLoad], known: float) -> Orders:
    """Return what is ordered in the place of mats that do not come, and of spares, as soon as it is known what comes.

    Parameters
    ----------
    second : Scenario
        Says what a pallet holds, spares, and how long it takes.
    needs : (int, int)
        Full and half mats of its field.
    stock : int
        Its own pallets.
    loads : sequence of SentLoad
    known : float
        Hour at which the first site is all off.
    """
    holds = second.mat.pallet_full, second.mat.pallet_half
    come = [sum(pallet[kind] for load in loads if not load.lost for pallet in load.pallets) for kind in (0, 1)]
    # With the spares of any order here: else what is found damaged would hold the last rows up until another order comes.
    wanted = [need * (1.0 + second.supply.spares) for need in needs]
    short = [max(0.0, wanted[kind] - come[kind] - stock * holds[kind]) for kind in (0, 1)]
    pallets = max((math.ceil(round(lack / on, 9)) for lack, on in zip(short, holds, strict=True) if lack), default=0)
    if not pallets or not math.isfinite(known):
        return ()
    when = max([known, *(load.comes for load in loads if load.lost)])
    return ((when + second.supply.resupply, pallets),)


def arrivals_at(way: OnTheWay, shift: float, holds: Mix) -> tuple[Arrival, ...]:
    """Return what comes to the second site, in hours since its own start, which is `shift` hours before that of the first."""
    come = [Arrival(hour + shift, pallets) for hour, pallets in way.arrivals]
    return (*come, *(Arrival(hour + shift, (holds,) * count) for hour, count in way.ordered))
