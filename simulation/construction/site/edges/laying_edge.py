"""What stands beside a laying edge in a run, and which rows may be laid there?"""

from __future__ import annotations

import math
from typing import Any, Final

import simpy

from simulation.construction.plan.field_state import EdgeState
from simulation.construction.plan.packing import count_mats
from simulation.construction.plan.plan import AreaPlan, EdgePlan
from simulation.construction.plan.steps import Step
from simulation.construction.site.edges.area_draws import AreaLuck

Event = simpy.Event

#: More rows than any laying edge has; it has one digit of Python's, so that comparing with it is quick.
NEVER: Final = (1 << 30) - 1


class LayingEdge:
    """One laying edge and what stands beside it.

    Attributes
    ----------
    laid, taken, graded : int
        Rows laid; rows whose mats are taken up; rows whose ground is ready: all counted in laying order.
    seen : int
        Rows up to the last one in which damaged mats were found.
    full, half : list of int
        Mats that each row takes, those that will be found damaged included.
    checks, reseats, skew : array
        By row: hours of a check after it and of re-seating it, and the luck of a check that may find it skewed.
    staged : list of (int, int)
        Full and half mats of each pallet set down and not yet opened.
    loose_full, loose_half : int
        Mats of opened pallets that are not yet laid.
    cover : int
        Pallets that are staged, or that a forklift is bringing.
    beside : int
        Places taken: those of its cover, and those of opened pallets until the row that empties them is laid.
    due_full, due_half : int
        Mats still to be brought; below zero is what will be left over.
    parties : list of list of Crew
        Crews that lay together, and those that relieve them; the party on turn first.
    begun : bool
        Whether a crew has come to it yet.
    coming : int
        Crews on their way to it from another laying edge.
    last_crew : Crew or None
        The one that was the last to work at it; noted only where crews keep different shifts.
    same_until : float
        Until when whoever is on turn lays at one pace, nobody comes or goes and its clock runs; noted only where crews keep
        different shifts.
    left : Step or None
        What its crew had done last when it went off shift and nobody took over.
    railed : int
        Rows that the guide rail reaches far enough beyond; more than there are where there is none.
    ready : int
        Rows that may be laid: graded, and the rail beyond them.
    frees_gauge : int
        Rows laid at which a gauge comes free that the rail gang waits for.
    remedies : dict of int to int
        Before a row: how many rows are re-seated for the rail's clearance, or that it gets a short section.
    stops : frozenset of int
        Rows laid at which the crew does something else than go on to the next row.
    strip_set : int
        The row whose key strip was set before the run began; −1 where there is none.
    closed, refused : bool
        Whether it is closed to forklifts and the rail gang now, for flying; and whether one of them was sent away for it.
    waits_for_ground, waits_for_mats, waits_for_rail : Event or None
        Fired with the step that brought what its crew waits for.
    short_handed : bool
        Whether the party on turn has lent so many people to tasks that it cannot lay a mat.
    waits_for_people : Event or None
        Fired with the step that brings enough of them back, or that ends when a crew comes to it.
    waits_for_strips : Event or None
        Fired with the step that brought key strips; noted only where temporary ends are made.
    waits_for_gap : Event or None
        Fired when there may be time to take its temporary end up.
    end_stands, end_due : bool
        Whether a temporary end stands there; and whether one is made as soon as what is under way is done.
    since : Step or None
        The step after which it waits, or waited last; noted only where temporary ends are made.
    waits_for_crew : Event or None
        Fired with the step that ends when a crew on shift comes to it.
    """

    __slots__ = (
        "area",
        "begun",
        "beside",
        "checks",
        "closed",
        "coming",
        "cover",
        "done",
        "due_full",
        "due_half",
        "end_due",
        "end_stands",
        "frees_gauge",
        "full",
        "graded",
        "half",
        "hours",
        "index",
        "laid",
        "last_crew",
        "left",
        "loose_full",
        "loose_half",
        "parties",
        "plan",
        "railed",
        "ready",
        "refused",
        "rejected",
        "remedies",
        "reseats",
        "rows",
        "same_until",
        "seen",
        "short_handed",
        "since",
        "skew",
        "slices_done",
        "staged",
        "stops",
        "strip_set",
        "taken",
        "turn_ends",
        "waits_for_crew",
        "waits_for_gap",
        "waits_for_ground",
        "waits_for_mats",
        "waits_for_people",
        "waits_for_rail",
        "waits_for_strips",
    )

    def __init__(self, index: int, plan: EdgePlan, area: Area, env: simpy.Environment) -> None:
        self.index, self.plan, self.area = index, plan, area
        self.rows = len(plan.full)
        self.laid, self.taken, self.graded = 0, 0, plan.graded
        self.seen = 0
        self.slices_done: dict[int, int] = {}
        # After its last row a laying edge needs none.
        self.full, self.half = [*plan.full, 0], [*plan.half, 0]
        self.due_full, self.due_half = sum(self.full), sum(self.half)
        self.checks, self.reseats = plan.in_order(area.luck.checks), plan.in_order(area.luck.reseats)
        self.skew = plan.in_order(area.luck.skew)
        self.rejected: dict[int, tuple[int, int]] = {}
        for row, mats in area.luck.rejected.items():
            if plan.first <= row < plan.last:
                in_turn = row - plan.first if plan.upward else plan.last - 1 - row
                self.rejected[in_turn] = mats
                self.full[in_turn] += mats[0]
                self.half[in_turn] += mats[1]
        self.staged: list[tuple[int, int]] = []
        self.loose_full = self.loose_half = self.beside = self.cover = 0
        self.parties: list[list[Any]] = []
        self.begun, self.coming = False, 0
        self.last_crew: Any = None
        self.left: Any = None
        self.hours: list[float] = []
        self.turn_ends, self.same_until = math.inf, -math.inf
        self.waits_for_crew: Event | None = None
        self.waits_for_ground: Event | None = None
        self.waits_for_mats: Event | None = None
        self.ready, self.railed, self.frees_gauge = plan.graded, NEVER, NEVER
        self.remedies: dict[int, int] = {}
        self.stops = plan.stops
        self.strip_set = -1
        self.waits_for_rail: Event | None = None
        self.closed = self.refused = self.short_handed = False
        self.waits_for_people: Event | None = None
        self.waits_for_strips: Event | None = None
        self.waits_for_gap: Event | None = None
        self.end_stands = self.end_due = False
        self.since: Step | None = None
        self.done: Event = env.event()

    def stand(self, state: EdgeState, pallet: tuple[int, int], before: Step) -> None:
        """Stand as it did at the moment at which the run begins, with pallets of so many full and half mats."""
        plan, laid = self.plan, state.laid
        self.laid = self.taken = self.seen = laid
        self.grade_up_to(max(laid, int(plan.graded if state.graded is None else state.graded)))
        self.staged, self.cover = list(state.staged_hold) or [pallet] * state.staged, state.staged
        self.loose_full, self.loose_half = state.open_full, state.open_half
        self.beside = state.staged + bool(state.open_full or state.open_half)
        staged = count_mats(self.staged)
        self.due_full = sum(plan.full[laid:]) - state.open_full - staged[0]
        self.due_half = sum(plan.half[laid:]) - state.open_half - staged[1]
        self.strip_set = laid if state.strip_set else -1
        self.end_stands = state.end_stands
        # What was damaged in rows that lie is told with the field, not drawn.
        self.rejected = {row: mats for row, mats in self.rejected.items() if row >= laid}
        if laid == self.rows:
            self.set_aside()
            self.done.succeed(before)

    def grade_up_to(self, rows: int) -> None:
        """Let the ground of so many rows be ready."""
        self.graded, self.ready = rows, min(rows, self.railed)

    def rail_up_to(self, rows: int) -> None:
        """Let the guide rail reach far enough for so many rows."""
        self.railed, self.ready = rows, min(rows, self.graded)

    def open_pallet(self) -> None:
        """Open the pallet that has been staged longest."""
        full, half = self.staged.pop(0)
        self.loose_full += full
        self.loose_half += half
        self.cover -= 1

    @property
    def in_use(self) -> int:
        """Places taken by opened pallets."""
        return self.beside - self.cover

    def set_aside(self) -> None:
        """Free the places of opened pallets."""
        self.beside = self.cover

    def under_flight(self, driving: bool = False) -> bool:
        """Return whether windows close it: its area is flown from, and it is not far enough off; `driving`, for forklifts."""
        area, plan = self.area, self.plan
        if not area.flown or area.stand_back == math.inf or (driving and area.driven):
            return area.flown
        low, high = area.used
        row = plan.first + self.laid if plan.upward else plan.last - self.laid - 1
        return low - area.stand_back < row + 1 and row < high + area.stand_back

    @property
    def left_over(self) -> tuple[int, int]:
        """Full and half mats that lie here, in pallets opened or not, and that it will not lay itself."""
        full = self.loose_full + sum(pallet[0] for pallet in self.staged)
        half = self.loose_half + sum(pallet[1] for pallet in self.staged)
        return max(0, min(full, -self.due_full)), max(0, min(half, -self.due_half))


