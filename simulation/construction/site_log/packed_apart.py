"""Which pallets stand where by a site log, where full and half mats are packed apart? Nobody writes it: it follows from the mats.

What each delivery held is known from how it was packed, and what has been opened from the rows that lie. So the rest stands at
laying edges and in the yard, and each laying edge is taken to have had the pallets that it lacked most.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod

from simulation.construction.plan.field_state import UNLOADING, PackedApart, TruckState
from simulation.construction.plan.packing import Mix, count_mats, find_pallet, pack
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.plan_parts import SupplyPlan
from simulation.construction.site_log.rows import EdgeCount
from simulation.construction.site_log.under_way import WorkUnderWay

#: Ways of opening pallets that are tried at most before any that suffices is taken.
_MOST = 20_000


@dataclass(frozen=True)
class StandsApart:
    """What stands where.

    Attributes
    ----------
    open : tuple of (int, int)
        Full and half mats of opened pallets at each laying edge.
    staged : tuple of tuple of (int, int)
        What each of the pallets holds that are set down at each.
    trucks : tuple of tuple of TruckState
        Of each fleet, with what is on those in the yard.
    came : PackedApart
    """

    open: tuple[Mix, ...]
    staged: tuple[tuple[Mix, ...], ...]
    trucks: tuple[tuple[TruckState, ...], ...]
    came: PackedApart


class _Deliveries:
    """What each pallet holds that has come, by what brought it; `waits` are those of loads that are not unloaded."""

    def __init__(self, supply: SupplyPlan, came: int, under_way: WorkUnderWay, ordered: Sequence[int]) -> None:
        on, first, kept = (supply.full, supply.half), bool(supply.half_first), supply.kept
        self.by_shipments = tuple(
            tuple(pack(whole, *on, first)[: pallets or 0]) for whole, pallets in zip(kept, under_way.shipments, strict=True)
        )
        again = [pallet for pallets in ordered for pallet in pack(pallets, *on, first)]
        by_ships = [pallet for load in self.by_shipments for pallet in load]
        rest = max(0, came - supply.on_hand - len(by_ships) - len(again))
        self.by_port = tuple(pack(max(supply.total - supply.on_hand - sum(kept), rest), *on, first)[:rest])
        here = [on] * supply.on_hand
        on_trucks = sum(truck.pallets for fleet in under_way.trucks for truck in fleet if truck.stage == UNLOADING)
        left, waits = list(self.by_port), list(self.by_port[max(0, rest - on_trucks) :])
        del left[max(0, rest - on_trucks) :]
        # Loads that stand there are the last that can have come: of flights where there are some.
        unloaded = [*here, *again, *by_ships, *left] if supply.flights else [*here, *left, *again, *by_ships]
        self.all = count_mats([*unloaded, *waits])
        self.trucks = tuple(
            tuple(replace(truck, hold=_take_last(waits, truck.pallets)) if truck.stage == UNLOADING else truck for truck in fleet)
            for fleet in under_way.trucks
        )
        self.loads = tuple(_take_last(unloaded, pallets) for pallets in under_way.loads)
        self.pool = Counter(unloaded)


def _take_last(pallets: list[Mix], count: int) -> tuple[Mix, ...]:
    taken = tuple(pallets[max(0, len(pallets) - count) :])
    del pallets[max(0, len(pallets) - count) :]
    return taken


def stand_apart(
    plan: Plan,
    came: int,
    edges: Sequence[EdgeCount],
    used: Sequence[Mix],
    elsewhere: Mix,
    under_way: WorkUnderWay,
    at: float,
    stage: Callable[[int], Sequence[int]],
) -> StandsApart | None:
    """Return what stands where, if so many pallets have come; None where those hold less of a kind than was laid.

    Parameters
    ----------
    plan : Plan
    came : int
    edges : sequence of EdgeCount
    used : sequence of (int, int)
        Full and half mats that the rows laid took, at each laying edge.
    elsewhere : (int, int)
        Mats that were opened nobody says where.
    under_way : WorkUnderWay
    at : float
    stage : callable
        Told how many pallets are stored; returns those that are set down at each laying edge.
    """
    supply = plan.supply
    ordered = [pallets for pallets, since in under_way.orders if since + supply.resupply <= at]
    deliveries = _Deliveries(supply, came, under_way, ordered)
    opened = _open(deliveries.pool, edges, used, elsewhere, 2 * supply.full + supply.half)
    if opened is None:
        return None
    pool, loose = opened
    staged = []
    for edge, of, lies, count in zip(edges, plan.edges, loose, stage(pool.total()), strict=True):
        takes, set_down = (sum(of.full), sum(of.half)), list[Mix]()
        lacks = sum(of.full[edge.laid :]) - lies[0], sum(of.half[edge.laid :]) - lies[1]
        for _ in range(min(count, pool.total())):
            held = count_mats(set_down)
            pallet = find_pallet(+pool, (lacks[0] - held[0], lacks[1] - held[1]), takes)
            if pallet is None and edge.counted.get("staged") is None:
                break
            set_down.append(next(iter(+pool)) if pallet is None else pallet)
            pool[set_down[-1]] -= 1
        staged.append(tuple(set_down))
    by_shipments = tuple(map(count_mats, deliveries.by_shipments))
    stands = PackedApart(tuple(pool.elements()), deliveries.loads, count_mats(deliveries.by_port), by_shipments, deliveries.all)
    return StandsApart(tuple(loose), tuple(staged), deliveries.trucks, stands)


def _open(
    pool: Counter[Mix], edges: Sequence[EdgeCount], used: Sequence[Mix], elsewhere: Mix, room: int
) -> tuple[Counter[Mix], list[Mix]] | None:
    """Return the pallets that nobody has opened, and the mats of opened ones that lie at each laying edge.

    Where these are counted, laying edges share what they opened; at others each has pallets of its own, unless mats were moved.
    """
    lies = [_counted(edge) for edge in edges]
    rest = [number for number, mats in enumerate(lies) if mats is None]
    counted = [number for number in range(len(edges)) if number not in rest]
    for groups in ([counted, *([number] for number in rest)], [[*counted, *rest]]):
        left, loose = Counter(pool), [mats or (0, 0) for mats in lies]
        for group in groups:
            wanted = [used[number] for number in group] + [loose[number] for number in group]
            mats = count_mats([*wanted, elsewhere] if group is groups[0] else wanted)
            opened = open_pallets(+left, mats, room)
            if opened is None:
                break
            left -= opened
            over = count_mats(opened.elements())
            if (last := next((number for number in reversed(group) if number in rest), None)) is not None:
                loose[last] = over[0] - mats[0], over[1] - mats[1]
        else:
            return left, loose
    return None


def _counted(edge: EdgeCount) -> Mix | None:
    full, half = edge.counted.get("full mats open"), edge.counted.get("half mats open")
    return None if full is None and half is None else (int(full or 0), int(half or 0))


def open_pallets(pool: Counter[Mix], mats: Mix, room: int) -> Counter[Mix] | None:
    """Return the fewest pallets of a pool that hold so many full and half mats, of these the ones with least left over.

    Every pallet has the same `room`, in half mats, and is full. None where the pool does not hold as many.
    """
    if any(held < wanted for held, wanted in zip(count_mats(pool.elements()), mats, strict=True)):
        return None
    *others, scarce, plenty = [(0, room)] * max(0, 2 - len(pool)) + sorted(pool, key=lambda pallet: (pool[pallet], pallet))
    ways = list(product(*(range(pool[kind] + 1) for kind in others))) if prod(pool[kind] + 1 for kind in others) <= _MOST else []
    for count in range(-(-(2 * mats[0] + mats[1]) // room), sum(pool.values()) + 1):
        most = (count * room - mats[1]) // 2
        possible = []
        for numbers in ways:
            full = sum(kind[0] * number for kind, number in zip(others, numbers, strict=True))
            if (split := _split(pool, scarce, plenty, count - sum(numbers), (mats[0] - full, most - full))) is not None:
                possible.append((full + scarce[0] * split[0] + plenty[0] * split[1], [*numbers, *split]))
        if possible:
            kinds = [*others, scarce, plenty]
            return +Counter({kind: number for kind, number in zip(kinds, min(possible)[1], strict=True) if number})
    return _as_lacking(pool, mats)


def _split(pool: Counter[Mix], scarce: Mix, plenty: Mix, count: int, limits: tuple[int, int]) -> tuple[int, int] | None:
    """Return how many of two kinds are so many pallets that hold full mats within limits, the fewest; None if none are."""
    low, high = max(0, count - pool[plenty]), min(pool[scarce], count)
    more = scarce[0] - plenty[0]
    least, most = (limit - plenty[0] * count for limit in limits)
    if more > 0:
        low, high = max(low, -(-least // more)), min(high, most // more)
    elif more < 0:
        low, high = max(low, -(most // -more)), min(high, -least // -more)
    elif not least <= 0 <= most:
        return None
    if count < 0 or low > high:
        return None
    number = low if more >= 0 else high
    return number, count - number


def _as_lacking(pool: Counter[Mix], mats: Mix) -> Counter[Mix] | None:
    """Return pallets that hold so many mats, one after the other the one with most of what lacks most."""
    opened, left = Counter[Mix](), Counter(pool)
    while (held := count_mats(opened.elements()))[0] < mats[0] or held[1] < mats[1]:
        pallet = find_pallet((+left).keys(), (mats[0] - held[0], mats[1] - held[1]), mats)
        if pallet is None:
            return None
        opened[pallet] += 1
        left[pallet] -= 1
    return opened
