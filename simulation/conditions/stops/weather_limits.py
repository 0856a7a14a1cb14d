"""What of the weather, hour by hour, does one kind of work mind? Plain numbers; `effects` says what they leave of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from simulation.conditions.stops.drying import Ground
from simulation.conditions.stops.sunshine import Location

LIGHTNING, RAIN, WIND, MUD, HEAT, COLD = "lightning", "rain", "wind", "wet ground", "heat", "cold"
#: The order in which causes of the weather count where several hold.
ORDER = (LIGHTNING, RAIN, WIND, MUD, HEAT, COLD)

#: (start, end, what each cause leaves of the work, in `ORDER`, those that leave all of it not named)
Piece = tuple[float, float, tuple[tuple[str, float], ...]]


@dataclass(frozen=True)
class Surroundings:
    """What the hours of a scenario's weather meet, whatever the work.

    Attributes
    ----------
    location : Location or None
        For the sun.
    thunder : float
        Chance of thunder in an hour with rain.
    clothing : float
        °F that it adds to the heat.
    acclimatised : bool
        Whether people are used to the heat.
    ground : Ground or None
    workable, dried_out : float
        mm that must have dried out of the ground before work goes on, and have at the start.
    evaporation : float or None
        mm a day; None where it follows from temperature and sun.
    roads_wet, roads_keep, roads_before : float
        Antecedent precipitation index in mm from which on roads are wet, the share of it that an hour leaves, and what it is at
        start.
    stop_below : float
        °C of wind chill.
    """

    location: Location | None = None
    thunder: float = 0.0
    clothing: float = 0.0
    acclimatised: bool = True
    ground: Ground | None = None
    workable: float = 0.0
    dried_out: float = 0.0
    evaporation: float | None = None
    roads_wet: float = 0.0
    roads_keep: float = 1.0
    roads_before: float = 0.0
    stop_below: float = -273.15


@dataclass(frozen=True)
class Limits:
    """What one kind of work minds.

    Attributes
    ----------
    rain : float or None
        mm/h above which it stops; 0 is any wet spell, to the minute.
    drying : float
        Hours after a wet spell during which it goes on being stopped, by mud.
    wind, gust : float or None
        mph above which it stops.
    all_clear : float or None
        Hours after thunder until it goes on; None where it does not stop for thunder.
    dry_ground : bool
        Whether it waits until the ground is workable.
    wet_roads : float
        Rate while the roads are wet.
    effort : str or None
        How hard the work is, a class of `heat`, where heat has it rest.
    crews : int
        That take turns at it, so that one rests while another works.
    covered : float
        Share of the rest in the heat that the unproductive minutes of an hour cover.
    cold : bool
        Whether it stops in extreme wind chill.
    around : Surroundings
    """

    rain: float | None = None
    drying: float = 0.0
    wind: float | None = None
    gust: float | None = None
    all_clear: float | None = None
    dry_ground: bool = False
    wet_roads: float = 1.0
    effort: str | None = None
    crews: int = 1
    covered: float = 0.0
    cold: bool = False
    around: Surroundings = Surroundings()

    @property
    def only_rain(self) -> bool:
        """Whether it minds nothing but any rain and a fixed time of drying after it."""
        return replace(self, around=Surroundings()) == Limits(self.rain, self.drying) and self.rain in (None, 0.0)

    @property
    def needs(self) -> frozenset[str]:
        """The variables of the weather that it asks for, beside its spells."""
        around, asked = self.around, set[str]()
        if self.rain or self.dry_ground or self.wet_roads < 1.0:
            asked.add("rain")
        if self.wind is not None or self.gust is not None:
            asked.add("wind")
        if self.effort:
            asked |= {"temperature", "humidity", "wind"}
        if self.cold:
            asked |= {"temperature", "wind"}
        if self.dry_ground and around.evaporation is None:
            asked.add("temperature")
        return frozenset(asked)
