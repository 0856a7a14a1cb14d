"""Which weather stops which kind of work: rain by its class, wind, gusts, thunder?"""

import math
from typing import Annotated, Any, Literal

from pydantic import StrictBool

from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import AllClear, Section, Share, reader_of, written
from simulation.scenario.types.usual_range import Usual

RainClass = Literal["any", "moderate", "heavy", "never"]


_read_speed = reader_of("speed", "1 mph", "200 mph")


def _read_wind(value: Any) -> float:
    return math.inf if value == "never" else float(_read_speed(value))


# A breath of air stops nobody, and no storm on record blew faster for an hour.
Wind = Annotated[float, Reads(_read_wind, "speed"), Usual("speed", "8 mph", "90 mph")]


class Stop(Section):
    """What stops one kind of work; written for a kind, it takes the place of weather.rain_stops for it."""

    rain: RainClass = "any"
    """From which rain on: `any`, `moderate` (above 2.5 mm/h), `heavy` (above 7.6 mm/h; AMS glossary), `never`. Default: any
    (planning value)."""
    wind: Wind = written("never")
    """Mean wind of the hour above which it stops, or `never`. Default: never (planning value)."""
    gust: Wind = written("never")
    """Gust above which it stops, or `never`. Default: never (planning value)."""
    lightning: StrictBool = True
    """Whether it stops for thunder, where `stops.thunder` has any. EM 385-1-1: work in the open does."""


class LayingStop(Stop):
    """What stops crews: two people with a mat are a sail."""

    rain: RainClass = "moderate"
    """From which rain on. Planning value: light rain is worked through."""
    wind: Wind = written("20 mph")
    """Mean wind of the hour. Planning value for mats carried by hand; cranes cease at 20 mph (EM 385-1-1)."""
    gust: Wind = written("30 mph")
    """Gust. Planning value."""


class ForkliftStop(Stop):
    """What stops forklifts."""

    rain: RainClass = "heavy"
    """From which rain on. Planning value."""
    wind: Wind = written("25 mph")
    """Mean wind of the hour. Planning value."""
    gust: Wind = written("35 mph")
    """Gust. Planning value."""


class HaulStop(Stop):
    """What stops trucks on the road."""

    rain: RainClass = "heavy"
    """From which rain on. Planning value."""
    lightning: StrictBool = False
    """Whether it stops for thunder. Default: no, drivers sit in closed cabs (planning value)."""


class GradingStop(Stop):
    """What stops grading: any rain, since wet ground cannot be shaped."""


class LiftingStop(Stop):
    """What stops the loading of trucks at the port."""

    rain: RainClass = "heavy"
    """From which rain on. Planning value."""
    wind: Wind = written("20 mph")
    """Mean wind of the hour. EM 385-1-1: cranes cease above 20 mph until the lift is evaluated. Planning value."""
    gust: Wind = written("30 mph")
    """Gust. Planning value."""


class Stops(Section):
    """What stops each kind of work; a kind that is not written goes by weather.rain_stops alone."""

    thunder: Annotated[Share, Usual("share", 0.001, 0.7)] = 0.0
    """Chance that there is thunder in an hour with rain. Default: none, thunder is not considered; 0.05 is a planning value for a
    warm season."""
    all_clear: Annotated[AllClear, Usual("duration", "5 min", "3 h")] = written("30 min")
    """After the last thunder until work goes on. EM 385-1-1: 30 minutes after the last within 10 miles.
    Planning value, since thunder here is drawn by the hour."""
    laying: LayingStop | None = None
    """Crews. Default: weather.rain_stops."""
    forklift: ForkliftStop | None = None
    """Forklifts; their repair is under cover. Default: weather.rain_stops."""
    haul: HaulStop | None = None
    """Trucks on the road. Default: weather.rain_stops."""
    lifting: LiftingStop | None = None
    """Loading at the port. Default: what stops the trucks."""
    grading: GradingStop | None = None
    """Grading and trenches. Default: weather.rain_stops."""
