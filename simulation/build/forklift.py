"""A forklift: it takes the next job from the board, drives, lifts, and breaks down by its own operating hours."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from typing import Any

from simulation.build.board import Board, Load
from simulation.build.face import Face
from simulation.build.site import Site
from simulation.build.steps import END, FEED, MOVE, OFF_WORK, REPAIR, UNLOAD, Step
from simulation.chance import factors_of

Process = Generator[Any, Any, Any]


class Forklift:
    """One forklift of one build.

    Attributes
    ----------
    sound_for : float
        Hours at work until its next breakdown.
    since : float
        Hours after hour zero at which it is there.
    away : float
        Feet from the yard to where it stands.
    carries : (int, int)
        Full and half mats on its forks.
    """

    def __init__(self, number: int, actor: int, site: Site, board: Board) -> None:
        self.actor, self.site, self.board = actor, site, board
        self.since = site.plan.forklifts.since[number]
        self.away = 0.0
        self.carries = (0, 0)
        plan, levels, owner = site.plan, site.levels, str(number)

        def luck(name: str) -> Iterator[float]:
            return factors_of(plan.scatters[f"forklifts.{name}"], site.streams, name, owner)

        self._lift, self._gap, self._repair = luck("handle"), luck("breakdown_every"), luck("repair")
        # Hours are hours on shift: what it does in an operating hour takes 1 / efficiency of them.
        efficiency = levels["forklifts.efficiency"]
        self._handle = 2.0 * levels["forklifts.handle"] / efficiency  # a pallet is picked up once and set down once
        self._speed = plan.forklifts.speed * efficiency
        self._breakdown_every = levels["forklifts.breakdown_every"] / efficiency
        self.sound_for = self._breakdown_every * next(self._gap)

    def work(self) -> Process:
        """Do job after job while the forklifts' clock is open; between shifts nothing is decided."""
        site, board, stock = self.site, self.board, self.board.stock
        stretch = site.clocks["forklift"].stretch
        because, closes = site.zero, 0.0
        fresh, next_job, begin, set_down = (stock.full, stock.half), board.next, site.begin, board.set_down
        me, speed, handle, lift = self.actor, self._speed, self._handle, self._lift
        if self.since:
            because = yield site.late_start(self.since, me)
        while True:
            if because[END] >= closes:
                opens, closes = stretch(because[END])
                if opens > because[END]:
                    because = yield site.pause(OFF_WORK, opens, because, me)
            job = next_job(because)
            if job is None:
                because = yield board.wait(me)
                continue
            if isinstance(job, Face):
                self.carries = fresh
                travel = job.plan.travel[job.laid]
                hours = (self.away + travel) / speed + handle * next(lift)
                if hours < self.sound_for:
                    self.sound_for -= hours
                    because = yield begin(FEED, hours, because, me, job.index, job.laid)
                else:
                    because = yield from self.operate(FEED, hours, because, job)
                self.away = travel
                self.carries = (0, 0)
                set_down(job, fresh, because)
            elif isinstance(job, Load):
                hours = self.away / speed + job.pallets * handle * next(lift)
                because = yield from self.operate(UNLOAD, hours, because)
                self.away = 0.0
                was_empty = not stock.yard
                stock.unloaded(job.pallets)
                job.unloaded.succeed(because)
                site.load_unloaded(because)
                if was_empty:
                    board.jobs_for_all(because)
            else:
                self.carries = (job.full, job.half)
                start, end = (face.plan.travel[min(face.laid, face.rows - 1)] for face in (job.origin, job.face))
                hours = (self.away + start + end) / speed + handle * next(lift)
                because = yield from self.operate(MOVE, hours, because, job.face)
                self.away = end
                self.carries = (0, 0)
                set_down(job.face, (job.full, job.half), because)

    def operate(self, kind: int, hours: float, because: Step, face: Face | None = None) -> Process:
        """Do a job of so many hours at work; where a breakdown falls into it, repair and resume."""
        site, index = self.site, face.index if face else -1
        number = face.laid if face else -1
        while hours >= self.sound_for:
            hours -= self.sound_for
            because = yield site.begin(kind, self.sound_for, because, self.actor, index, number)
            repair = site.levels["forklifts.repair"] * next(self._repair)
            because = yield site.begin(REPAIR, repair, because, self.actor)
            self.sound_for = self._breakdown_every * next(self._gap)
        self.sound_for -= hours
        return (yield site.begin(kind, hours, because, self.actor, index, number))
