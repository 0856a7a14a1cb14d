"""A forklift: it takes the next job from the board, drives, lifts, and breaks down by its own operating hours.

What a breakdown interrupts goes back to the board: a pallet stands where the forklift broke down, and the rest of a load stays on
its truck, until whichever forklift is free first takes it over.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate

from simulation.chance import draw_factors, left_of
from simulation.construction.actors.ways import Spot, feet_between, spot_after
from simulation.construction.plan.steps import END, FEED, LATE_START, OFF_WORK, REPAIR, UNLOAD, Step
from simulation.construction.site.edges.laying_edge import LayingEdge
from simulation.construction.site.event_loop import Process
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.jobs import Carry, Load
from simulation.construction.site.site import Site


class Forklift:
    """One forklift of one run.

    Attributes
    ----------
    sound_for : float
        Hours at work until its next breakdown.
    since : float
        Hours after the start at which it is there.
    away : float
        Feet from the yard to where it stands.
    on : int
        The laying edge on whose way it stands; −1 in the yard.
    carries : (int, int)
        Full and half mats on its forks.
    down_since : float or None
        Since when it was under repair where the run began; None once that is told.
    """

    def __init__(self, number: int, actor: int, site: Site, board: Board) -> None:
        self.actor, self.site, self.board = actor, site, board
        self.since = site.plan.forklifts.since[number]
        self.away, self.on = 0.0, -1
        self.carries = (0, 0)
        self.down_since = None if site.plan.state is None else site.plan.state.down_since(number)
        plan, levels, owner = site.plan, site.levels, str(number)

        def luck(name: str) -> Iterator[float]:
            return draw_factors(plan.scatters[f"forklifts.{name}"], site.streams, name, owner)

        self._gap, self._repair = luck("breakdown_every"), luck("repair")
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
        flies, alarm = site.plan.flying is not None, site.env.alarm()
        me, speed, handle, luck = self.actor, self._speed, self._handle, board.luck
        if self.since > site.env.now:
            self.down_since = None
            because = yield site.pause(LATE_START, self.since, site.zero, me)
        elif self.down_since is not None:
            because = yield from self.repair(because)
        while True:
            if because[END] >= closes:
                opens, closes = stretch(because[END])
                if opens > because[END]:
                    because = yield site.pause(OFF_WORK, opens, because, me)
            job = next_job(because)
            if job is None:
                because = yield board.wait(me, alarm)
                continue
            if isinstance(job, LayingEdge):
                flown = flies and job.area.flown
                if flown and not site.flying.may_drive(job, (self.away + job.plan.travel[job.laid]) / speed + handle):
                    board.hand_back(job)
                    continue
                factor, travel = next(luck), job.plan.travel[job.laid]
                hours = (self.away + travel) / speed + handle * factor
                if hours >= self.sound_for:
                    because = yield from self.carry(Carry(FEED, job, fresh, factor, job.index, 0.0), because)
                    continue
                self.carries = fresh
                self.sound_for -= hours
                if flown:
                    because = yield site.flying.begin_trip(job, hours)(FEED, hours, because, me, job.index, job.laid)
                else:
                    because = yield begin(FEED, hours, because, me, job.index, job.laid)
                self.away, self.on = travel, job.index
                self.carries = (0, 0)
                set_down(job, fresh, because)
            elif isinstance(job, Load):
                because = yield from self.unload(job, because)
            elif flies and self.must_turn_back(job):
                board.hand_back(job.edge, job)
            else:
                because = yield from self.carry(job, because)

    def must_turn_back(self, job: Carry) -> bool:
        """Return whether a pallet from the yard would come to its laying edge when aircraft do."""
        edge = job.edge
        if job.kind != FEED or job.stray or not edge.area.flown:
            return False
        hours = (self.away + edge.plan.travel[edge.laid]) / self._speed + self._handle * job.luck
        return not self.site.flying.may_drive(edge, hours)

    def carry(self, job: Carry, because: Step) -> Process:
        """Bring mats from where they stand to their laying edge, or as far as it comes."""
        site, board, edge = self.site, self.board, job.edge
        here, there = Spot(self.on, self.away), Spot(job.on, job.at)
        to = Spot(edge.index, edge.plan.travel[min(edge.laid, edge.rows - 1)])
        empty, laden = feet_between(here, there) / self._speed, feet_between(there, to) / self._speed
        lift = 0.5 * self._handle * job.luck
        pick, put = lift - job.picked, lift - job.put
        hours, sound = empty + pick + laden + put, self.sound_for
        breaks = hours >= sound
        self.carries = job.mats
        spent = sound if breaks else hours
        step = site.flying.begin_trip(edge, spent)(job.kind, spent, because, self.actor, edge.index, edge.laid)
        if job.stray:
            board.taken_over.add(id(step))
        if board.stock.mixed is not None:
            board.carried[id(step)] = job.mats
        if not breaks:
            self.sound_for -= hours
            because = yield step
            self.on, self.away = to
            self.carries = (0, 0)
            board.set_down(edge, job.mats, because)
            return because
        sound -= empty
        if sound < pick:  # what is done of picking a pallet up, or of setting it down, need not be done again
            job.picked += max(sound, 0.0)
            self.on, self.away = spot_after(here, there, (empty + min(sound, 0.0)) * self._speed)
        elif sound - pick < laden:  # it stands on the way, to be picked up again
            job.picked = 0.0
            job.on, job.at = self.on, self.away = spot_after(there, to, (sound - pick) * self._speed)
        else:
            job.picked = lift
            job.put += sound - pick - laden
            job.on, job.at = self.on, self.away = to
        board.broken_off[id(step)] = (self.on, self.away)
        because = yield step
        self.carries = (0, 0)
        board.leave(job, because)
        return (yield from self.repair(because))

    def unload(self, load: Load, because: Step) -> Process:
        """Unload what is left of a load, or as many of its pallets as it gets done."""
        site, board, sound, handle = self.site, self.board, self.sound_for, self._handle
        drive, left, whole = self.away / self._speed, load.luck[load.done :], -load.begun
        for luck in left:
            whole += handle * luck
        hours = drive + whole
        if hours < sound:
            self.sound_for -= hours
            step = site.begin(UNLOAD, hours, because, self.actor)
            load.pieces.append((step, len(left)))
            because = yield step
            self.on, self.away = -1, 0.0
            board.unloaded(load, len(left), because)
            return because
        ends = list(accumulate((handle * luck for luck in left), initial=-load.begun))[1:]
        pallets = sum(drive + end <= sound for end in ends[:-1])
        if sound > drive:
            load.begun = sound - drive - ends[pallets - 1] if pallets else load.begun + sound - drive
        step = site.begin(UNLOAD, sound, because, self.actor)
        load.pieces.append((step, pallets))
        self.on, self.away = spot_after(Spot(self.on, self.away), Spot(-1, 0.0), min(sound, drive) * self._speed)
        board.broken_off[id(step)] = (self.on, self.away)
        because = yield step
        board.unloaded(load, pallets, because)
        return (yield from self.repair(because))

    def repair(self, because: Step) -> Process:
        """Stand where it broke down until it is repaired; whatever it was doing is left to others."""
        level, luck = self.site.levels["forklifts.repair"], next(self._repair)
        hours = level * luck
        if self.down_since is not None:  # under repair since before the run began
            since, now, self.down_since = self.down_since, because[END], None
            hours = left_of(
                level, self.site.plan.scatters["forklifts.repair"], luck, self.site.clocks["repair"].worked(since, now)
            )
        because = yield self.site.begin(REPAIR, hours, because, self.actor)
        self.sound_for = self._breakdown_every * next(self._gap)
        return because
