"""The dispatch board: which job does a free forklift do next?

The board only hands out a job that can be carried to its end now; a forklift that set out for a pallet while the only pallets
sit on a truck would wait for ever. A face with little cover comes first, then a load that waits, then whichever face has
the least cover. Where no more pallets come at all, mats left over at one face are moved to another that lacks them. What a
forklift that broke down has left somewhere comes before everything else: its face counts on it.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from itertools import islice

from simulation.chance import factors_of
from simulation.construction.plan.steps import MOVE, Step
from simulation.construction.site.face import Event, Face
from simulation.construction.site.site import Site
from simulation.construction.site.stock import Stock


@dataclass(slots=True)
class Load:
    """What one truck or flight brought, until it is unloaded.

    Attributes
    ----------
    luck : list of float
        Of each of its pallets.
    unloaded : Event
    came : Step
        What brought it.
    done : int
        Pallets unloaded.
    begun : float
        Hours of unloading the next one that are done.
    pieces : list of (Step, int)
        What forklifts did at it: each step, and the pallets unloaded when it ends.
    """

    luck: list[float]
    unloaded: Event
    came: Step
    done: int = 0
    begun: float = 0.0
    pieces: list[tuple[Step, int]] = field(default_factory=list)


@dataclass(slots=True)
class Carry:
    """Bring mats to a face from where they stand.

    Attributes
    ----------
    kind : int
        ``FEED`` for a pallet from the yard, ``MOVE`` for mats left over at another face.
    face : Face
    mats : (int, int)
        Full and half ones.
    luck : float
        Of their handling.
    on : int
        The face on whose way they stand.
    at : float
        Feet along that way, from the yard.
    stray : bool
        Whether a forklift that broke down left them.
    picked, put : float
        Hours of picking them up, and of setting them down, that are done.
    """

    kind: int
    face: Face
    mats: tuple[int, int]
    luck: float
    on: int
    at: float
    stray: bool = False
    picked: float = 0.0
    put: float = 0.0


#: A face asks for a pallet from the yard, a load for being unloaded, other mats for being carried to their face.
Job = Face | Load | Carry


class Board:
    """The jobs of one build, and the forklifts that wait for one.

    Attributes
    ----------
    loads : list of Load
        Those that wait to be unloaded.
    arrived : list of Load
        All that have come.
    strays : list of Carry
        Mats that forklifts which broke down have left somewhere.
    luck : iterator of float
        Of the handling of each pallet that leaves the yard, in turn, whichever forklift takes it.
    taken_over : set of int
        ``id`` of each step that takes stray mats up.
    broken_off : dict of int to (int, float)
        ``id`` of each step that a breakdown ended -> where the forklift stands then, as in `ways`.
    idle : list of (int, Event)
        Forklifts that wait for a job, a heap by their numbers.
    """

    def __init__(self, site: Site, stock: Stock) -> None:
        self.site, self.stock = site, stock
        self.loads: list[Load] = []
        self.arrived: list[Load] = []
        self.strays: list[Carry] = []
        self.taken_over: set[int] = set()
        self.broken_off: dict[int, tuple[int, float]] = {}
        handle = site.plan.scatters["forklifts.handle"]
        self.luck, self._luck_of_loads, self._luck_of_moves = (
            factors_of(handle, site.streams, "handle", owner) for owner in ("yard", "loads", "moves")
        )
        self.idle: list[tuple[int, Event]] = []
        self._places = site.plan.forklifts.places
        self._urgent = site.plan.forklifts.urgent_below

    def next(self, because: Step) -> Job | None:
        """Return the next job, already committed to, or None where there is none that could be carried to its end."""
        stock, loads = self.stock, self.loads
        if self.strays:
            return self.strays.pop(0)
        if stock.yard:
            face = self.neediest(self._urgent if loads else 2 * self._places)
            if face is not None:
                stock.yard -= 1
                face.on_the_way += 1
                face.due_full -= stock.full
                face.due_half -= stock.half
                return face
        if loads:
            return loads.pop(0)
        if not stock.yard and not stock.incoming:
            return self._scrape_together(because)
        return None

    def neediest(self, below: int) -> Face | None:
        """Return the face with the least cover, below a limit, that can take a pallet.

        A face that no crew has come to yet counts as having as many more as fit beside it, so that it comes after all others.
        """
        best, least, places = None, below, self._places
        for face in self.site.open_faces:
            cover = len(face.staged) + face.on_the_way
            if cover < least and cover + face.in_use < places and face.graded > face.laid:
                if not face.begun:
                    cover += places
                if cover < least and (face.due_full > 0 or face.due_half > 0):
                    best, least = face, cover
        return best

    def _scrape_together(self, because: Step) -> Carry | None:
        """Return a move of left-over mats; order more where even those would not do."""
        for pool in self.stock.pools:
            for face in pool:
                if (face.due_full > 0 or face.due_half > 0) and self._takes(face):
                    move = self._move_to(face, pool)
                    if move is not None:
                        return move
        self.stock.order_what_is_due(because)
        return None

    def _move_to(self, face: Face, pool: list[Face]) -> Carry | None:
        """Return a move to a face of what it lacks and another of its pool has left over, up to a pallet's load."""
        for origin in pool:
            full, half = origin.left_over
            room = self.stock.full + self.stock.half
            full = min(full, max(face.due_full, 0), room)
            half = min(half, max(face.due_half, 0), room - full)
            if full or half:
                return self._move(origin, face, full, half)
        return None

    def _takes(self, face: Face) -> bool:
        """Return whether a pallet may be set down at a face now."""
        free = len(face.staged) + face.on_the_way + face.in_use < self._places
        return free and face.graded > face.laid and face in self.site.open_faces

    def _move(self, origin: Face, face: Face, full: int, half: int) -> Carry:
        while origin.loose_full < full or origin.loose_half < half:
            origin.open_pallet()
        origin.loose_full -= full
        origin.loose_half -= half
        origin.due_full += full
        origin.due_half += half
        face.due_full -= full
        face.due_half -= half
        face.on_the_way += 1
        at = origin.plan.travel[min(origin.laid, origin.rows - 1)]
        return Carry(MOVE, face, (full, half), next(self._luck_of_moves), origin.index, at)

    def set_down(self, face: Face, mats: tuple[int, int], step: Step) -> None:
        """Stage a pallet at a face; a crew that waits for it opens it at once."""
        face.on_the_way -= 1
        face.staged.append(mats)
        event = face.waits_for_mats
        if event is not None:
            face.waits_for_mats = None
            face.open_pallet()
            event.succeed(step)

    def arrive(self, pallets: int, step: Step) -> Load:
        """Take a load that has just arrived; its event is fired when it is unloaded."""
        load = Load(list(islice(self._luck_of_loads, pallets)), self.site.env.event(), step)
        self.loads.append(load)
        self.arrived.append(load)
        self.jobs_for(1, step)
        return load

    def unloaded(self, load: Load, pallets: int, step: Step) -> None:
        """Set pallets of a load down in the yard; what is left of it goes to the next free forklift."""
        was_empty = not self.stock.yard
        self.stock.unloaded(pallets)
        load.done += pallets
        if load.done == len(load.luck):
            load.unloaded.succeed(step)
            self.site.load_unloaded(step)
        else:
            self.loads.insert(0, load)
            self.jobs_for(1, step)
        if was_empty and pallets:
            self.jobs_for_all(step)

    def leave(self, mats: Carry, step: Step) -> None:
        """Let mats stand where the forklift that carries them, or was to fetch them, broke down."""
        mats.stray = True
        self.strays.append(mats)
        self.jobs_for(1, step)

    def mats_rejected(self, face: Face, row: int, step: Step) -> None:
        """Note the damaged mats found in a row of a face: it needs as many more, and the spares shrink."""
        mats, face.seen = face.rejected[row], row + 1
        was_covered = face.due_full <= 0 and face.due_half <= 0
        face.due_full += mats[0]
        face.due_half += mats[1]
        self.stock.rejected(mats, step)
        if was_covered:
            self.jobs_for(1, step)

    def wait(self, forklift: int) -> Event:
        """Return the event that wakes a forklift when there may be a job for it."""
        event = self.site.env.event()
        heapq.heappush(self.idle, (forklift, event))
        return event

    def jobs_for(self, forklifts: int, step: Step) -> None:
        """Wake up to so many waiting forklifts, the lowest numbers, because of `step`: as many more jobs may be open."""
        while self.idle and forklifts > 0:
            forklifts -= 1
            heapq.heappop(self.idle)[1].succeed(step)

    def face_starves(self, face: Face, step: Step) -> None:
        """Free the places of opened pallets at a face without mats; it may lack what is left over at another."""
        nothing_comes = not (self.stock.yard or self.stock.incoming)
        self.jobs_for(max(face.in_use, int(nothing_comes)), step)
        face.in_use = 0

    def jobs_for_all(self, step: Step) -> None:
        """Wake every waiting forklift because of `step`: any number of jobs may be open."""
        self.jobs_for(len(self.idle), step)
