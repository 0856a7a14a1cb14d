"""What do the actors of a build share? The site: faces and what is staged at them, the yard, graded ground, and the trace."""

from __future__ import annotations

import math
from collections.abc import Callable, Generator
from typing import Any

import simpy

from simulation.build.beginning import Begin, beginner, beginner_on
from simulation.build.luck import AreaLuck
from simulation.build.plan import AreaPlan, FacePlan, Plan, Slice
from simulation.build.rail_gang import NEVER, RailGang
from simulation.build.steps import HOUR_ZERO, KINDS, LATE_START, Step
from simulation.build.turns import Turns, matters
from simulation.chance import Streams, draw_levels
from simulation.conditions import Clocks, HourlySky, wind_clocks

Event = simpy.Event
Process = Generator[Any, Any, Any]


class Face:
    """One working edge and what stands beside it.

    Attributes
    ----------
    laid, taken, graded : int
        Rows laid; rows whose mats are taken up; rows whose ground is ready: all counted in laying order.
    full, half : list of int
        Mats that each row takes, those that will be found damaged included.
    checks, reseats, skew : list of float
        By row: hours of a check after it and of re-seating it, and the luck of a check that may find it skewed.
    staged : list of (int, int)
        Full and half mats of each pallet set down and not yet opened.
    loose_full, loose_half : int
        Mats of opened pallets that are not yet laid.
    in_use : int
        Places taken by opened pallets until the row that empties them is laid.
    on_the_way : int
        Pallets that a forklift is bringing.
    due_full, due_half : int
        Mats still to be brought; below zero is what will be left over.
    parties : list of list of Crew
        Crews that lay together, and those that relieve them; the party on turn first.
    railed : int
        Rows that the guide rail reaches far enough beyond; more than there are where there is none.
    frees_gauge : int
        Rows laid at which a gauge comes free that the rail gang waits for.
    remedies : dict of int to int
        Before a row: how many rows are re-seated for the rail's clearance, or that it gets a short section.
    stops : frozenset of int
        Rows laid at which the crew does something else than go on to the next row.
    waits_for_ground, waits_for_mats, waits_for_rail : Event or None
        Fired with the step that brought what its crew waits for.
    """

    __slots__ = (
        "area",
        "checks",
        "done",
        "due_full",
        "due_half",
        "frees_gauge",
        "full",
        "graded",
        "half",
        "hours",
        "in_use",
        "index",
        "laid",
        "loose_full",
        "loose_half",
        "on_the_way",
        "parties",
        "plan",
        "railed",
        "rejected",
        "remedies",
        "reseats",
        "rows",
        "skew",
        "slices_done",
        "staged",
        "stops",
        "taken",
        "turn_ends",
        "waits_for_ground",
        "waits_for_mats",
        "waits_for_rail",
    )

    def __init__(self, index: int, plan: FacePlan, area: Area, env: simpy.Environment) -> None:
        self.index, self.plan, self.area = index, plan, area
        self.rows = len(plan.full)
        self.laid, self.taken, self.graded = 0, 0, plan.graded
        self.slices_done: dict[int, int] = {}
        # After its last row a face needs none.
        self.full, self.half = [*plan.full, 0], [*plan.half, 0]
        self.due_full, self.due_half = sum(self.full), sum(self.half)
        self.checks, self.reseats = plan.in_order(area.luck.checks), plan.in_order(area.luck.reseats)
        self.skew = plan.in_order(area.luck.skew)
        self.rejected: dict[int, tuple[int, int]] = {}
        for row, mats in area.luck.rejected.items():
            if plan.first <= row < plan.last:
                place = row - plan.first if plan.upward else plan.last - 1 - row
                self.rejected[place] = mats
                self.full[place] += mats[0]
                self.half[place] += mats[1]
        self.staged: list[tuple[int, int]] = []
        self.loose_full = self.loose_half = self.in_use = self.on_the_way = 0
        self.parties: list[list[Any]] = []
        self.hours: list[float] = []
        self.turn_ends = math.inf
        self.waits_for_ground: Event | None = None
        self.waits_for_mats: Event | None = None
        self.railed = self.frees_gauge = NEVER
        self.remedies: dict[int, int] = {}
        self.stops = plan.stops
        self.waits_for_rail: Event | None = None
        self.done: Event = env.event()

    def open_pallet(self) -> None:
        """Open the pallet that has been staged longest."""
        full, half = self.staged.pop(0)
        self.loose_full += full
        self.loose_half += half
        self.in_use += 1

    @property
    def left_over(self) -> tuple[int, int]:
        """Full and half mats that lie here, in pallets opened or not, and that it will not lay itself."""
        full = self.loose_full + sum(pallet[0] for pallet in self.staged)
        half = self.loose_half + sum(pallet[1] for pallet in self.staged)
        return max(0, min(full, -self.due_full)), max(0, min(half, -self.due_half))


class Area:
    """One area: whether crews may start on it, and whether its connectors and starter key strip are set."""

    __slots__ = ("faces", "index", "luck", "open", "plan", "prepared")

    def __init__(self, index: int, plan: AreaPlan, luck: AreaLuck) -> None:
        self.index, self.plan, self.luck = index, plan, luck
        self.open = False
        self.prepared: Event | None = None
        self.faces: list[Face] = []

    @property
    def finished(self) -> bool:
        """Whether every row is laid and checked."""
        return all(face.done.triggered for face in self.faces)


