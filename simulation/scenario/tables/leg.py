"""How do mats come here that are taken up elsewhere: in which loads, how long on the way, and who comes with them?"""

from typing import Annotated, Literal

from simulation.scenario.types.section import (
    MOST_BLOCKS,
    Count,
    CountOrNone,
    Duration,
    Name,
    Section,
    Share,
    at_most,
    planned,
    written,
)
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration
from simulation.scenario.types.usual_range import Usual


class Leg(Section):
    """The way from where another field is taken up to the yard of this one, for `keystrip move`; no other question reads it.

    What the field has of its own in a move stands in [supply]: `on_hand`, and where `total` is written all of that, brought by
    its own trucks and flights.
    """

    by: Literal["road", "sea", "air"] = "road"
    """Whether it goes by road, sea or air. Only what it is called: loads, times and chances stand below. Planning value."""
    load: Annotated[Count, Usual("count", 1, 5000)] = 60
    """Pallets that leave together; the last load may be less. Planning value: a convoy of five trucks."""
    per_day: Annotated[Count | None, Usual("count", 1, 200)] = None
    """Loads that leave on one local day; others wait for the next. Default: no limit."""
    time: Annotated[UncertainDuration, Usual("duration", "30 min", "60 day")] = planned(p10="12 h", p90="48 h", scatter=0.2)
    """From leaving to the yard here, stops and transshipment included, by the clock. Planning value."""
    arrives: Share = 1.0
    """Chance that a load arrives. Default: all do (planning value)."""
    crews: Annotated[tuple[Name, ...], at_most(MOST_BLOCKS)] = ()
    """Crews of this field that come from the other one, when its last row is up. Default: none, all are here."""
    forklifts: Annotated[CountOrNone, Usual("count", 1, 100)] = 0
    """Forklifts of this field that come from the other one, when the last pallet has left it. Default: none (planning value)."""
    people_time: Annotated[Duration, Usual("duration", "30 min", "30 day")] = written("24 h")
    """The way of those crews and forklifts. Planning value."""
