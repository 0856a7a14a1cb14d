"""The same line as a loop over a heap, written by hand: the floor. An event is a tuple; draws are made in blocks.

A crew lays the rows of one pallet in one go, as this program does, and a breakdown lengthens the job that it falls into.
"""

from __future__ import annotations

from collections.abc import Callable
from heapq import heappop, heappush

import numpy as np
from contestants.benchmark_lines import Lay, SameLine, Spread
from numpy.random import Generator

ARRIVED, BACK, LOOK, UNLOADED, FED, LAID = range(6)
BLOCK = 256


def by_hand(line: SameLine, seed: int = 1) -> Lay:
    """Return how the heap loop lays the same line."""
    return lambda runs: [finish(line, np.random.default_rng((seed, run))) for run in runs]


def _endless(draw: Callable[[int], np.ndarray]) -> Callable[[], float]:
    block: list[float] = []

    def next_one() -> float:
        if not block:
            block.extend(draw(BLOCK).tolist())
        return block.pop()

    return next_one


def _stretch(spans: tuple[tuple[float, float], ...], moment: float) -> tuple[float, float]:
    """Return from when to when everybody is on shift, now or next."""
    day = moment // 24.0 * 24.0
    while True:
        for opens, closes in spans:
            if moment < day + closes:
                return day + opens, day + closes
        day += 24.0


def _pallet_hours(line: SameLine, luck: Generator) -> list[list[float]]:
    """Return the hours that the rows of each pallet take, for each laying edge."""
    edges = []
    for pieces_of, joints_of in zip(line.pieces, line.joints, strict=True):
        pieces, joints = np.array(pieces_of), np.array(joints_of)
        pick_up = luck.lognormal(line.pick_up.mu, line.pick_up.sigma, len(pieces))
        place = luck.lognormal(line.place.mu, line.place.sigma, len(pieces))
        hours = np.maximum(pieces * (pick_up + line.walk + place) / line.teams, pieces * place / line.rows_in_work)
        hours = np.maximum(hours, joints * line.lock / line.lockers)
        hours = np.maximum(hours, pieces * line.open_pallet / (line.mats * line.openers)) / line.efficiency
        edges.append(hours.reshape(-1, line.rows_on_pallet).sum(axis=1).tolist())
    return edges


def finish(line: SameLine, luck: Generator) -> float:
    """Return the hour at which the last row is laid."""

    def draws(spread: Spread) -> Callable[[], float]:
        return _endless(lambda count: luck.lognormal(spread.mu, spread.sigma, count))

    load, haul, back, handle, repair = map(draws, (line.load, line.haul, line.back, line.handle, line.repair))
    sound = _endless(lambda count: luck.exponential(line.sound, count))
    spans, pallet_hours = line.spans, _pallet_hours(line, luck)
    travel = [[of_edge[row] for row in range(0, len(of_edge), line.rows_on_pallet)] for of_edge in line.travel]
    edges, speed, places = range(len(travel)), line.speed, line.places
    to_bring = [len(hours) for hours in pallet_hours]
    cover, staged, laid = [0 for _ in edges], [0 for _ in edges], [0 for _ in edges]
    laying, free_places = [False for _ in edges], [places for _ in edges]
    left, yard, at_port = sum(to_bring), line.on_hand, line.total - line.on_hand
    loads: list[tuple[int, int]] = []
    away, sound_for = [0.0] * line.forklifts, [sound() for _ in range(line.forklifts)]
    idle = list(range(line.forklifts))
    heap: list[tuple[float, int, int, int, int]] = []  # when, tie, what, who, how many or which laying edge
    tie, now, (opens, closes), looks = 0, 0.0, _stretch(spans, 0.0), 0.0

    def send(hours: float, event: int, who: int, what: int) -> None:
        nonlocal tie
        tie += 1
        start, begins, ends = now, opens, closes
        while (end := max(start, begins) + hours) > ends:
            hours -= ends - max(start, begins)
            start = ends
            begins, ends = _stretch(spans, start)
        heappush(heap, (end, tie, event, who, what))

    def depart(truck: int) -> None:
        nonlocal at_port
        if at_port:
            pallets = min(line.load_pallets, at_port)
            at_port -= pallets
            send(load() + haul(), ARRIVED, truck, pallets)

    def dispatch(forklift: int) -> bool:
        """Give a free forklift its next job, if there is one."""
        nonlocal yard
        edge, least = -1, line.urgent_below if loads else places
        if yard:
            for one in edges:
                if to_bring[one] and free_places[one] and cover[one] < least:
                    edge, least = one, cover[one]
        if edge >= 0:
            yard -= 1
            to_bring[edge] -= 1
            free_places[edge] -= 1
            cover[edge] += 1
            there, event, what = travel[edge][min(laid[edge], len(travel[edge]) - 1)], FED, edge
            hours = (away[forklift] + there) / speed + 2.0 * handle()
        elif loads:
            what, truck = loads.pop(0)
            there, event = 0.0, UNLOADED
            hours = away[forklift] / speed + what * 2.0 * handle()
            what = what * line.trucks + truck
        else:
            return False
        away[forklift] = there
        lost = 0.0
        while hours - lost >= sound_for[forklift]:  # operating hours; a repair passes on the same shift
            lost += sound_for[forklift]
            hours += (mended := repair())
            lost += mended
            sound_for[forklift] = sound()
        sound_for[forklift] -= hours - lost
        send(hours, event, forklift, what)
        return True

    for truck in range(line.trucks):
        depart(truck)
    while left:
        if now >= opens:
            while idle and dispatch(idle[0]):
                del idle[0]
        elif looks < opens:  # between shifts nothing is decided
            looks = opens
            send(0.0, LOOK, 0, 0)
        now, _, event, who, what = heappop(heap)
        if now >= closes:
            opens, closes = _stretch(spans, now)
        if event == ARRIVED:
            loads.append((what, who))
        elif event == BACK:
            depart(who)
        elif event == UNLOADED:
            pallets, truck = divmod(what, line.trucks)
            yard += pallets
            idle.append(who)
            send(back(), BACK, truck, 0)
        elif event == FED:
            staged[what] += 1
            idle.append(who)
        elif event == LAID:
            laying[what] = False
            laid[what] += 1
            free_places[what] += 1
            left -= 1
        for edge in edges:
            if staged[edge] and not laying[edge]:
                laying[edge] = True
                staged[edge] -= 1
                cover[edge] -= 1
                send(pallet_hours[edge][laid[edge]], LAID, edge, edge)
    return now
