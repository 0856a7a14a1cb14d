"""How cold does the wind make it?"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Array = NDArray[float64]


def wind_chill(temperature: Array, wind: Array) -> Array:
    """Return the wind chill in °C of air at °C and wind in mph; above 50 °F, or in wind below 3 mph, the air itself counts.

    The formula of the weather services since 2001: 35.74 + .6215 T − 35.75 V^.16 + .4275 T V^.16 in °F and mph.
    """
    degrees = temperature * 1.8 + 32.0
    power = np.maximum(wind, 3.0) ** 0.16
    chill = 35.74 + 0.6215 * degrees - 35.75 * power + 0.4275 * degrees * power
    felt: Array = np.where((degrees <= 50.0) & (wind >= 3.0), np.minimum(chill, degrees), degrees)
    return (felt - 32.0) / 1.8
