"""How hot is an hour to somebody at work? Wet-bulb globe temperature by Liljegren's method, read off a table."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.conditions.stops.sunshine import clear_sky

Array = NDArray[float64]

#: Points of the table: °C, % of humidity, m/s of wind at 10 m (the method's least is 0.62), cosine of the sun's zenith angle.
_TEMPERATURES = np.arange(10.0, 55.1, 2.5)
_HUMIDITIES = np.array([1.0, 2, 3.5, 5, 7.5, 10, 15, 20, 30, 40, 50, 60, 70, 80, 90, 100])
_WINDS = np.array([0.62, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.5, 5.0, 8.0, 13.0, 20.0])
_COSINES = np.array([0.0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.55, 0.75, 1.0])
_AXES = (_TEMPERATURES, _HUMIDITIES, _WINDS, _COSINES)

#: Air pressure, hPa: the method hardly minds it.
_PRESSURE = 1013.25
#: Share of a clear sky's radiation that is direct, and what is left of it, all diffuse, in hours with rain. Planning values.
DIRECT, WET = 0.75, 0.25
_MPS_PER_MPH = 0.44704


def wet_bulb_globe(temperature: Array, humidity: Array, wind: Array, cosine: Array, wet: NDArray[np.bool_]) -> Array:
    """Return the wet-bulb globe temperature of hours in °C, within a quarter of a degree of the method itself.

    Parameters
    ----------
    temperature, humidity, wind : ndarray
        °C, %, mph at 10 m.
    cosine : ndarray
        Of the sun's zenith angle; the sky is clear, but for hours with rain.
    wet : ndarray of bool
        Hours with rain.

    Notes
    -----
    Air below 10 °C counts as 10 °C, above 55 °C as 55 °C: no limit of work and rest lies there.
    """
    points = (temperature, humidity, wind * _MPS_PER_MPH, cosine)
    below, shares = zip(*(_place(axis, point) for axis, point in zip(_AXES, points, strict=True)), strict=True)
    tables = _tables()
    which = wet.astype(np.intp)
    value = np.zeros(len(temperature))
    for corner in product((0, 1), repeat=len(_AXES)):
        weight = np.ones(len(temperature))
        for upper, share in zip(corner, shares, strict=True):
            weight *= share if upper else 1.0 - share
        value += weight * tables[(which, *(low + upper for low, upper in zip(below, corner, strict=True)))]
    return value


def by_the_method(temperature: Array, humidity: Array, wind: Array, shine: Array, direct: Array, cosine: Array) -> Array:
    """Return the wet-bulb globe temperature in °C from °C, %, m/s at 10 m, W/m², the direct share of it and the sun's cosine.

    Liljegren and others 2008, J. Occup. Environ. Hyg. 5(10).
    """
    import thermofeel

    pressure = np.full_like(temperature, _PRESSURE)
    kelvin: Array = thermofeel.calculate_wbgt_liljegren(temperature + 273.15, humidity, pressure, wind, shine, direct, cosine)
    return kelvin - 273.15


@cache
def _tables() -> Array:
    """Return the table for dry and that for wet hours: computed once in a process, since the method takes 3 ms for a week."""
    grid = np.meshgrid(*_AXES, indexing="ij")
    temperature, humidity, wind, cosine = (axis.ravel() for axis in grid)
    shine = clear_sky(cosine)
    dry = by_the_method(temperature, humidity, wind, shine, np.full_like(shine, DIRECT), cosine)
    wet = by_the_method(temperature, humidity, wind, WET * shine, np.zeros_like(shine), cosine)
    tables: Array = np.stack([dry, wet]).reshape(2, *grid[0].shape)
    if np.isnan(tables).any():
        raise ArithmeticError("the wet-bulb globe temperature of some hours could not be found")
    return tables


def _place(axis: Array, point: Array) -> tuple[NDArray[np.intp], Array]:
    """Return the point of an axis below each value, and how far it is from there to the next; values beyond are at its ends."""
    inside = np.clip(point, axis[0], axis[-1])
    low = np.clip(np.searchsorted(axis, inside, side="right") - 1, 0, len(axis) - 2)
    return low, (inside - axis[low]) / (axis[low + 1] - axis[low])
