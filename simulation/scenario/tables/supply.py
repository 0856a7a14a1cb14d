"""What brings the pallets and moves them (trucks, flights, the yard, forklifts), and what prepares the ground?"""

from typing import Annotated, Final, Literal

from pydantic import Field

from simulation.scenario.types.section import (
    MOST_BLOCKS,
    MOST_FORKLIFTS,
    MOST_TRUCKS,
    BetweenLandings,
    Count,
    CountOrNone,
    Duration,
    Mass,
    Name,
    Period,
    Position,
    Section,
    Share,
    Since,
    Speed,
    at_most,
    planned,
    written,
)
from simulation.scenario.types.uncertainty.distributions import Constant
from simulation.scenario.types.uncertainty.uncertain import UncertainDuration, UncertainRate, UncertainShare
from simulation.scenario.types.usual_range import Usual


class Yard(Section):
    """Where pallets are stored: a point beside an area."""

    area: Name
    station: Position = written("0 ft")
    """Where along it. Default: at its low end (planning value)."""
    offset: Position = written("250 ft")
    """From the area's centre line, to the right looking from low to high. Planning value."""


class Trucks(Section):
    """A fleet of like trucks that cycle between the port and the yard."""

    count: Annotated[Count, Field(le=MOST_TRUCKS), Usual("count", 1, 500)]
    pallets: Annotated[Count, Usual("count", 1, 60)] = 12
    """Pallets on one load. Planning value."""
    payload: Annotated[Mass | None, Usual("mass", "1000 lb", "200000 lb")] = None
    """What one load may weigh. Default: not known, so it limits nothing."""
    positions: Annotated[Count | None, Usual("count", 1, 60)] = None
    """Floor positions. Default: not known, so they limit nothing."""
    pallets_per_position: Annotated[Count, Usual("count", 1, 6)] = 1
    """Pallets on one position, on top of each other. Planning value."""
    load: Annotated[UncertainDuration, Usual("duration", "5 min", "12 h")] = planned(p10="40 min", p90="80 min", scatter=0.3)
    """Loading at the port. Planning value."""
    haul: Annotated[UncertainDuration, Usual("duration", "5 min", "36 h")]
    """The way to the yard, loaded, from gate to gate. There is no efficiency beside it: hauls are measured by the clock, stops
    included, and a driver's rest belongs to [shifts.haul]."""
    back: Annotated[UncertainDuration, Usual("duration", "5 min", "36 h")] = Field(alias="return")
    """The way back, empty."""
    since: Duration = written("0 h", alias="from")
    """From the start until its trucks begin to load. Default: at the start (planning value)."""


class Flights(Section):
    """Loads that land by a timetable."""

    pallets: Annotated[Count, Usual("count", 1, 100)]
    payload: Annotated[Mass | None, Usual("mass", "1000 lb", "300000 lb")] = None
    """What one load may weigh. Default: not known, so it limits nothing."""
    positions: Annotated[Count | None, Usual("count", 1, 60)] = None
    """Floor positions. Default: not known, so they limit nothing."""
    pallets_per_position: Annotated[Count, Usual("count", 1, 6)] = 1
    """Pallets on one position, on top of each other. Planning value."""
    first: Duration = written("0 h")
    """From the start to the first landing. Planning value."""
    every: BetweenLandings = written("24 h")
    """Between landings. Planning value."""


#: Standard deviations below the middle at which one of a hundred values of a level lies.
ONE_IN_A_HUNDRED: Final = -2.326


class Shipment(Section):
    """A ship, a barge or an airdrop: one large load on a date of its own, brought to the yard lot by lot."""

    name: Name | None = None
    """By which a task says that it needs what this shipment brings. Default: none."""
    pallets: Annotated[Count, Usual("count", 1, 10_000)]
    """Pallets on it. They are kept for it: trucks and flights bring the others."""
    comes: Annotated[UncertainDuration, Usual("duration", "1 h", "365 day")]
    """From the start until its first pallets can be brought off."""
    put_off: Duration = written("0 h")
    """By how much it is put off, as far as is known. Default: by nothing."""
    chance: Annotated[float, Field(gt=0, le=1, strict=True), Usual("share", 0.1, 1.0)] = 1.0
    """Chance that it comes then. Default: it is sure to (planning value)."""
    again: BetweenLandings | None = None
    """If it does not come, it may so much later, with the same chance, and so on. Default: it never does, and of what it had on
    board, what is then short is ordered again."""
    discharge: Annotated[UncertainDuration, Usual("duration", "10 s", "2 h")] = planned(p10="3 min", p90="8 min", scatter=0.3)
    """Bringing one pallet off and to the yard, where a forklift unloads it, on the port's shift. Planning value."""
    lot: Annotated[Count, Usual("count", 1, 100)] = 12
    """Pallets that come to the yard together. Planning value."""

    @property
    def earliest(self) -> float:
        """Hours from the start before which hardly a run in a hundred sees it."""
        return self.comes.level.quantile(ONE_IN_A_HUNDRED) + self.put_off


