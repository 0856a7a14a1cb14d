"""What lies where at an hour of one run: rows, graded ground, pallets, every mat?

Worked out from the trace and the waits, by going through what began and what ended up to that hour. A row counts as laid when its
step ends, a pallet as opened when the row that needs it begins, or when its laying edge waits for more mats all the same.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from simulation.construction import Finished
from simulation.construction.plan.steps import (
    ACTOR,
    BACKFILL,
    CONNECT,
    DRILL,
    EDGE,
    END,
    FEED,
    GRADING,
    KEY_STRIP,
    KIND,
    NUMBER,
    RAIL,
    RESEAT,
    ROW,
    START,
    STARTER,
    TASK,
)
from simulation.construction.site.edges.waits import FOR_MATS
from simulation.construction.trace.temporary_ends import list_ends
from simulation.questions.replay.forklift_jobs import list_consignments, list_jobs, list_shipments_lost
from simulation.questions.replay.stand import Mats, Stand


class _Edge:
    """One laying edge while the hours go by; mats are (full, half)."""

    def __init__(self, run: Finished, index: int) -> None:
        edge = run.site.edges[index]
        self.rows, self.full, self.half = edge.rows, edge.plan.full, edge.plan.half
        self.rejected = edge.rejected
        self.laid = self.taken = 0
        self.staged: list[tuple[int, int]] = []
        self.graded, self.slices = edge.plan.graded, dict[int, int]()
        self.loose = [0, 0]
        self.strips: set[int] = set()

    def take_up(self, upto: int) -> None:
        """Take the mats of rows up to `upto`, and open pallets as far as the first of these rows needs them."""
        if upto > self.taken:
            self.open_for_a_row()
        full, half = self.mats(self.taken, upto)
        self.loose[0] -= full
        self.loose[1] -= half
        self.taken = max(self.taken, upto)

    def open_for_a_row(self) -> None:
        """Open pallets as far as the next row needs them, or all that are there."""
        full, half = self.mats(self.taken, self.taken + 1)
        while self.staged and (self.loose[0] < full or self.loose[1] < half):
            self.open_pallet()

    def mats(self, first: int, upto: int) -> tuple[int, int]:
        """Return the mats that rows take, those found damaged included."""
        damaged = [self.rejected[row] for row in range(first, upto) if row in self.rejected]
        full, half = (sum(mats[kind] for mats in damaged) for kind in (0, 1))
        return sum(self.full[first:upto]) + full, sum(self.half[first:upto]) + half

    def open_pallet(self) -> None:
        pallet = self.staged.pop(0)
        self.loose[0] += pallet[0]
        self.loose[1] += pallet[1]

    def lay(self, upto: int, last: bool) -> None:
        self.laid = max(self.laid, upto)
        while last and self.staged:  # what is left at a finished laying edge is opened, so that it can be moved
            self.open_pallet()

    def grade(self, first: int, upto: int) -> None:
        self.slices[first] = upto
        while self.graded in self.slices:  # two gangs may finish out of order
            self.graded = self.slices.pop(self.graded)


class _Ledger:
    """The site while the hours go by."""

    def __init__(self, run: Finished) -> None:
        plan = run.site.plan
        self.pallet = (plan.supply.full, plan.supply.half)
        self.edges = [_Edge(run, index) for index in range(len(plan.edges))]
        self.railed = {rail.edge: 0 for rail in plan.rails}
        self.after_rows = {n: 0 for n, actor in enumerate(run.actors) if actor.kind == "following"}
        self.prepared: set[int] = set()
        self.joined: set[int] = set()
        self.ends: set[int] = set()
        self.supplied, self.yard = plan.supply.total, plan.supply.on_hand
        self.at_port = plan.supply.total - plan.supply.on_hand
        self.kept = min(self.at_port, sum(shipment.pallets for shipment in plan.supply.shipments))
        self.ships = bool(plan.supply.shipments)
        self.on_road = self.waiting = self.loads = 0
        #: Full and half mats that have come, and of these the ones that left the yard, and that are on forks.
        self.come = [self.yard * on for on in self.pallet]
        self.fetched, self.on_forks = [0, 0], [0, 0]

    def add(self, **changes: int) -> None:
        """Add to counts."""
        for name, change in changes.items():
            setattr(self, name, getattr(self, name) + change)

    def unload(self, mats: tuple[int, int], **changes: int) -> None:
        """Set pallets of so many mats down in the yard."""
        self.add(**changes)
        for kind in (0, 1):
            self.come[kind] += mats[kind]

    def fetch(self, mats: tuple[int, int]) -> None:
        """Take a pallet out of the yard."""
        self.yard -= 1
        for kind in (0, 1):
            self.fetched[kind] += mats[kind]
            self.on_forks[kind] += mats[kind]

    def feed(self, index: int, mats: tuple[int, int]) -> None:
        """Set a pallet down at a laying edge; one that comes when its last row lies is opened at once."""
        edge = self.edges[index]
        for kind in (0, 1):
            self.on_forks[kind] -= mats[kind]
        edge.staged.append(mats)
        if edge.laid == edge.rows:
            edge.open_pallet()

    def stand(self, hour: float) -> Stand:
        """Return the stand now."""
        edges = self.edges
        return Stand(
            hour,
            tuple(edge.laid for edge in edges),
            tuple(edge.taken - edge.laid for edge in edges),
            tuple(edge.graded for edge in edges),
            tuple(len(edge.staged) for edge in edges),
            tuple(frozenset(edge.strips) for edge in edges),
            frozenset(self.prepared),
            frozenset(self.joined),
            self.yard,
            self.at_port,
            self.on_road,
            self.waiting,
            self.loads,
            self.mats(0),
            self.mats(1),
            tuple(self.railed.values()),
            tuple(self.after_rows.values()),
            frozenset(self.ends),
            by_shipment=self.kept if self.ships else None,
        )

    def mats(self, kind: int) -> Mats:
        """Return where the mats of one kind are; those of a laying edge that lent some to another are counted at the edges."""
        on_pallet, edges = self.pallet[kind], self.edges
        return Mats(
            supplied=self.supplied * on_pallet,
            to_come=self.supplied * on_pallet - self.come[kind],
            yard=self.come[kind] - self.fetched[kind],
            on_forks=self.on_forks[kind],
            at_edges=sum(edge.loose[kind] + sum(mats[kind] for mats in edge.staged) for edge in edges),
            in_work=sum(sum((edge.full, edge.half)[kind][edge.laid : edge.taken]) for edge in edges),
            laid=sum(sum((edge.full, edge.half)[kind][: edge.laid]) for edge in edges),
            rejected=sum(mats[kind] for edge in edges for row, mats in edge.rejected.items() if row < edge.taken),
        )


def take_off_stands(run: Finished, hours: Sequence[float]) -> list[Stand]:
    """Return how the site stands at each of the rising `hours` of a run.

    Parameters
    ----------
    run : Finished
    hours : sequence of float
        Hours since the start, none of them after the end of the run.

    Notes
    -----
    Left-over mats that a forklift moves from one edge to another are counted at the edges throughout: the trace does not say how
    many they are.
    """
    ledger = _Ledger(run)
    happened = sorted(_changes(run, ledger), key=lambda change: change[:3])
    stands: list[Stand] = []
    at = 0
    for hour in hours:
        while at < len(happened) and happened[at][0] <= hour:
            happened[at][3]()
            at += 1
        stands.append(ledger.stand(hour))
    return stands


#: (hour, 0 for an end and 1 for a beginning, place in the order of the trace, what to do)
_Change = tuple[float, int, int, Callable[[], object]]


def _changes(run: Finished, ledger: _Ledger) -> list[_Change]:
    """Return everything that changes the ledger; of one moment, what ends comes before what begins."""
    jobs = list_jobs(run)
    changes = _supply_changes(run, ledger) + _ground_changes(run, ledger)
    for edge, what, since, _ in run.site.waits:
        if what in FOR_MATS:  # a crew waits when it has opened what is there; no row need ever follow
            changes.append((since, 1, -1, ledger.edges[edge].open_for_a_row))
    for index, job in enumerate(jobs):
        if job.kind == FEED and not job.stray:
            changes.append((job.start, 1, index, partial(ledger.fetch, job.mats)))
        if job.kind == FEED and job.broke_down is None:
            changes.append((job.end, 0, index, partial(ledger.feed, job.edge, job.mats)))
    return changes


def _supply_changes(run: Finished, ledger: _Ledger) -> list[_Change]:
    changes: list[_Change] = []
    for known, lost in list_shipments_lost(run):
        changes.append((known, 0, -1, partial(ledger.add, supplied=-lost, at_port=-lost, kept=-lost)))
    for index, load in enumerate(list_consignments(run)):
        pallets, add = load.pallets, ledger.add
        if load.again:
            changes.append((load.sets_out, 1, index, partial(add, supplied=pallets, on_road=pallets)))
        else:
            kept = -pallets if run.actors[load.actor].kind == "shipment" else 0
            changes.append((load.sets_out, 1, index, partial(add, at_port=-pallets, on_road=pallets, kept=kept)))
        changes.append((load.arrives, 0, index, partial(add, on_road=-pallets, waiting=pallets, loads=1)))
        for (start, end, unloaded), mats in zip(load.pieces, load.mats, strict=True):  # a breakdown leaves the rest waiting
            changes.append((start, 1, index, partial(add, loads=-1)))
            down = partial(ledger.unload, mats, waiting=-unloaded, yard=unloaded, loads=int(end != load.unloaded))
            changes.append((end, 0, index, down))
    return changes


def _ground_changes(run: Finished, ledger: _Ledger) -> list[_Change]:
    plan, trace = run.site.plan, run.site.trace
    slices = {(piece.edge, piece.upto): piece for piece in plan.slices}
    # What one crew begins and another finishes is several steps; rows are laid, strips and connectors set, when the last ends.
    ends = {(step[KIND], step[EDGE], step[NUMBER]): index for index, step in enumerate(trace)}
    changes: list[_Change] = []
    for edge_index, made, gone in list_ends(run):
        changes.append((made, 0, len(trace), partial(ledger.ends.add, edge_index)))
        changes.append((gone, 0, len(trace), partial(ledger.ends.discard, edge_index)))
    for at_index, step in enumerate(trace):
        kind, start, end, index, number = step[KIND], step[START], step[END], step[EDGE], step[NUMBER]
        if kind == ROW:
            edge = ledger.edges[index]
            changes.append((start, 1, at_index, partial(edge.take_up, number)))
            if ends[kind, index, number] == at_index:
                changes.append((end, 0, at_index, partial(edge.lay, number, number == edge.rows)))
        elif kind == RESEAT:
            edge = ledger.edges[index]
            changes.append((end, 0, at_index, partial(edge.lay, number, number == edge.rows)))
        elif kind in (KEY_STRIP, STARTER, CONNECT, GRADING, RAIL) and ends[kind, index, number] != at_index:
            continue
        elif kind == GRADING:
            piece = slices[index, number]
            changes.append((end, 0, at_index, partial(ledger.edges[piece.edge].grade, piece.first, piece.upto)))
        elif kind == KEY_STRIP:
            changes.append((end, 0, at_index, partial(ledger.edges[index].strips.add, number)))
        elif kind == STARTER:
            changes.append((end, 0, at_index, partial(ledger.prepared.add, plan.edges[index].area)))
        elif kind == RAIL:
            changes.append((end, 0, at_index, partial(ledger.railed.update, {index: number})))
        elif kind in (DRILL, BACKFILL, TASK):
            changes.append((end, 0, at_index, partial(ledger.after_rows.update, {step[ACTOR]: number})))
        elif kind == CONNECT:
            changes.append((end, 0, at_index, partial(ledger.joined.add, plan.edges[index].area)))
    return changes
