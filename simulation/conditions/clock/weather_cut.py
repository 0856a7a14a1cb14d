"""What does weather leave of a block of the calendar? Segments with its stops, and what slows work, cut out."""

from __future__ import annotations

from bisect import bisect_right

from simulation.conditions.clock.calendar import Segment, charge
from simulation.conditions.stops.weather_limits import MUD, RAIN, Piece


def cut_pieces(block: tuple[Segment, ...], pieces: list[Piece]) -> list[Segment]:
    """Return the block with what the hours of the sky leave of it; `pieces` go without gap over all of it."""
    cut: list[Segment] = []
    number = 0
    for start, end, rate, cause in block:
        if rate == 0.0:
            cut.append((start, end, rate, cause))
            continue
        at = start
        while at < end:
            while pieces[number][1] <= at:
                number += 1
            upto = min(pieces[number][1], end)
            left, why = charge(pieces[number][2], rate, cause)
            if cut and cut[-1][2:] == (left, why):
                cut[-1] = (cut[-1][0], upto, left, why)
            else:
                cut.append((at, upto, left, why))
            at = upto
    return cut


def cut_rain(block: tuple[Segment, ...], spells: list[list[float]], drying: float) -> list[Segment]:
    """Return the block with wet spells, and the mud after each, cut out of the time at work."""
    low, high = block[0][0], block[-1][1]
    stops: list[tuple[float, float, str]] = []
    for number in range(bisect_right(spells, low - drying, key=lambda spell: spell[1]), len(spells)):
        start, end = spells[number]
        if start >= high:
            break
        stops.append((start, end, RAIN))
        dry = min(end + drying, spells[number + 1][0]) if number + 1 < len(spells) else end + drying
        if dry > end:
            stops.append((end, dry, MUD))
    cut: list[Segment] = []
    for start, end, rate, cause in block:
        at = start
        if rate > 0.0:
            for stop, resume, why in stops:
                if resume <= at or stop >= end:
                    continue
                if stop > at:
                    cut.append((at, stop, rate, cause))
                at = min(resume, end)
                cut.append((max(stop, start), at, 0.0, why))
        if at < end:
            cut.append((at, end, rate, cause))
    return cut
