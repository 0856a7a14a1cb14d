"""What do figures of weather stand in? Millimetres, miles per hour, degrees Celsius and per cent inside; a named unit outside."""

from __future__ import annotations

from dataclasses import dataclass

from simulation.scenario.types.quantities.unit_names import unit_factor

#: variable -> (unit used inside, an example of another)
WEATHER_UNITS = {"rain": ("mm", "inch"), "wind": ("mph", "m/s"), "temperature": ("degC", "degF"), "humidity": ("%", "share")}

_MM_PER_FOOT = 304.8
_TEMPERATURES = {
    **dict.fromkeys(("degC", "°C", "C", "celsius"), (1.0, 0.0)),
    **dict.fromkeys(("degF", "°F", "F", "fahrenheit"), (5 / 9, -160 / 9)),
    **dict.fromkeys(("K", "kelvin"), (1.0, -273.15)),
}
_HUMIDITIES = {"%": (1.0, 0.0), "percent": (1.0, 0.0), "share": (100.0, 0.0)}


@dataclass(frozen=True)
class Conversion:
    """What turns figures of a named unit into those used inside: times `factor`, plus `offset`."""

    factor: float
    offset: float = 0.0

    def __call__(self, value: float) -> float:
        """Return a value in the unit used inside."""
        # 0.01 inch must be 0.254 mm to the digit.
        return round(value * self.factor + self.offset, 9)

    def difference(self, value: float) -> float:
        """Return a difference, or a spread, in the unit used inside."""
        return round(value * self.factor, 9)


def conversion(variable: str, unit: str) -> Conversion | None:
    """Return what turns figures in `unit` into those used inside; None where it is no unit of the variable.

    Examples
    --------
    >>> conversion("rain", "inch")(0.01), conversion("temperature", "degF")(212)
    (0.254, 100.0)
    """
    if variable == "temperature":
        return Conversion(*_TEMPERATURES[unit]) if unit in _TEMPERATURES else None
    if variable == "humidity":
        return Conversion(*_HUMIDITIES[unit]) if unit in _HUMIDITIES else None
    factor = unit_factor("length" if variable == "rain" else "speed", unit)
    if factor is None:
        return None
    return Conversion(factor * _MM_PER_FOOT if variable == "rain" else factor)
