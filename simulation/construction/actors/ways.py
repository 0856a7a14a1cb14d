"""How far is it for a forklift from here to there? Along the ways that lead from the yard to the laying edges.

A spot is a way, named by its edge, and the feet from the yard along it. From one way to another a forklift goes by the yard.
"""

from __future__ import annotations

from typing import NamedTuple


class Spot(NamedTuple):
    """Where something stands: on the way to which laying edge (−1: in the yard), and how many feet from the yard."""

    on: int
    away: float


def feet_between(here: Spot, there: Spot) -> float:
    """Return the feet from one spot to another."""
    return abs(here.away - there.away) if here.on == there.on else here.away + there.away


def spot_after(here: Spot, there: Spot, feet: float) -> Spot:
    """Return where somebody is who has gone so many feet of the way from one spot to another."""
    if here.on == there.on:
        return Spot(here.on, here.away + feet if there.away > here.away else here.away - feet)
    if feet < here.away:
        return Spot(here.on, here.away - feet)
    return Spot(there.on, feet - here.away)
