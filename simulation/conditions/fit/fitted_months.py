"""Which months is the chain of each month fitted to, so that every recorded hour counts once?

Were a month fitted alone, and the others of its season to the whole of it, the rain of that month would count in theirs as well.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import intp
from numpy.typing import NDArray

from simulation.scenario.types.named_values import MONTHS

#: Seasons are of three months, the first from December on; the number of the season of each month.
SEASONS: NDArray[intp] = np.arange(1, MONTHS + 1) % MONTHS // 3
NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Sample:
    """What the chain of a month is fitted to.

    Attributes
    ----------
    months : tuple of int
        0 to 11, whose hours.
    scaled : tuple of int
        Where these months have too few spells: as often wet as they are recorded, the spells being those of `months`, the year.
    """

    months: tuple[int, ...]
    scaled: tuple[int, ...] = ()

    @property
    def name(self) -> str:
        """How it is told: ``"month"``, ``"season"``, ``"year"``, some months, or the year, scaled."""
        if self.scaled:
            return "year, scaled"
        if len(self.months) == 1:
            return "month"
        if len(self.months) == MONTHS:
            return "year"
        season = np.flatnonzero(SEASONS[self.months[0]] == SEASONS).tolist()
        return "season" if sorted(self.months) == season else ", ".join(NAMES[month] for month in self.months)


def samples_of(spells: NDArray[intp], recorded: NDArray[intp], enough: tuple[int, int], by: str) -> tuple[Sample, ...]:
    """Return what each month is fitted to.

    Parameters
    ----------
    spells : ndarray
        Dry spells that begin in each month.
    recorded : ndarray
        Hours (days) known of each.
    enough : (int, int)
        Spells for a fit; hours (days) of a season for its own share of wet ones.
    by : str
        ``"month"``, ``"season"`` or ``"year"``.

    Notes
    -----
    A month that is not recorded goes by its whole season, or the year: it has no hours that could count twice.
    """
    year = Sample(tuple(range(MONTHS)))
    samples = [year] * MONTHS
    if by == "year":
        return tuple(samples)
    for season in range(4):
        members = np.flatnonzero(season == SEASONS).tolist()
        there = [month for month in members if recorded[month]]
        if spells[there].sum() < enough[0]:
            if recorded[there].sum() >= enough[1]:
                for month in members:
                    samples[month] = Sample(year.months, tuple(there))
            continue
        rest = [month for month in there if by == "season" or spells[month] < enough[0]]
        alone = sorted(set(there) - set(rest), key=lambda month: int(spells[month]))
        while rest and spells[rest].sum() < enough[0]:
            rest.append(alone.pop(0))
        for month in members:
            samples[month] = (
                Sample((month,)) if month in alone else Sample(tuple(sorted(rest)) if month in rest else tuple(members))
            )
    return tuple(samples)
