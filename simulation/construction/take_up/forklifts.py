"""Forklifts of a take-up: pallets to the yard, loads onto trucks and aircraft, in the order in which they come up.

A forklift breaks down behind the trip in which its hours ran out.
"""

from __future__ import annotations

from typing import Any

from simulation.chance import draw_factors
from simulation.construction.plan.steps import BRING_IN, END, LATE_START, LOAD_OUT, OFF_WORK, REPAIR
from simulation.construction.site.event_loop import Process
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp, Fetch


class YardForklift:
    """One forklift of one take-up.

    Attributes
    ----------
    actor : int
    since : float
        Hours after the start at which it is there.
    """

    def __init__(self, number: int, actor: int, site: Site, field: ComingUp) -> None:
        self.number, self.actor, self.site, self.field = number, actor, site, field
        self.since = site.plan.forklifts.since[number]

    def work(self) -> Process:
        """Do job after job while the forklifts' clock is open."""
        site, field, me = self.site, self.field, self.actor
        plan, levels = site.plan, site.levels

        def draws(name: str) -> Any:
            return draw_factors(plan.scatters[f"forklifts.{name}"], site.streams, f"take up {name}", str(self.number))

        efficiency = levels["forklifts.efficiency"]
        speed, handle = plan.forklifts.speed * efficiency, 2.0 * levels["forklifts.handle"] / efficiency
        every, mend = levels["forklifts.breakdown_every"] / efficiency, levels["forklifts.repair"]
        lifts, gaps, repairs = draws("handle"), draws("breakdown_every"), draws("repair")
        stretch, begin = site.clocks["forklift"].stretch, site.begin
        sound, closes = every * next(gaps), 0.0
        because = site.zero
        if self.since > site.env.now:
            because = yield site.pause(LATE_START, self.since, site.zero, me)
        while True:
            if because[END] >= closes:
                opens, closes = stretch(because[END])
                if opens > because[END]:
                    because = yield site.pause(OFF_WORK, opens, because, me)
            if not field.jobs:
                because = yield field.wait_for_job(self.number)
                continue
            job = field.jobs.popleft()
            if isinstance(job, Fetch):
                hours = 2.0 * job.away / speed + handle * next(lifts)
                because = yield begin(BRING_IN, hours, because, me, job.edge)
                point, job.point.standing = job.point, job.point.standing - 1
                event, point.room_wait = point.room_wait, None
                if event is not None:
                    event.succeed(because)
                field.in_yard(job.pallet, because)
            else:
                hours = job.hours / efficiency
                because = yield begin(LOAD_OUT, hours, because, me, -1, len(job.pallets))
                field.out(job, because)
                job.loaded.succeed(because)
            sound -= hours
            if sound <= 0.0:
                because = yield begin(REPAIR, mend * next(repairs), because, me)
                sound = every * next(gaps)
