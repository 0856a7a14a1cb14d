"""How does a table of the climate become a chain? Its wet hours or days and mean spell fix three of the chain's four numbers.

The chance p of a wet hour after a wet one follows from the mean spell. Share and length of short dry spells, which no table of
the climate states, are planning values; the length of the long ones is what makes the month as wet as it is said to be. Where
that leaves no room for two sorts of dry spells they are one: a two-state chain.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.conditions.sky.climate_defaults import DAYS
from simulation.conditions.sky.three_states import ThreeStates

if TYPE_CHECKING:
    from simulation.scenario.tables.weather_tables import Climate

#: Share of short dry spells and the chance that they end, from the fit to one year of hourly records of a coastal station
#: (in-sample). Planning values.
SHORT, SHORT_ENDS = 0.409, 0.3876
#: The chance that a short dry spell ends, for records by days, and the largest share of such spells. Planning values: about the
#: chance, of all, with which wet days can follow each other most often.
NIGHT_ENDS, MOST_SHORT = 0.11, 0.97

#: p, w, a and b of one month.
Month = tuple[float, float, float, float]


def chain_of_climate(climate: Climate) -> ThreeStates:
    """Return the chain, by month, that has the wet hours or wet days and the mean wet spell of a table of the climate."""
    if climate.wet_hours is not None:
        shares = [hours / (24 * days) for hours, days in zip(climate.wet_hours, DAYS, strict=True)]
        months = [_of_hours(share, spell) for share, spell in zip(shares, climate.wet_spell, strict=True)]
    else:
        assert climate.wet_days is not None  # one of the two is there
        months = [_of_days(wet / days, spell) for wet, days, spell in zip(climate.wet_days, DAYS, climate.wet_spell, strict=True)]
    return _joined(months)


def _of_hours(share: float, spell: float) -> Month:
    stays, dry = 1.0 - 1.0 / spell, max(spell * (1.0 - share) / share, 1.0)
    rest = dry - SHORT / SHORT_ENDS
    ends = (1.0 - SHORT) / rest if rest > 0 else 1.0
    return (stays, SHORT, SHORT_ENDS, ends) if ends < SHORT_ENDS else (stays, 0.0, SHORT_ENDS, 1.0 / dry)


def _of_days(share: float, spell: float, short: float = SHORT, ends: float = SHORT_ENDS) -> Month:
    stays = 1.0 - 1.0 / spell
    if 1.0 - _dry(stays, short, ends, ends, 23) < share:  # wetter than two sorts of dry spells can make it
        short, ends = 0.0, 1.0
    low, high = 1e-6, ends
    for _ in range(50):
        middle = (low * high) ** 0.5
        low, high = (low, middle) if 1.0 - _dry(stays, short, ends, middle, 23) > share else (middle, high)
    return stays, short, ends if short else SHORT_ENDS, (low * high) ** 0.5


def _dry(stays: float, short: float, ends: float, lasts: float, more: int) -> float:
    """Return the chance that an hour and so many more after it are dry."""
    parts = 1.0 / (1.0 - stays), short / ends, (1.0 - short) / lasts
    return (parts[1] * (1.0 - ends) ** more + parts[2] * (1.0 - lasts) ** more) / sum(parts)


def chain_of_days(shares: Sequence[float], after_dry: Sequence[float], spells: Sequence[float]) -> ThreeStates:
    """Return the chain of hours, by month, whose days are as often wet, and follow each other, as recorded ones do.

    Parameters
    ----------
    shares : sequence of float
        Share of wet days, by month.
    after_dry : sequence of float
        Chance of a wet day after a dry one, by month.
    spells : sequence of float
        Mean hours of a wet spell, by month: no record by days says it.

    Notes
    -----
    Short dry spells that end with chance `NIGHT_ENDS` an hour bridge from one wet day to the next; how many of the dry spells are
    short is what makes wet days follow each other as often as recorded.
    """
    return _joined([_of_pairs(*month) for month in zip(shares, after_dry, spells, strict=True)])


def _of_pairs(share: float, after_dry: float, spell: float) -> Month:
    low, high = 0.0, MOST_SHORT
    for _ in range(25):
        middle = (low + high) / 2
        stays, short, ends, lasts = _of_days(share, spell, middle, NIGHT_ENDS)
        follows = 1.0 - _dry(stays, short, ends, lasts, 47) / _dry(stays, short, ends, lasts, 23)
        low, high = (middle, high) if follows > after_dry and short else (low, middle)
    return _of_days(share, spell, low, NIGHT_ENDS)


def _joined(months: Sequence[Month]) -> ThreeStates:
    wet, short, short_ends, long_ends = zip(*months, strict=True)
    return ThreeStates(wet, short, short_ends, long_ends)
