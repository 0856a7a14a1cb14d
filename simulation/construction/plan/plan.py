"""What does a worker need to know to simulate runs of a scenario? Plain numbers, tuples and clocks' plans; no units, no models.

A plan is made once for a scenario (see `compiling`) and sent to every worker; nothing in it changes during a run.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Learned, LevelPlan
from simulation.conditions import ClockPlan, SkyPlan
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan_parts import (
    FlyingPlan,
    FollowPlan,
    GangPlan,
    RailGangPlan,
    RailPlan,
    SupplyPlan,
    UsedPlan,
)
from simulation.construction.plan.take_up_plan import TakeUpPlan

Scatter = float | str
#: A list or an array with a value for each row.
ByRow = TypeVar("ByRow", list[float], NDArray[float64])


@dataclass(frozen=True)
class EdgePlan:
    """One laying edge; everything that goes by row is in the order in which the laying edge lays its rows.

    Attributes
    ----------
    area : int
        Index of its area.
    first, last : int
        Its rows are the area's rows from `first` up to, not including, `last`.
    upward : bool
        Whether it lays them in rising order.
    full, half : tuple of int
        Mats of each row.
    strips : dict of int to int
        Row before which a key strip is set -> number of the key strip within the area.
    travel : tuple of float
        One-way feet from the yard to where each row's mats are staged.
    graded : int
        Rows whose ground is ready at the start.
    after_row, after_check : dict of int to tuple of int
        Rows laid -> gates that this helps to open, at once, or when the check that follows is passed.
    checks : frozenset of int
        Rows laid at which an alignment check follows.
    stops : frozenset of int
        Rows laid at which the crew does something else than go on to the next row.
    row_area : float
        Square feet of one row.
    """

    area: int
    first: int
    last: int
    upward: bool
    full: tuple[int, ...]
    half: tuple[int, ...]
    strips: dict[int, int]
    travel: tuple[float, ...]
    graded: int
    after_row: dict[int, tuple[int, ...]]
    after_check: dict[int, tuple[int, ...]]
    checks: frozenset[int]
    stops: frozenset[int]
    row_area: float

    def in_order(self, by_row: ByRow) -> ByRow:
        """Return what there is for each of the area's rows, for this laying edge's rows in the order in which it lays them."""
        mine = by_row[self.first : self.last]
        return mine if self.upward else mine[::-1]

    def turn(self, row: int) -> int:
        """Return which of its rows, in the order of laying, one of the area is, from 0."""
        return row - self.first if self.upward else self.last - 1 - row

    @property
    def pieces(self) -> int:
        """Half mats that a row is wide: all of its rows are alike in that, and all of the field as deep."""
        return 2 * self.full[0] + self.half[0]


@dataclass(frozen=True)
class AreaPlan:
    """One area.

    Attributes
    ----------
    name : str
    rows : int
    pieces, half, joints : tuple of int
        Of rows with an even and with an odd number; `half` are the half mats among the pieces.
    walk : float
        Hours to walk with a mat from where it is staged to where it is laid, and back.
    ramps : tuple of int
        Rows inside end ramps.
    key_strips : int
    edges : tuple of int
    gate : int or None
        The gate whose opening opens the area: its junction's rows laid and checked. None is open from the start.
    starter : bool
        Whether a starter key strip is set before anything else.
    rows_in_work : float
        Rows that can be in work at once, by its width.
    slower : tuple of float
        How many pieces more, of rows with an even and an odd number, the slower side of a guide rail counts for while placing.
    wanted : tuple of (int, int)
        Rows without a gap, fewest first -> the gate that they help to open, wherever they lie.
    """

    name: str
    rows: int
    pieces: tuple[int, int]
    half: tuple[int, int]
    joints: tuple[int, int]
    walk: float
    ramps: tuple[int, ...]
    key_strips: int
    edges: tuple[int, ...]
    gate: int | None
    starter: bool
    rows_in_work: float
    slower: tuple[float, float] = (0.0, 0.0)
    wanted: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class GatePlan:
    """Something that happens when `parts` laying edges have passed their row, or work beside laying is done.

    An area opens, a milestone's final sweep, inspection and marking begins, or work beside laying begins.
    """

    parts: int
    area: int | None = None
    milestone: int = -1
    follows: int | None = None


@dataclass(frozen=True)
class MilestonePlan:
    """One milestone: its gate's opening lets its final sweep, inspection and marking, in hours, begin, on these areas.

    It is reached when, after them, a temporary end stands at every laying edge of the areas `ends`.
    """

    name: str
    closing: float
    areas: tuple[int, ...] = ()
    ends: tuple[int, ...] = ()


@dataclass(frozen=True)
class CrewPlan:
    """One crew.

    Attributes
    ----------
    name : str
    people : int
    areas : tuple of int
    second : str
        What it does where every open laying edge of an area has a crew.
    since : float
        Hours after the start at which it is there.
    clock : str
        The name of the clock that it goes by.
    ends : tuple of float
        When its hours end, day after day; listed only where it matters who is at work when they do.
    shifts : tuple of (float, float)
        Its shifts, breaks included, day after day; listed only where crews keep different ones.
    part_of : str
        The crew whose hours it keeps, where it is part of one; empty for a crew.
    """

    name: str
    people: int
    areas: tuple[int, ...]
    second: str
    since: float
    clock: str = "laying"
    ends: tuple[float, ...] = ()
    shifts: tuple[tuple[float, float], ...] = ()
    part_of: str = ""


@dataclass(frozen=True)
class LayingPlan:
    """How rows are laid, besides the levels: numbers of people, limits and shares."""

    overhead: int
    openers: int
    team_size: int
    ramp_row: float
    learning: float
    learning_reference: int
    learning_floor: float
    check_every: int
    skew_found: float
    relief_turn: float
    pallet_pieces: int
    finish_rows: float = 0.0


@dataclass(frozen=True)
class ForkliftPlan:
    """The forklifts; speed in feet per hour, and the hours after the start at which each is there."""

    count: int
    speed: float
    places: int
    urgent_below: int
    since: tuple[float, ...]


@dataclass(frozen=True)
class Slice:
    """Ground that is graded in one step: rows of an edge from `first` up to, not including, `upto`; its size and its trenches.

    `left` is the part of that work that is still to be done where a run begins.
    """

    edge: int
    first: int
    upto: int
    square_feet: float
    trenches: int
    left: float = 1.0


@dataclass(frozen=True)
class Plan:
    """One scenario, ready to be simulated.

    `sampling` says how its levels are drawn, one of `simulation.chance.SAMPLINGS`; `again` is the time to grade ground again that
    rain has undone, as a share of grading it first, zero where it undoes none; `learned` is what work that has begun says of the
    levels; `depth` is that of a row in feet; `flying` when an area is closed for flying; `state` how the field stands where it
    has begun; `used` the state of mats; `take_up` what a run needs besides to take the field up. Each None where there is none.
    """

    seed: int
    horizon: float
    areas: tuple[AreaPlan, ...]
    edges: tuple[EdgePlan, ...]
    gates: tuple[GatePlan, ...]
    milestones: tuple[MilestonePlan, ...]
    ready: int
    crews: tuple[CrewPlan, ...]
    laying: LayingPlan
    forklifts: ForkliftPlan
    supply: SupplyPlan
    gangs: int
    gangs_since: float
    slices: tuple[Slice, ...]
    again: float
    levels: tuple[LevelPlan, ...]
    scatters: dict[str, Scatter]
    clocks: dict[str, ClockPlan]
    sky: SkyPlan
    sampling: str = "random"
    rails: tuple[RailPlan, ...] = ()
    rail_gang: RailGangPlan | None = None
    follows: tuple[FollowPlan, ...] = ()
    gangs_of_tasks: tuple[GangPlan, ...] = ()
    depth: float = 0.0
    flying: FlyingPlan | None = None
    take_up: TakeUpPlan | None = None
    learned: Learned | None = None
    state: FieldState | None = None
    used: UsedPlan | None = None

    @property
    def ends(self) -> bool:
        """Whether temporary ends are made."""
        return any(milestone.ends for milestone in self.milestones)