#: How `half_mats` says that full and half mats share every pallet.
ON_EVERY_PALLET: Final = "on every pallet"


class OwnPallets(Section):
    """Parts that come on pallets of their own: those there at the start, and when the rest comes, all at once."""

    on_hand: Annotated[CountOrNone, Usual("count", 1, 1000)] = 0
    """How many are there at the start. Default: none (planning value)."""
    since: Duration | None = Field(default=None, alias="from")
    """From the start until the rest is there. Not together with `load`. Default: it comes with a load."""
    load: Annotated[Count | None, Usual("count", 1, 10_000)] = None
    """The load that brings the rest, counted as loads are unloaded in the yard. Not together with `from`. Default: none does."""


class Supply(Section):
    """Pallets at the start and those that come."""

    on_hand: Annotated[CountOrNone, Usual("count", 1, 20_000)] = 0
    """Pallets in the yard at the start. Default: none (planning value)."""
    total: Annotated[Count | None, Usual("count", 1, 20_000)] = None
    """Pallets that will come, those on hand included. Default: what the field needs with spares."""
    spares: Annotated[Share, Usual("share", 0.002, 0.5)] = 0.03
    """Share of mats ordered beyond the field's own; the least that is ordered again is this share of what is still to be laid.
    Planning value."""
    pools: Literal["field", "areas"] = "field"
    """Whether mats left over at one area serve another (`field`), or each area has pallets of its own (`areas`)."""
    per_day_limit: Annotated[Count | None, Usual("count", 1, 2000)] = None
    """Pallets that may come to the yard on one local day, however they come; what is ordered again is not counted. Trucks wait
    for it at the port, flights land later, and lots of a shipment wait at the gate. Default: no limit."""
    first_through: Literal["flights", "as they come"] = "flights"
    """Who uses up the day's limit: trucks leave room for the flights of the day (`flights`), or whoever sets out first, a flight
    setting out when the one before it has landed (`as they come`). Default: flights, because a truck can wait at the port (common
    practice)."""
    half_mats: Literal["on every pallet", "first", "last"] = ON_EVERY_PALLET
    """Whether full and half mats share every pallet (`on every pallet`), or those to come are packed apart, the pallets of half
    mats coming `first`, or `last`: of what trucks and flights bring, of each shipment and of each order again. There are as many
    pallets either way, since a full mat takes the room of two half mats; one of each packing may hold both. What is on hand is
    packed as ever. Default: on every pallet (planning value)."""
    loading_places: Annotated[Count | None, Usual("count", 1, 100)] = None
    """Trucks that can be loaded at the port at the same time; others wait for a place. Default: no limit."""
    resupply: Annotated[Period, Usual("duration", "4 h", "90 day")] = written("5 day")
    """From the hour a shortage is known to the arrival of more pallets: what is short, and of the mats still to be laid the share
    found damaged so far, or that of `spares` where it is more. Planning value."""
    key_strips: OwnPallets | None = None
    """Key strips, starter key strips among them; one that is not there stops its laying edge. Default: all there."""
    rail: OwnPallets | None = None
    """Sections of guide rail; one that is not there stops the rail gang. Default: all there."""
    yard: Yard | None = None
    """Where pallets are stored. Default: 250 ft beside the middle of the first area (planning value)."""
    trucks: Annotated[tuple[Trucks, ...], at_most(MOST_BLOCKS)] = ()
    """Fleets of trucks. Default: none."""
    flights: Annotated[tuple[Flights, ...], at_most(MOST_BLOCKS)] = ()
    """Timetabled flights. Default: none."""
    shipments: Annotated[tuple[Shipment, ...], at_most(MOST_BLOCKS)] = ()
    """Ships, barges and airdrops, each a block of its own. Default: none."""

    @property
    def comes_by(self) -> tuple[Trucks | Flights | Shipment, ...]:
        """Whatever brings pallets."""
        return *self.trucks, *self.flights, *self.shipments


