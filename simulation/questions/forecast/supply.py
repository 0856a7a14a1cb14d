"""What must the gate let through, and how likely is the field to run short of mats?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.chances import Chance, chance_among
from simulation.stats.quantiles import order_statistic

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

KINDS = ("full mats", "half mats")


@dataclass(frozen=True)
class Gate:
    """Pallets a day through the gate.

    Attributes
    ----------
    mean : float
        Mean over runs of the pallets a day between the first and the last arrival.
    peak_p50, peak_p80 : float
        Quantiles of the busiest calendar day of a run.
    limit : int or None
        What port and road let through, as the scenario says.
    """

    mean: float
    peak_p50: float
    peak_p80: float
    limit: int | None


@dataclass(frozen=True)
class ShortOf:
    """Running short of one kind of mat.

    Attributes
    ----------
    kind : str
    chance : Chance
    mats : float
        Mean number ordered again by the runs that ran short; 0 where none did.
    """

    kind: str
    chance: Chance
    mats: float


@dataclass(frozen=True)
class Shortage:
    """Runs that had to order mats again because damage ran past the spares.

    Attributes
    ----------
    chance : Chance
        Of running short of anything.
    of : tuple of ShortOf
    rejected : float
        Mean number of mats rejected when they were laid.
    """

    chance: Chance
    of: tuple[ShortOf, ...]
    rejected: float


def summarise_gate(scenario: Scenario, runs: RunTable) -> Gate | None:
    """Return what passes the gate; None where no pallet arrives because all are on hand."""
    peaks = [peak for peak in runs["gate.peak"].tolist() if peak > 0]
    if not peaks:
        return None
    means = [mean for mean in runs["gate.mean"].tolist() if mean > 0]
    return Gate(
        math.fsum(means) / len(means),
        order_statistic(peaks, 0.5),
        order_statistic(peaks, 0.8),
        scenario.supply.per_day_limit,
    )


def estimate_shortage(runs: RunTable, cube: int | None = None) -> Shortage:
    """Return the chance of running short, and of what; `cube` as for `chances.chance_among`."""
    short = {kind: (runs[f"short.{kind}"] > 0).tolist() for kind in KINDS}
    of = []
    for kind, ran_short in short.items():
        ordered = [number for number in runs[f"short.{kind}"].tolist() if number > 0]
        of.append(ShortOf(kind, chance_among(ran_short, cube), math.fsum(ordered) / len(ordered) if ordered else 0.0))
    any_kind = [any(kinds) for kinds in zip(*short.values(), strict=True)]
    return Shortage(chance_among(any_kind, cube), tuple(of), math.fsum(runs["rejected.mats"]) / len(runs))
