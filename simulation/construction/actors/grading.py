"""A grading gang: it prepares slice after slice of the ground in the order in which the crews come to it.

Where heavy rain may undo ground that is graded and not yet covered, what it undoes is graded again first.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import replace

from simulation.chance import draw_factors
from simulation.conditions.stops.heavy_rain import HeavyRain
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan import Slice
from simulation.construction.plan.steps import END, GRADE_AGAIN, GRADING, LATE_START, OPEN_TO_RAIN
from simulation.construction.site.event_loop import Process
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site


class Ground:
    """The ground still to be graded, and the luck of each slice, whichever gang comes to it.

    Attributes
    ----------
    heavy : HeavyRain or None
        When heavy rain ends; None where it undoes nothing.
    """

    def __init__(self, site: Site) -> None:
        plan, levels = site.plan, site.levels
        efficiency = levels["grading.efficiency"]  # hours are hours on shift
        self.rate, self.trench = levels["grading.rate"] * efficiency, levels["grading.trench"] / efficiency
        self.slices: Iterator[Slice] = iter(plan.slices)
        owners = [f"{plan.areas[edge.area].name}.{'up' if edge.upward else 'down'}" for edge in plan.edges]
        self._pace = [draw_factors(plan.scatters["grading.rate"], site.streams, "grading", owner) for owner in owners]
        self._dig = [draw_factors(plan.scatters["grading.trench"], site.streams, "trench", owner) for owner in owners]
        self._site = site
        self._undone: deque[Slice] = deque()
        self._rained = site.env.now
        self.heavy = HeavyRain(site.sky) if plan.again else None
        if plan.state is not None:
            self.slices = iter(list(self._left(plan.state)))

    def _left(self, state: FieldState) -> Iterator[Slice]:
        """Yield what is left of the slices at the moment at which the run begins.

        Where nobody says how far the ground is ready, it is as far as the gangs come by then at this run's rate.
        """
        site, clock = self._site, self._site.clocks["grading"]
        since = min(site.plan.gangs_since, state.at)
        budget = site.plan.gangs * clock.worked(since, state.at) if state.at > since else 0.0
        for piece in site.plan.slices:
            edge, known = site.edges[piece.edge], state.edges[piece.edge].graded
            if known is None:
                whole = self.hours(GRADING, piece)
                share = min(1.0, budget / whole) if whole > 0.0 else 1.0
                budget -= whole * share
                done = max(piece.first + share * (piece.upto - piece.first), min(edge.laid, piece.upto))
            else:
                done = min(max(known, piece.first), piece.upto)
                if done == piece.upto:
                    self.hours(GRADING, piece)  # its luck is used up
            edge.grade_up_to(max(edge.graded, int(done)))
            if done < piece.upto:
                left = (piece.upto - done) / (piece.upto - piece.first)
                yield replace(piece, first=int(done), left=left)

    def next(self) -> tuple[int, Slice] | None:
        """Return the kind of step and the slice that a gang is to grade now, if there is one."""
        if self.heavy is not None:
            self.rain_until(self._site.env.now)
            if self._undone:
                return GRADE_AGAIN, self._undone.popleft()
        piece = next(self.slices, None)
        return None if piece is None else (GRADING, piece)

    def hours(self, kind: int, piece: Slice) -> float:
        """Return the hours that a slice takes, the trenches in it included."""
        if kind == GRADE_AGAIN:
            return self._site.plan.again * piece.square_feet / self.rate
        hours = piece.square_feet / (self.rate * next(self._pace[piece.edge]))
        for _ in range(piece.trenches):
            hours += self.trench * next(self._dig[piece.edge])
        return hours if piece.left == 1.0 else piece.left * hours

    def rain_until(self, now: float) -> None:
        """Let the heavy rain that has ended since this was last asked undo its share of the ground that lies open."""
        assert self.heavy is not None
        for _ in self.heavy.ends(self._rained, now):
            self._undo(self._site.levels["grading.undone"])
        self._rained = now

    def _undo(self, share: float) -> None:
        for edge in self._site.edges:
            lost = int(share * (edge.graded - edge.taken) + 0.5)
            if lost and not edge.done.triggered:
                graded = edge.graded
                edge.grade_up_to(graded - lost)
                # The nearest first: what lies behind a gap is of no use to the crew.
                self._undone.appendleft(Slice(edge.index, edge.graded, graded, lost * edge.plan.row_area, 0))


def gang(site: Site, board: Board, ground: Ground, actor: int) -> Process:
    """Grade slice after slice until none is left, and none can be undone."""
    because = site.zero
    if site.plan.gangs_since > site.env.now:
        because = yield site.pause(LATE_START, site.plan.gangs_since, site.zero, actor)
    while True:
        job = ground.next()
        if job is None:
            if ground.heavy is None:
                return
            because = yield site.pause(OPEN_TO_RAIN, ground.heavy.next_look(because[END]), because, actor)
            continue
        kind, piece = job
        step = kind, ground.hours(kind, piece), because, actor, piece.edge, piece.upto
        if site.plan.flying is None:
            because = yield site.begin(*step)
        else:
            edge = site.edges[piece.edge]
            because = yield from site.flying.work(edge, site.begin, "grading", *step, before=piece.upto)
        if site.ground_ready(piece, because):
            board.jobs_for_all(because)


def undoing(site: Site, ground: Ground) -> Process:
    """Let heavy rain undo ground at the moment at which it ends, whatever the gangs are at."""
    assert ground.heavy is not None
    while True:
        yield site.env.timeout(ground.heavy.next_look(site.env.now) - site.env.now)
        ground.rain_until(site.env.now)