class Gate:
    """Fires when so many faces have passed their row."""

    __slots__ = ("left", "then")

    def __init__(self, parts: int, then: Callable[[Step], None]) -> None:
        self.left, self.then = parts, then

    def pass_one(self, step: Step) -> None:
        """Count one face; `step` is what it did last."""
        self.left -= 1
        if self.left == 0:
            self.then(step)


class Site:
    """The shared state of one build.

    Parameters
    ----------
    plan : Plan
    streams : Streams
        The luck of this replication.

    Attributes
    ----------
    env : simpy.Environment
    trace : list of Step
        Every step, in the order in which they began.
    levels : dict of str to float
        Levels drawn, by key.
    clocks : Clocks
    turns : Turns or None
        Who lays at a face; None where crews take turns by the time alone.
    rail_gang : RailGang or None
        None where there is no guide rail.
    open_faces : list of Face
        Those that crews and pallets may come to.
    over : Event
        Fired when the last milestone is reached, or at the horizon.
    begin : callable
        ``begin(kind, hours, because, actor, face=-1, number=-1)`` begins a step now, of so many hours of work at full rate, and
        returns the event of its end, whose value is the step itself. `because` is the step whose end let it start: it must end
        now. So a process reads ``because = yield site.begin(…, because, …)``: what just ended is why the next thing starts.
    """

    def __init__(self, plan: Plan, streams: Streams) -> None:
        self.plan, self.streams = plan, streams
        self.env = simpy.Environment()
        self.levels = draw_levels(plan.levels, streams, plan.sampling)
        self.sky = HourlySky(plan.sky, streams)
        self.clocks: Clocks = wind_clocks(plan.clocks, self.sky, streams)
        self.zero: Step = (0.0, 0.0, None, 0.0, HOUR_ZERO, -1, -1, -1)
        self.trace: list[Step] = [self.zero]
        self.begin = beginner(self.env, [self.clocks[kind.clock] if kind.clock else None for kind in KINDS], self.trace)
        self.areas = [Area(index, area, AreaLuck(plan, area, self.levels, streams)) for index, area in enumerate(plan.areas)]
        self.faces: list[Face] = []
        for index, face in enumerate(plan.faces):
            self.faces.append(Face(index, face, self.areas[face.area], self.env))
            self.areas[face.area].faces.append(self.faces[-1])
        self.open_faces: list[Face] = []
        for area in self.areas:
            if area.plan.gate is None:
                self.open_area(area)
        self.gates: list[Gate] = []
        self.reached: list[Step | None] = [None] * len(plan.milestones)
        self.over = self.env.event()
        self.turns = Turns(self) if matters(plan) else None
        self.rail_gang: RailGang | None = None
        self._waiting_crews: list[Event] = []
        self._processes: list[Process] = []

    def start(self, process: Process) -> None:
        """Set an actor to work."""
        self._processes.append(process)
        self.env.process(process)

    def begin_on(self, clock: str) -> Begin:
        """Return what begins a crew's steps by the clock of that name: `begin` itself where it is the one of their kind."""
        found = self.clocks[clock]
        return self.begin if found is self.clocks["laying"] else beginner_on(found, self.clocks.own, self.env, self.trace)

    def dismiss(self) -> None:
        """Send every actor home, wherever it stands in its work, and let what was still to happen pass unseen."""
        for process in self._processes:
            process.close()
        self.env.run()
        self._processes.clear()
        self.gates.clear()
        self.rail_gang = None
        for face in self.faces:
            face.parties.clear()
        for area in self.areas:
            area.faces.clear()

    def open_area(self, area: Area) -> None:
        """Let crews and pallets come to an area."""
        area.open = True
        self.open_faces.extend(area.faces)

    def pause(self, kind: int, until: float, because: Step, actor: int) -> Event:
        """Begin a step without work that ends at a moment known beforehand, and return the event of its end."""
        now = self.env.now
        delay = until - now
        step = (now, now + delay, because, 0.0, kind, actor, -1, -1)
        self.trace.append(step)
        return self.env.timeout(delay, step)

    def late_start(self, until: float, actor: int) -> Event:
        """Begin the time until an actor that is not there at hour zero comes, and return the event of its end."""
        return self.pause(LATE_START, until, self.zero, actor)

    def pass_gates(self, gates: tuple[int, ...], step: Step) -> None:
        """Tell gates that one more of the faces they wait for has passed its row."""
        for gate in gates:
            self.gates[gate].pass_one(step)

    def ground_ready(self, piece: Slice, step: Step) -> bool:
        """Note that a slice is graded, and wake the crew that waits for it.

        Returns
        -------
        bool
            Whether pallets may come to the face now and could not before.
        """
        face = self.faces[piece.face]
        barred = face.graded <= face.laid
        face.slices_done[piece.first] = piece.upto
        while face.graded in face.slices_done:  # two gangs may finish out of order: a crew needs ground without gaps
            face.graded = face.slices_done.pop(face.graded)
        event = face.waits_for_ground
        if event is not None and face.graded > face.laid:
            face.waits_for_ground = None
            event.succeed(step)
        if self.rail_gang is not None:
            self.rail_gang.look(step)
        return barred and face.graded > face.laid

    def crews_look_again(self, step: Step) -> None:
        """Wake the crews that found no open face."""
        waiting, self._waiting_crews = self._waiting_crews, []
        for event in waiting:
            event.succeed(step)

    def wait_for_face(self) -> Event:
        """Return the event that `crews_look_again` fires."""
        event = self.env.event()
        self._waiting_crews.append(event)
        return event
