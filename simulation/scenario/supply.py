"""What brings the pallets and moves them: trucks, flights, the yard, forklifts; and what prepares the ground."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from simulation.scenario.section import (
    Count,
    CountOrNone,
    Duration,
    Name,
    Period,
    Position,
    Section,
    Share,
    Speed,
    planned,
    quantity,
)
from simulation.scenario.uncertain import UncertainDuration, UncertainRate


class Yard(Section):
    """Where pallets are stored: a point beside an area."""

    area: Name
    station: Position = quantity("0 ft")
    offset: Position = quantity("250 ft")
    """From the area's centre line, to the right looking from low to high. Planning value."""


class Trucks(Section):
    """A fleet of like trucks that cycle between the port and the yard."""

    count: Count
    pallets: Count = 12
    """Pallets on one load. Planning value."""
    load: UncertainDuration = planned(p10="40 min", p90="80 min", scatter=0.3)
    """Loading at the port. Planning value."""
    haul: UncertainDuration
    """The way to the yard, loaded."""
    back: UncertainDuration = Field(alias="return")
    """The way back, empty."""


class Flights(Section):
    """Loads that land by a timetable."""

    pallets: Count
    first: Duration = quantity("0 h")
    """From hour zero to the first landing."""
    every: Period = quantity("24 h")
    """Between landings. Planning value."""


class Supply(Section):
    """Pallets at hour zero and those that come."""

    on_hand: CountOrNone = 0
    """Pallets in the yard at hour zero."""
    total: Count | None = None
    """Pallets that will come, those on hand included. Default: what the field needs with spares."""
    spares: Share = 0.03
    """Share of mats ordered beyond the field's own. Planning value."""
    pools: Literal["field", "areas"] = "field"
    """Whether mats left over at one area serve another (`field`), or each area has pallets of its own (`areas`)."""
    per_day_limit: Count | None = None
    """Pallets a day that port and road let through. Default: no limit."""
    resupply: Period = quantity("5 day")
    """From the hour a shortage is known to the arrival of more pallets. Planning value."""
    yard: Yard | None = None
    """Default: 250 ft beside the middle of the first area (planning value)."""
    trucks: tuple[Trucks, ...] = ()
    flights: tuple[Flights, ...] = ()


class Forklifts(Section):
    """The forklifts that unload loads and feed faces, one pallet a trip."""

    count: Count = 3
    """Planning value."""
    operators: CountOrNone = 1
    """People for each. Planning value."""
    speed: Speed = quantity("5 mph")
    """Mean over a trip on graded ground. Planning value."""
    drive_on: Literal["graded", "rows"] = "graded"
    """Straight over graded ground, or along rows already laid and checked."""
    handle: UncertainDuration = planned(p10="60 s", p90="150 s", scatter=0.3)
    """Picking one pallet up, or setting it down. Planning value."""
    breakdown_every: UncertainDuration = planned(p10="50 h", p90="160 h", scatter="exponential")
    """Operating hours between breakdowns, each forklift its own. Planning value."""
    repair: UncertainDuration = planned(p10="1 h", p90="8 h", scatter=0.8)
    """Repair, on the forklifts' shift. Planning value."""
    staged_ahead: Annotated[int, Field(ge=2, strict=True)] = 6
    """Pallets that fit beside a face, the one in use included. Planning value."""
    urgent_below: CountOrNone = 3
    """A face with fewer pallets than this, staged or on the way, is fed before a load is unloaded. Planning value."""


class Grading(Section):
    """The gangs that prepare the ground ahead of the faces."""

    done: Share = 1.0
    """Share of every area that is ready at hour zero, from where its first face starts. Default: all."""
    gangs: Count = 1
    """Planning value."""
    people: CountOrNone = 6
    """People of one gang. Planning value."""
    rate: UncertainRate = planned(p10="9000 ft**2/h", p90="16000 ft**2/h")
    """Ground one gang prepares. Planning value."""
    trench: UncertainDuration = planned(p10="3 h", p90="7 h")
    """Digging the trench of one end ramp. Planning value."""