class Forklifts(Section):
    """The forklifts that unload loads and feed laying edges, one pallet a trip."""

    count: Annotated[Count, Field(le=MOST_FORKLIFTS), Usual("count", 1, 100)] = 3
    """Forklifts on site. Planning value."""
    operators: Annotated[CountOrNone, Usual("count", 1, 6)] = 1
    """People for each forklift on one set: hours longer than one person can stand in a day count two sets by themselves.

    Planning value.
    """
    speed: Annotated[Speed, Usual("speed", "1 mph", "20 mph", "with a pallet, off the road; common practice")] = written("5 mph")
    """Mean over a trip on graded ground. Planning value."""
    capacity: Annotated[Mass, Usual("mass", "1000 lb", "60000 lb")] = written("4000 lb")
    """What one lifts at a load centre of 24 in. NAVEDTRA 14081 ch. 8: two nominal pallets, at its limit."""
    drive_on: Literal["graded", "rows"] = "graded"
    """Beside the field on graded ground, along it and then across to the row (`graded`); or across to where the edge began, and
    along rows already laid and checked (`rows`). Default: graded ground (planning value)."""
    handle: Annotated[UncertainDuration, Usual("duration", "15 s", "15 min")] = planned(p10="60 s", p90="150 s", scatter=0.3)
    """Picking one pallet up, or setting it down. A pallet's two share their scatter; each pallet has its own. Planning value."""
    efficiency: Annotated[UncertainShare, Usual("share", 0.2, 1.0)] = planned(low=0.65, mode=0.83, high=0.92)
    """Operating share of an hour on shift: driving, lifting and unloading take so much longer by the clock. Excludes repairs and
    every wait that is simulated. Planning value: about the 50-minute hour of common practice. Write 1 where speed and handling
    were measured by the clock, pauses included."""
    breakdown_every: Annotated[UncertainDuration, Usual("duration", "8 h", None)] = planned(
        p10="50 h", p90="160 h", scatter="exponential"
    )
    """Operating hours between breakdowns, each forklift its own. Planning value."""
    repair: Annotated[UncertainDuration, Usual("duration", "10 min", "120 h")] = planned(p10="1 h", p90="8 h", scatter=0.8)
    """Repair, on the forklifts' shift. Planning value."""
    staged_ahead: Annotated[int, Field(ge=2, le=1_000_000, strict=True), Usual("count", 2, 100)] = 6
    """Pallets that fit beside a laying edge, the one in use included. Planning value."""
    urgent_below: Annotated[CountOrNone, Usual("count", 1, 100)] = 3
    """A laying edge with fewer pallets than this, staged or on the way, is fed before a load is unloaded. Planning value."""
    since: Since = written("0 h", alias="from")
    """From the start until they are there: one time for all, or a list with one for each; those it leaves out are there at the
    start. Default: all there at the start (planning value)."""

    @property
    def all_since(self) -> tuple[float, ...]:
        """Hours after the start at which each forklift is there."""
        each = self.since if isinstance(self.since, tuple) else (self.since,) * self.count
        return (*each, *(0.0 for _ in range(self.count - len(each))))


class Grading(Section):
    """The gangs that prepare the ground ahead of the laying edges."""

    done: Share = 1.0
    """Share of every area that is ready at the start, from where its first laying edge starts. Default: all."""
    gangs: Annotated[Count, Field(le=MOST_FORKLIFTS), Usual("count", 1, 50)] = 1
    """Gangs that grade. Planning value."""
    people: Annotated[CountOrNone, Usual("count", 1, 200)] = 6
    """People of one gang. Planning value."""
    rate: Annotated[UncertainRate, Usual("area rate", "300 ft**2/h", "100000 ft**2/h")] = planned(
        p10="9000 ft**2/h", p90="16000 ft**2/h"
    )
    """Ground one gang prepares. Planning value."""
    trench: Annotated[UncertainDuration, Usual("duration", "20 min", "72 h")] = planned(p10="3 h", p90="7 h")
    """Digging the trench of one end ramp. Planning value."""
    efficiency: Annotated[UncertainShare, Usual("share", 0.2, 1.0)] = planned(low=0.65, mode=0.83, high=0.92)
    """Operating share of an hour on shift: grading, trenches and backfilling take so much longer by the clock. Excludes
    every wait that is simulated. Planning value: about the 50-minute hour of common practice. Write 1 where the rate was measured
    by the clock, pauses included."""
    backfill: Annotated[UncertainDuration, Usual("duration", "10 min", "72 h")] = written("0 h")
    """Backfilling and compacting over the buried rows of one end ramp, once its rows are laid and checked, by machines of their
    own on the grading shift; no milestone that the ramp is part of is closed before. Default: left to the final sweep,
    inspection and marking."""
    since: Duration = written("0 h", alias="from")
    """From the start until the gangs are there. Default: there at the start (planning value)."""
    undone: Annotated[UncertainShare, Usual("share", 0.002, 0.9)] = written(0.0)
    """Share of the ground that is graded and not yet covered which every wet spell with an hour of heavy rain (above 7.6 mm/h,
    AMS glossary) undoes, the farthest from the laying edge first; it is graded again. Default: none."""
    again: Annotated[float, Field(gt=0, le=2, strict=True), Usual("share", 0.1, 1.5)] = 0.5
    """Time to grade such ground again, 1 being that of grading it first; trenches stay. Planning value."""

    @property
    def may_be_undone(self) -> bool:
        """Whether rain may undo ground that is graded."""
        undone = self.undone.level
        return not (isinstance(undone, Constant) and undone.value == 0)

    @property
    def backfills(self) -> bool:
        """Whether end ramps are backfilled in a step of their own."""
        backfill = self.backfill.level
        return not (isinstance(backfill, Constant) and backfill.value == 0)

    @property
    def needed(self) -> bool:
        """Whether gangs have something to do: ground that is not ready at the start, or that rain may undo, or backfilling."""
        return self.done < 1 or self.may_be_undone or self.backfills
