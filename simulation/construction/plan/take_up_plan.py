"""What does a worker need to know to take a field up? Sections, milestones, sizes; plain numbers, made once for a scenario."""

from __future__ import annotations

from dataclasses import dataclass

from simulation.construction.plan.plan_parts import ShipmentPlan

#: How far an area has come on its way out.
UP, IN_YARD, AWAY = range(3)


@dataclass(frozen=True)
class SectionPlan:
    """From one key strip to the next: what one crew takes up in one go.

    Attributes
    ----------
    area, edge : int
    rows : tuple of int
        Rows of its area, in the order in which they come off.
    mats : tuple of int
        Full and half mats of each of them.
    away : tuple of float
        Feet to the yard from where the mats of each row were set down for laying.
    strip : int or None
        Number of the key strip that is drawn out to open it; None where it is open at its end, or behind the section before.
    starter : bool
        Whether the starter key strip comes off with it.
    ramps : int
        End ramps in it, whose backfill is dug out first.
    junction : bool
        Whether the connectors of its area's junction come off with it.
    tie_downs : int
        Tie-down points that come off before its rows.
    end_connectors : tuple of (str, int)
        Ends of its area in it, and how many end connectors come off at each before its rows.
    after : tuple of int
        Areas that join its rows: they must be up before it is opened, since it is their way out.
    order : int
        Which of the sections of its area it is.
    rails : tuple of (int, tuple of int)
        Sections of guide rail that come up behind its rows where sections come up in order: the number of each, from where laying
        began, and the sections of its area whose rows hook into it.
    seals : int
        Seals between them.
    """

    area: int
    edge: int
    rows: tuple[int, ...]
    mats: tuple[int, ...]
    away: tuple[float, ...]
    strip: int | None
    starter: bool
    ramps: int
    junction: bool
    tie_downs: int
    end_connectors: tuple[tuple[str, int], ...]
    after: tuple[int, ...]
    order: int
    rails: tuple[tuple[int, tuple[int, ...]], ...]
    seals: int


@dataclass(frozen=True)
class OutPlan:
    """A milestone of taking up: how far all of some areas have come, one of `UP`, `IN_YARD`, `AWAY`."""

    stage: int
    areas: tuple[int, ...]


@dataclass(frozen=True)
class TakeUpPlan:
    """A scenario's take-up.

    Attributes
    ----------
    sections : tuple of SectionPlan
        In the order in which crews take them.
    points : int
        Sections that are open at once, at most.
    strips : int
        Key strips of the field.
    slower : float
        How many times as long rows take in the direction in which they come off as against that of assembly.
    pallet : int
        What a pallet holds, in half mats.
    loose : int
        Mats that may lie beside a crew.
    milestones : tuple of OutPlan
        In the order of the plan's.
    carry : float
        Hours of people to carry one mat to its pallet.
    leaves : bool
        Whether anything brings pallets away.
    ships : tuple of ShipmentPlan
        What comes on a date of its own and takes pallets away.
    least : int
        Pallets that come up at the least, full and half mats on pallets of their own.
    """

    sections: tuple[SectionPlan, ...]
    points: int
    strips: int
    slower: float
    pallet: int
    loose: int
    milestones: tuple[OutPlan, ...]
    carry: float
    leaves: bool
    ships: tuple[ShipmentPlan, ...]
    least: int