class Area:
    """One area: since when crews may start on it, and whether its connectors and starter key strip are set."""

    __slots__ = ("driven", "edges", "flown", "index", "luck", "opened", "plan", "prepared", "stand_back", "used", "wanted")

    def __init__(self, index: int, plan: AreaPlan, luck: AreaLuck) -> None:
        self.index, self.plan, self.luck = index, plan, luck
        self.opened: float | None = None
        self.prepared: Event | None = None
        self.edges: list[LayingEdge] = []
        #: Whether it is flown from, and so closed to work in flying windows; which rows are in use, how many rows beyond them
        #: work goes on, and whether forklifts drive over them wherever they go.
        self.flown, self.used, self.stand_back, self.driven = False, (0, plan.rows), math.inf, False
        #: Rows without a gap that a gate waits for, fewest first.
        self.wanted: list[tuple[int, int]] = list(plan.wanted)

    @property
    def rows_laid(self) -> int:
        """Rows that lie without a gap: its laying edges lay away from where they began together."""
        return sum(edge.laid for edge in self.edges)

    def span(self) -> tuple[int, int]:
        """Return the first row that lies, and the row after the last, counted from the low end."""
        spans = [
            (edge.plan.first, edge.plan.first + edge.laid) if edge.plan.upward else (edge.plan.last - edge.laid, edge.plan.last)
            for edge in self.edges
            if edge.laid
        ]
        return min((low for low, _ in spans), default=0), max((high for _, high in spans), default=0)

    def prepare(self, event: Event, before: Step) -> None:
        """Let its connectors and starter key strip be set, as they were before the run began."""
        self.prepared = event
        event.succeed(before)

    @property
    def open(self) -> bool:
        """Whether crews may start on it."""
        return self.opened is not None

    @property
    def finished(self) -> bool:
        """Whether every row is laid and checked."""
        return all(edge.done.triggered for edge in self.edges)
