"""How many minutes of an hour can people work in the heat, and how much do they drink? (TB MED 507)"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Array = NDArray[float64]

#: Wet-bulb globe temperature in °F from which each row of the tables holds.
FROM = (78.0, 82.0, 85.0, 88.0, 90.0)
#: Minutes of work in an hour, the rest being rest, by how hard it is (TB MED 507, acclimatised).
MINUTES = {"moderate": (60, 50, 40, 30, 20), "hard": (40, 30, 30, 20, 10)}
#: Quarts of water an hour for each person (TB MED 507; from memory), and below the first row (planning value).
QUARTS = {"moderate": (0.75, 0.75, 0.75, 0.75, 1.0), "hard": (0.75, 1.0, 1.0, 1.0, 1.0)}
COOL_QUARTS = 0.5
#: Most that one person may drink in an hour, and in a day, in quarts, without harm (TB MED 507; from memory).
MOST_AN_HOUR, MOST_A_DAY = 1.5, 12.0
#: What body armour adds, °F (TB MED 507).
ARMOUR = 5.0
#: Most of an hour that newcomers work where the table has anybody rest, day by day (NIOSH 2016-106; from memory).
NEWCOMERS = (0.2, 0.4, 0.6, 0.8)


def share_worked(degrees: Array, effort: str, day: NDArray[np.intp] | None = None) -> Array:
    """Return the share of each hour that is worked.

    Parameters
    ----------
    degrees : ndarray
        Wet-bulb globe temperature in °F, what clothing adds included.
    effort : str
        ``"moderate"`` or ``"hard"``.
    day : ndarray of int, optional
        Days since people came into the heat, from 0; without it they are used to it.
    """
    minutes = np.array((60, *MINUTES[effort]))
    share: Array = minutes[np.searchsorted(FROM, degrees, side="right")] / 60.0
    if day is None:
        return share
    most = np.array((*NEWCOMERS, 1.0))[np.clip(day, 0, len(NEWCOMERS))]
    newcomers: Array = np.where(share < 1.0, np.minimum(share, most), share)
    return newcomers


def rate_in_heat(worked: Array, crews: int, productive: float, covered: float) -> Array:
    """Return the rate of work that rest in the heat leaves, 1 being that of a cool hour.

    A crew that is productive two thirds of an hour stands idle for twenty minutes of it anyway. If none of these are rest, heat
    takes its share of the productive time; if all are, a crew loses only what the table asks for beyond them.

    Parameters
    ----------
    worked : ndarray
        Share of each hour that may be worked, from `share_worked`.
    crews : int
        That take turns, so that one rests while another works.
    productive : float
        Productive share of an hour, heat apart, above 0: the efficiency that row times are divided by.
    covered : float
        Share of the rest that the unproductive minutes cover, 0 to 1.

    Examples
    --------
    >>> [round(float(rate_in_heat(np.array(0.5), 1, 0.67, covered)), 3) for covered in (0.0, 0.5, 1.0)]
    [0.5, 0.623, 0.746]
    """
    on_top = np.minimum(crews * worked, 1.0)
    within = np.minimum(crews * worked / productive, 1.0)
    rate: Array = (1.0 - covered) * on_top + covered * within
    return rate


def water(degrees: Array, effort: str) -> Array:
    """Return the quarts of water that each person drinks in each hour at work."""
    quarts: Array = np.array((COOL_QUARTS, *QUARTS[effort]))[np.searchsorted(FROM, degrees, side="right")]
    return quarts


def fahrenheit(celsius: Array) -> Array:
    """Return °F."""
    return celsius * 1.8 + 32.0
