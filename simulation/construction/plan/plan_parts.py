"""What does a worker need to know of guide rails, what brings pallets, parts on their own pallets, and work that follows rows?

Plain numbers, made once for a scenario.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.construction.plan.field_state import FieldState


@dataclass(frozen=True)
class RailPlan:
    """The guide rail of one area; its sections are numbered from where laying begins.

    Attributes
    ----------
    area, laying edge : int
    key : str
        What the keys of its levels begin with.
    rows : tuple of int
        Rows that may be laid when each section is set.
    ground : tuple of int
        Rows whose ground must be ready before each section is set.
    after : tuple of int
        Rows that must lie before each section is set, because its gauge still stands in an earlier joint.
    joints : tuple of float
        Stations of the joints between sections, seals included, in feet.
    depth, strip : float
        Feet of a row and of a key strip along the travel axis, without creep.
    clearance : float
        Least distance in feet between a joint of the rail and one of the mats.
    reseat : bool
        Whether rows are re-seated before a short section is thought of.
    """

    area: int
    edge: int
    key: str
    rows: tuple[int, ...]
    ground: tuple[int, ...]
    after: tuple[int, ...]
    joints: tuple[float, ...]
    depth: float
    strip: float
    clearance: float
    reseat: bool


@dataclass(frozen=True)
class FleetPlan:
    """One fleet of trucks, and the hours after the start at which it begins; the keys of its levels begin with `key`."""

    key: str
    count: int
    pallets: int
    since: float


@dataclass(frozen=True)
class FlightPlan:
    """One timetable."""

    pallets: int
    first: float
    every: float


@dataclass(frozen=True)
class ShipmentPlan:
    """One shipment; `again` is how much later it may come if it does not, None where it never does."""

    key: str
    pallets: int
    put_off: float
    chance: float
    again: float | None
    lot: int


@dataclass(frozen=True)
class OwnPalletsPlan:
    """Parts on pallets of their own: how many are there at the start, and after how many hours or with which load the rest is."""

    on_hand: int
    since: float | None
    load: int | None


@dataclass(frozen=True)
class Arrival:
    """Pallets that come to the yard together in one run, whoever brings them: drawn before the run begins.

    Attributes
    ----------
    hour : float
        Since the start; what came by then stands in the yard at the start.
    pallets : tuple of (int, int)
        Full and half mats of each.
    """

    hour: float
    pallets: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class UsedPlan:
    """Mats that have lain before: what share of all cannot be laid, for each bent and each scrap one of those."""

    bent: float
    scrap: float

    def unfit(self, levels: dict[str, float]) -> float:
        """Return the share of all mats that cannot be laid, in a run of such levels."""
        return self.bent * levels["used_mats.bent"] + self.scrap * levels["used_mats.scrap"]


@dataclass(frozen=True)
class FollowPlan:
    """Work beside laying: backfilling a ramp, drilling for tie-downs, a task. It begins when its gate opens.

    Attributes
    ----------
    kind : int
        Of its steps.
    area : int
        Where it is done; −1 where no area is named.
    name, key, owner : str
        Who does it; the key of its level; whose luck it is, under the last part of that key.
    counts : tuple of int
        Pieces of work, each with luck of its own, in each of its steps.
    at_once : int
        Pieces that are worked on at the same time.
    station : float
        Middle of the ground where it is done, in feet from the low end of the area.
    gates : tuple of int
        Gates that it helps to open.
    clock : str or None
        The name of the clock that it goes by. None is that of its kind.
    gang, people : int or None, int
        The gang that does it, and how many of it: all of a gang, so that it does one thing at a time. None begins at once.
    since : float
        Hours after the start at which it may begin.
    comes : str or None
        The key of the level that says when what it needs is delivered. None is there.
    load : int
        The load with which comes what it needs; 0 where it needs none.
    shipments : tuple of int
        The shipments, by their places, with which comes what it needs.
    """

    kind: int
    area: int
    name: str
    key: str
    owner: str
    counts: tuple[int, ...]
    at_once: int
    station: float
    gates: tuple[int, ...] = ()
    clock: str | None = None
    gang: int | None = None
    people: int = 0
    since: float = 0.0
    comes: str | None = None
    load: int = 0
    shipments: tuple[int, ...] = ()


@dataclass(frozen=True)
class GangPlan:
    """A gang that does tasks: the hours after the start at which it is there, and whether it keeps hours of its own.

    `crew` is the number of the crew whose people they are; None where they are people of their own.
    """

    name: str
    people: int
    since: float
    own_hours: bool
    crew: int | None = None


@dataclass(frozen=True)
class FlyingPlan:
    """Use of an area while it is laid.

    Attributes
    ----------
    milestone, area : int
        From which milestone on, and which area.
    rows : (int, int)
        The stretch in use, rows from the area's low end, where it does not lie wherever a length was usable first.
    gate : int or None
        The gate of the length whose stretch is in use. None is that of `rows`.
    spans : tuple of (float, float)
        When it is closed: rising, and apart.
    clear, after : float
        Hours at the beginning of each in which people clear it: a forklift's trip may still end in them; and at its end, in which
        they come back.
    stand_back : float
        Rows beyond the stretch from which on work goes on; infinite where the whole area is closed.
    driven : bool
        Whether forklifts drive on the mats, and so over the stretch, wherever they go.
    """

    milestone: int
    area: int
    rows: tuple[int, int]
    gate: int | None
    spans: tuple[tuple[float, float], ...]
    clear: float
    after: float
    stand_back: float
    driven: bool


@dataclass(frozen=True)
class RailGangPlan:
    """The rail gang: the hours after the start at which it is there, and the chance that a section's ground is tamped first."""

    since: float
    low_spots: float


@dataclass(frozen=True)
class SupplyPlan:
    """Pallets: what one holds, how many there are and come, and what happens when they run short; arrivals by their hour.

    `half_first` is whether half mats come first where they come on pallets of their own; None where every pallet holds the same.
    """

    full: int
    half: int
    on_hand: int
    total: int
    spares: float
    movable: bool
    per_day_limit: int | None
    flights_first: bool
    loading_places: int | None
    midnight: float
    resupply: float
    fleets: tuple[FleetPlan, ...]
    flights: tuple[FlightPlan, ...]
    key_strips: OwnPalletsPlan | None = None
    rail: OwnPalletsPlan | None = None
    arrivals: tuple[Arrival, ...] = ()
    shipments: tuple[ShipmentPlan, ...] = ()
    half_first: bool | None = None

    @property
    def kept(self) -> tuple[int, ...]:
        """Pallets kept for each shipment at the start: the last ones may find fewer than they could take."""
        kept, left = [], self.total - self.on_hand
        for shipment in self.shipments:
            kept.append(min(shipment.pallets, left))
            left -= kept[-1]
        return tuple(kept)

    def lost(self, state: FieldState) -> dict[int, int]:
        """Return the pallets that were kept for each shipment of which it is known that it never comes."""
        return {number: kept for number, kept in enumerate(self.kept) if state.shipped(number) is None}

    @property
    def per_load(self) -> int:
        """Pallets of a load; of the first fleet, timetable or shipment, in this order."""
        loads = (
            [carrier.pallets for carrier in self.fleets]
            + [carrier.pallets for carrier in self.flights]
            + [carrier.lot for carrier in self.shipments]
        )
        return loads[0] if loads else 1
