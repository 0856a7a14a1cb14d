"""What is the season like, month by month? Chances of rain, and what wet and dry hours are like, as figures of the scenario."""

from typing import Annotated, Any, ClassVar

from pydantic import Field

from simulation.scenario.types.mistakes import complaint, shown
from simulation.scenario.types.named_values import MONTHS
from simulation.scenario.types.quantities.units import read_quantity
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import Number, Section, written
from simulation.scenario.types.usual_range import Usual
from simulation.scenario.weather_record.weather_units import WEATHER_UNITS, Conversion, conversion


def _figure(value: Any, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise complaint(f"{shown(value)} is not a number", "write one number, or a list of twelve, January first")
    if not least <= value <= most:
        raise complaint(f"{shown(value)} is out of range", f"write {least:.10g} to {most:.10g}")
    return float(value)


def _monthly(least: float, most: float) -> Any:
    def read(value: Any) -> tuple[float, ...] | None:
        if value is None:
            return None
        if not isinstance(value, list | tuple):
            return (_figure(value, least, most),) * MONTHS
        if len(value) != MONTHS:
            raise complaint(f"has {len(value)} numbers", "write one number, or a list of twelve, January first")
        return tuple(_figure(figure, least, most) for figure in value)

    return Reads(read)


def _read_spells(value: Any) -> tuple[float, ...]:
    many = list(value) if isinstance(value, list | tuple) else [value] * MONTHS
    if len(many) != MONTHS:
        raise complaint(f"has {len(many)} lengths", "write one, or a list of twelve, January first")
    spells = tuple(read_quantity("duration", spell) for spell in many)
    if min(spells) <= 1.0:
        raise complaint("holds a spell of an hour or less", 'write more than "1 h": the chain goes by hours')
    return spells


def _read_by_hour(value: Any) -> tuple[tuple[float, ...], ...] | None:
    if value is None:
        return None
    rows = value if isinstance(value, list | tuple) else ()
    if len(rows) != MONTHS or not all(isinstance(row, list | tuple) and len(row) == 24 for row in rows):
        raise complaint(f"{shown(value)} is no table of months and hours", "write twelve lists of 24 numbers, midnight first")
    return tuple(tuple(_figure(figure, -200.0, 400.0) for figure in row) for row in rows)


def _unit_of(variable: str) -> Any:
    def read(value: Any) -> str:
        if not isinstance(value, str) or conversion(variable, value) is None:
            inside, other = WEATHER_UNITS[variable]
            raise complaint(f"{shown(value)} is no unit of {variable}", f'write "{inside}", "{other}" or another of its kind')
        return value

    return Reads(read)


Chances = Annotated[tuple[float, ...], _monthly(0.0, 1.0)]
#: A spell that never ended would leave no equilibrium to start from.
Endings = Annotated[tuple[float, ...], _monthly(1e-6, 1.0)]
Staying = Annotated[tuple[float, ...], _monthly(0.0, 0.9999)]
Amounts = Annotated[tuple[float, ...] | None, _monthly(0.0, 10_000.0)]
Degrees = Annotated[tuple[float, ...] | None, _monthly(-200.0, 400.0)]
MonthHours = Annotated[tuple[float, ...] | None, _monthly(0.1, 670.0)]
MonthDays = Annotated[tuple[float, ...] | None, _monthly(0.01, 27.9)]
Table = Annotated[tuple[tuple[float, ...], ...] | None, Reads(_read_by_hour)]
RainUnit = Annotated[str, _unit_of("rain")]
WindUnit = Annotated[str, _unit_of("wind")]
TemperatureUnit = Annotated[str, _unit_of("temperature")]
HumidityUnit = Annotated[str, _unit_of("humidity")]
Spells = Annotated[tuple[float, ...], Reads(_read_spells)]
Lag = Annotated[Number, Field(ge=0, lt=1)]


class States(Section):
    """Three-state chain of hours: wet, short dry spell, long dry spell. One number for all months, or twelve."""

    wet: Annotated[Staying, Usual("share", 0.2, 0.99)]
    """Chance of a wet hour after a wet one."""
    short: Annotated[Chances, Usual("share", 0.02, 1.0)]
    """Share of dry spells that are short."""
    short_ends: Annotated[Endings, Usual("share", 0.01, 1.0)]
    """Chance that the hour after one of a short dry spell is wet."""
    long_ends: Annotated[Endings, Usual("share", 0.0005, 0.5)]
    """Chance that the hour after one of a long dry spell is wet."""


class Climate(Section):
    """How often it rains, from tables of the climate. One number for all months, or twelve."""

    wet_hours: Annotated[MonthHours, Usual("count", 0.5, 500)] = None
    """Hours with rain in the month. Not together with `wet_days`."""
    wet_days: Annotated[MonthDays, Usual("count", 0.1, 27.5)] = None
    """Days with rain in the month, in one hour at least. Not together with `wet_hours`."""
    wet_spell: Annotated[Spells, Usual("duration", "65 min", "96 h")] = written("3.4 h")
    """Mean length of a wet spell, more than an hour. Planning value, fit to one year of hourly records of a coastal station
    (in-sample)."""


class _Figures(Section):
    """Figures of one variable of the weather in a unit of its own."""

    variable: ClassVar[str]
    unit: str

    @property
    def convert(self) -> Conversion:
        """What turns its figures into the unit that the program uses: mm, mph, °C or %."""
        converter = conversion(self.variable, self.unit)
        assert converter is not None  # checked when it was read
        return converter


class RainFigures(_Figures):
    """How much it rains."""

    variable = "rain"
    unit: RainUnit
    """Unit of the figures, such as mm."""
    mean: Amounts = None
    """Mean in a wet hour. Not together with `month`."""
    month: Amounts = None
    """Total of the month. Not together with `mean`."""


class WindFigures(_Figures):
    """How windy it is."""

    variable = "wind"
    unit: WindUnit
    """Unit of the figures, such as mph."""
    mean: Amounts = None
    """Mean of all hours; wet ones get more of it, by a planning value. Or give `dry` and `wet`."""
    dry: Amounts = None
    """Mean of dry hours."""
    wet: Amounts = None
    """Mean of wet hours."""
    shape: Annotated[Number, Field(ge=0.5, le=10), Usual("share", 1.0, 5.0)] = 2.2
    """Shape of its Weibull distribution. Planning value, from the fit to a coastal station."""
    lag: Annotated[Lag, Usual("share", 0.05, 0.995)] = 0.8
    """Correlation from one hour to the next. Planning value, from the same fit."""
    gust: Annotated[Number, Field(ge=1, le=4), Usual("share", 1.0, 3.0)] = 1.5
    """Highest gust of an hour over its mean wind. Planning value for open ground."""


class TemperatureFigures(_Figures):
    """How warm it is: `low` and `high`, or `by_hour`."""

    variable = "temperature"
    unit: TemperatureUnit
    """Unit of the figures, such as degC."""
    low: Degrees = None
    """Mean of the days' lowest temperatures; between it and `high` the day is a cosine with its top at 15:00."""
    high: Degrees = None
    """Mean of the days' highest temperatures."""
    by_hour: Table = None
    """Or means of dry hours: twelve lists of 24 numbers."""
    wet: Degrees = None
    """How much warmer wet hours are. Default: not at all (planning value)."""
    sd: Amounts = None
    """Standard deviation around the mean. Default: 4 °C (planning value)."""
    lag: Annotated[Lag, Usual("share", 0.05, 0.999)] = 0.98
    """Correlation of the difference from the mean from one hour to the next. Planning value, from a fit."""


class HumidityFigures(_Figures):
    """How humid it is, relative to saturation."""

    variable = "humidity"
    unit: HumidityUnit
    """Unit of the figures, % or share."""
    dry: Amounts = None
    """Mean of dry hours; over the day as much vapour as its mean temperature holds. Or `by_hour`."""
    by_hour: Table = None
    """Or means of dry hours: twelve lists of 24 numbers."""
    wet: Amounts = None
    """Mean of wet hours. Default: 90 % (planning value)."""
    sd: Annotated[Annotated[Number, Field(ge=0, le=100)] | None, Usual("count", 0.5, 40)] = None
    """Standard deviation around the mean. Default: 16 % (planning value)."""
    lag: Annotated[Lag, Usual("share", 0.05, 0.999)] = 0.9
    """Correlation of the difference from the mean from one hour to the next. Planning value."""
