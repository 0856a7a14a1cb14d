"""The dispatch board: which job does a free forklift do next?

The board only hands out a job that can be carried to its end now; a forklift that set out for a pallet while the only pallets
sit on a truck would wait for ever. A laying edge with little cover comes first, then a load that waits, then whichever edge has
the least cover. Where no more pallets come at all, mats left over at one laying edge are moved to another that lacks them. What a
forklift that broke down has left somewhere comes before everything else: its laying edge counts on it.
"""

from __future__ import annotations

from heapq import heappop, heappush
from itertools import chain, islice

from simulation.chance import draw_factors
from simulation.construction.plan.steps import FEED, MOVE, Step
from simulation.construction.site.edges.laying_edge import LayingEdge
from simulation.construction.site.event_loop import Alarm
from simulation.construction.site.pallets.jobs import Carry, Job, Load
from simulation.construction.site.pallets.stock import Stock
from simulation.construction.site.site import Site


class Board:
    """The jobs of one run, and the forklifts that wait for one.

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
    carried : dict of int to (int, int)
        ``id`` of each step that carries a pallet, where pallets hold different mats -> its full and half mats.
    broken_off : dict of int to (int, float)
        ``id`` of each step that a breakdown ended -> where the forklift stands then, as in `ways`.
    idle : list of (int, Alarm)
        Forklifts that wait for a job, a heap by their numbers.
    """

    def __init__(self, site: Site, stock: Stock) -> None:
        self.site, self.stock = site, stock
        self.loads: list[Load] = []
        self.arrived: list[Load] = []
        self.strays: list[Carry] = []
        self.taken_over: set[int] = set()
        self.carried: dict[int, tuple[int, int]] = {}
        self.broken_off: dict[int, tuple[int, float]] = {}
        handle = site.plan.scatters["forklifts.handle"]
        self.luck, self._luck_of_loads, self._luck_of_moves = (
            draw_factors(handle, site.streams, "handle", owner) for owner in ("yard", "loads", "moves")
        )
        self.idle: list[tuple[int, Alarm]] = []
        self._places = site.plan.forklifts.places
        self._any_cover = 2 * self._places  # more than any laying edge has, begun or not
        self._urgent = site.plan.forklifts.urgent_below

    def next(self, because: Step) -> Job | None:
        """Return the next job, already committed to, or None where there is none that could be carried to its end."""
        stock, loads = self.stock, self.loads
        if self.strays:
            stray = next((carry for carry in self.strays if not _refuses(carry.edge)), None)
            if stray is not None:
                self.strays.remove(stray)
                return stray
        if stock.yard:
            edge = self.neediest(self._urgent if loads else self._any_cover)
            if edge is not None:
                if stock.mixed is not None:
                    return self._feed(edge, stock.mixed.take(edge))
                stock.yard -= 1
                edge.cover += 1
                edge.beside += 1
                edge.due_full -= stock.full
                edge.due_half -= stock.half
                return edge
        if loads:
            return loads.pop(0)
        if not stock.incoming and stock.spent():
            return self._scrape_together(because)
        return None

    def neediest(self, below: int) -> LayingEdge | None:
        """Return the laying edge with the least cover, below a limit, that can take a pallet.

        An edge that no crew has come to yet counts as having as many more as fit beside it, so that it comes after all others.
        """
        best, least, places = None, below, self._places
        for edge in self.site.open_edges:
            if edge.beside < places and edge.cover < least and edge.graded > edge.laid:
                if edge.closed and _refuses(edge):
                    continue
                cover = edge.cover if edge.begun else edge.cover + places
                if cover < least and (edge.due_full > 0 or edge.due_half > 0):
                    mixed = self.stock.mixed
                    if mixed is None or mixed.serves(edge):
                        best, least = edge, cover
        return best

    def _feed(self, edge: LayingEdge, mats: tuple[int, int]) -> Carry:
        """Return the trip that brings a laying edge a pallet of mats of its own."""
        self.stock.yard -= 1
        edge.cover += 1
        edge.beside += 1
        edge.due_full -= mats[0]
        edge.due_half -= mats[1]
        return Carry(FEED, edge, mats, next(self.luck), edge.index, 0.0)

    def _scrape_together(self, because: Step) -> Carry | None:
        """Return a move of left-over mats; order more where even those would not do."""
        for pool in self.stock.pools:
            for edge in pool:
                if (edge.due_full > 0 or edge.due_half > 0) and self._takes(edge):
                    move = self._move_to(edge, pool)
                    if move is not None:
                        return move
        if any(_refuses(edge) for pool in self.stock.pools for edge in pool if edge.due_full > 0 or edge.due_half > 0):
            return None  # what it lacks shows when it may be driven to
        self.stock.order_what_is_due(because)
        return None

    def _move_to(self, edge: LayingEdge, pool: list[LayingEdge]) -> Carry | None:
        """Return a move to a laying edge of what it lacks and another of its pool has left over, up to a pallet's load."""
        for origin in pool:
            full, half = origin.left_over
            room = self.stock.full + self.stock.half
            full = min(full, max(edge.due_full, 0), room)
            half = min(half, max(edge.due_half, 0), room - full)
            if full or half:
                return self._move(origin, edge, full, half)
        return None

    def _takes(self, edge: LayingEdge) -> bool:
        """Return whether a pallet may be set down at a laying edge now."""
        free = edge.beside < self._places
        return free and edge.graded > edge.laid and not edge.closed and edge in self.site.open_edges

    def _move(self, origin: LayingEdge, edge: LayingEdge, full: int, half: int) -> Carry:
        while origin.loose_full < full or origin.loose_half < half:
            origin.open_pallet()
        origin.loose_full -= full
        origin.loose_half -= half
        origin.due_full += full
        origin.due_half += half
        edge.due_full -= full
        edge.due_half -= half
        edge.cover += 1
        edge.beside += 1
        at = origin.plan.travel[min(origin.laid, origin.rows - 1)]
        return Carry(MOVE, edge, (full, half), next(self._luck_of_moves), origin.index, at)

    def hand_back(self, edge: LayingEdge, carry: Carry | None = None) -> None:
        """Leave a pallet for a laying edge in the yard, since it would come there when aircraft do."""
        stock = self.stock
        full, half = (stock.full, stock.half) if carry is None else carry.mats
        if carry is not None and stock.mixed is not None:
            stock.mixed.put([carry.mats])
            self.luck = chain([carry.luck], self.luck)  # it is of the next pallet that leaves
        stock.yard += 1
        edge.cover -= 1
        edge.beside -= 1
        edge.due_full += full
        edge.due_half += half
        edge.closed = edge.refused = True

    def set_down(self, edge: LayingEdge, mats: tuple[int, int], step: Step) -> None:
        """Stage a pallet at a laying edge; a crew that waits for it opens it at once."""
        edge.staged.append(mats)
        event = edge.waits_for_mats
        if event is not None:
            edge.waits_for_mats = None
            edge.open_pallet()
            event.succeed(step)

    def arrive(self, pallets: int, step: Step, mats: tuple[tuple[int, int], ...] = ()) -> Load:
        """Take a load that has just arrived; its event is fired when it is unloaded."""
        load = Load(list(islice(self._luck_of_loads, pallets)), self.site.env.event(), step, mats=mats)
        self.loads.append(load)
        self.arrived.append(load)
        self.jobs_for(1, step)
        return load

    def unloaded(self, load: Load, pallets: int, step: Step) -> None:
        """Set pallets of a load down in the yard; what is left of it goes to the next free forklift."""
        look_again = not self.stock.yard or self.stock.mixed is not None
        self.stock.unloaded(pallets, load.mats[load.done : load.done + pallets])
        load.done += pallets
        if load.done == len(load.luck):
            load.unloaded.succeed(step)
            self.site.load_unloaded(step)
        else:
            self.loads.insert(0, load)
            self.jobs_for(1, step)
        if look_again and pallets:
            self.jobs_for_all(step)

    def leave(self, mats: Carry, step: Step) -> None:
        """Let mats stand where the forklift that carries them, or was to fetch them, broke down."""
        mats.stray = True
        self.strays.append(mats)
        self.jobs_for(1, step)

    def mats_rejected(self, edge: LayingEdge, row: int, step: Step) -> None:
        """Note the damaged mats found in a row of a laying edge: it needs as many more, and the spares shrink."""
        mats, edge.seen = edge.rejected[row], row + 1
        look_again = self.stock.mixed is not None or (edge.due_full <= 0 and edge.due_half <= 0)
        edge.due_full += mats[0]
        edge.due_half += mats[1]
        self.stock.rejected(mats, step)
        if look_again:
            self.jobs_for(1, step)

    def wait(self, forklift: int, alarm: Alarm) -> Alarm:
        """Return the alarm of a forklift, which is rung when there may be a job for it."""
        heappush(self.idle, (forklift, alarm))
        return alarm

    def jobs_for(self, forklifts: int, step: Step) -> None:
        """Wake up to so many waiting forklifts, the lowest numbers, because of `step`: as many more jobs may be open."""
        while self.idle and forklifts > 0:
            forklifts -= 1
            heappop(self.idle)[1].ring(step)

    def edge_starves(self, edge: LayingEdge, step: Step) -> None:
        """Free the places of opened pallets at a laying edge without mats; it may lack what is left over at another."""
        if self.idle:
            self.jobs_for(max(edge.in_use, int(self.stock.spent())), step)
        edge.set_aside()

    def jobs_for_all(self, step: Step) -> None:
        """Wake every waiting forklift because of `step`: any number of jobs may be open."""
        self.jobs_for(len(self.idle), step)


def _refuses(edge: LayingEdge) -> bool:
    """Return whether a laying edge is closed to forklifts, and note that one was sent away from it."""
    edge.refused |= edge.closed
    return edge.closed
