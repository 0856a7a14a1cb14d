"""When is it too hot, or too cold, to work without rest?"""

import re
from typing import Annotated, Any, Literal

from pydantic import StrictBool

from simulation.scenario.tables.sky import Work
from simulation.scenario.types.mistakes import complaint, shown
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import MOST_ENTRIES, Section, Share, at_most, written
from simulation.scenario.types.usual_range import Usual
from simulation.scenario.weather_record.weather_units import conversion

Effort = Literal["moderate", "hard", "none"]

_DEGREES = re.compile(r"\s*([+\-−]?(?:\d+\.?\d*|\.\d+))\s*(\S+)\s*")


def _read_degrees(value: Any) -> float:
    if isinstance(value, str) and (parts := _DEGREES.fullmatch(value)) and (unit := conversion("temperature", parts[2])):
        degrees = unit(float(parts[1].replace("−", "-")))
        if -100 <= degrees <= 60:
            return degrees
    raise complaint(f"{shown(value)} is not a temperature", 'write it with its unit in quotes, such as "-25 degF" or "-32 degC"')


Degrees = Annotated[float, Reads(_read_degrees)]


class Heat(Section):
    """Work and rest by wet-bulb globe temperature, hour by hour (TB MED 507); where [heat] is written, it counts.

    The sun's radiation is that of a clear sky, and a quarter of it, all diffuse, in hours with rain.

    A crew that is productive two thirds of an hour (`laying.efficiency`) stands idle for a third of it anyway. How much of the
    rest that heat asks for it has had by then is `rest_covered`: with 0 its productive share is the product of efficiency and
    table, with 1 the smaller of the two, and in between in proportion. The handbook does not say; neither end is likely.
    """

    laying: Effort = "hard"
    """How hard crews work: `moderate`, `hard`, or `none` where heat does not count. Planning value: mats are carried by hand."""
    forklift: Effort = "none"
    """Forklift operators. Planning value: seated, shaded."""
    haul: Effort = "none"
    """Drivers. Planning value."""
    grading: Effort = "moderate"
    """Grading gangs. Planning value."""
    acclimatised: StrictBool = True
    """Whether people are used to the heat. If not, they work at most 20 % of an hour in which the table has anybody rest on the
    first day, and 20 % more each day (NIOSH 2016-106, new workers; from memory). Default: they are."""
    rest_covered: Annotated[Share, Usual("share", 0.01, 1.0)] = 0.5
    """Share of the crews' rest that their unproductive minutes cover, 0 to 1. Who waits beside a pallet in the sun carries
    nothing, but does not rest in the shade. Planning value: half, since no source was found."""
    clothing: Literal["summer", "body armour"] = "summer"
    """`body armour` adds 5 °F to the temperature (TB MED 507). Default: summer working dress."""
    relief: StrictBool = True
    """Whether crews that take turns on an edge (`second_crew = "relief"`) rest in each other's turns, so the edge loses less.
    Official service history of 1965, p. 40: two full crews relieved each other every 30 minutes."""


class Cold(Section):
    """Wind chill, hour by hour; where [cold] is written, it counts."""

    stops: Annotated[tuple[Work, ...], at_most(MOST_ENTRIES)] = ("laying", "grading")
    """Kinds of work that stop in extreme wind chill. Planning value."""
    stop_below: Annotated[Degrees, Usual("temperature", -60.0, 0.0)] = written("-25 degF")
    """Wind chill below which they stop: skin freezes within half an hour (planning value)."""
    caution_below: Annotated[Degrees, Usual("temperature", -50.0, 15.0)] = written("0 degF")
    """Wind chill below which hours at work are counted as hours of caution; they stop nothing. Planning value."""
