"""What weather does the scenario expect, and which work does it stop?"""

from typing import Annotated, Literal

from simulation.scenario.tables.weather_tables import (
    Climate,
    HumidityFigures,
    RainFigures,
    States,
    TemperatureFigures,
    WindFigures,
)
from simulation.scenario.types.section import MOST_ENTRIES, Duration, Period, Section, WeatherStep, at_most, written
from simulation.scenario.types.usual_range import Usual
from simulation.scenario.weather_record.outlook import WeatherOutlook
from simulation.scenario.weather_record.weather_records import WeatherFile

Work = Literal["laying", "forklift", "haul", "grading"]


class Weather(Section):
    """Where wet and dry spells come from, what hours are like, and which work rain stops."""

    model: Literal["chain", "three-state", "climate", "records", "none"] = "chain"
    """`chain` draws spells whose lengths are geometric in steps; `three-state` goes by the chances in [weather.states], `climate`
    by the figures in [weather.climate], `records` by the file in [weather.records]; `none` is dry throughout."""
    step: Annotated[WeatherStep, Usual("duration", "10 min", "6 h")] = written("1 h")
    """Step of the chain. Planning value."""
    wet_spell: Annotated[Period, Usual("duration", "20 min", "96 h")] = written("3.4 h")
    """Mean length of a wet spell. Planning value, fit to one year of hourly records of a coastal station (in-sample)."""
    dry_spell: Annotated[Period, Usual("duration", "2 h", "180 day")] = written("48 h")
    """Mean length of a dry spell. Planning value, from the same fit."""
    rain_stops: Annotated[tuple[Work, ...], at_most(MOST_ENTRIES)] = ("laying", "forklift", "grading")
    """Kinds of work that stop while it rains. Planning value."""
    drying: Annotated[Duration, Usual("duration", "5 min", "14 day")] = written("3 h")
    """How long after rain the ground is too wet for grading. Planning value."""
    states: States | None = None
    """Chances of the three-state chain. Default: none, and needed only by its model."""
    climate: Climate | None = None
    """How often it rains, month by month. Default: none, and needed only by its model."""
    records: WeatherFile | None = None
    """The record. Default: none, and needed only by its model."""
    outlook: WeatherOutlook | None = None
    """The next days as a forecaster gives them, in the place of what would be drawn. Default: none."""
    rain: RainFigures | None = None
    """How much it rains. Default: what the record says, or a planning value."""
    wind: WindFigures | None = None
    """How windy it is. Default: what the record says, or planning values."""
    temperature: TemperatureFigures | None = None
    """How warm it is. Default: what the record says, or planning values that know no season."""
    humidity: HumidityFigures | None = None
    """How humid it is. Default: what the record says, or planning values."""
