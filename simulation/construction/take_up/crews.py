"""Crews that take a field up: those who lift, opening section after section, and those who handle what they lift.

A crew waits where too many mats lie loose beside it; its handlers wait where as many pallets stand there as there is room for.
"""

from __future__ import annotations

import math
from typing import cast

import simpy

from simulation.construction.actors.attendance import Attendance
from simulation.construction.plan.steps import (
    BAND,
    END,
    ENDS_OFF,
    GONE_HOME,
    H_HOUR,
    KIND,
    LATE_START,
    LIFT,
    RAIL_UP,
    SORT,
    TIE_DOWNS_OFF,
    Step,
)
from simulation.construction.plan.take_up_plan import UP
from simulation.construction.site.edges.waits import FORKLIFTS, HANDLERS, RAMPS
from simulation.construction.site.event_loop import Process
from simulation.construction.take_up.coming_up import ComingUp, Fetch
from simulation.construction.take_up.mat_luck import STATES
from simulation.construction.take_up.pallet_up import PalletUp
from simulation.construction.take_up.parties import Party, Point
from simulation.construction.take_up.section import Section


class Lifters:
    """Those of a crew who lift.

    Parameters
    ----------
    field : ComingUp
    party : Party
    point : Point
    """

    def __init__(self, field: ComingUp, party: Party, point: Point) -> None:
        self.field, self.site, self.party, self.point = field, field.site, party, point
        self.shifts, self.clock = Attendance(party.plan.shifts), self.site.clocks[party.plan.clock]
        self.begin = self.site.begin_on(party.plan.clock)
        self.ends = math.inf

    def work(self) -> Process:
        """Be at section after section until none is left; where crews keep different shifts, only while its own lasts."""
        site, field, plan, me = self.site, self.field, self.party.plan, self.party.number
        because = site.zero
        if plan.since > site.env.now:
            because = yield site.pause(LATE_START, plan.since, site.zero, me)
        while True:
            comes = self.shifts.comes(because[END])
            if math.isinf(comes):
                break
            if comes > because[END]:
                because = yield site.pause(GONE_HOME, comes, because, me, plan.clock)
            section, later = field.next_section(plan.areas)
            if section is not None:
                because = yield from self.take_up(section, because)
                field.leave_section(section, because)
                if section.work and because[END] < self.ends:  # too little is left of its shift for another piece of work
                    comes = self.shifts.comes(self.ends)
                    if math.isinf(comes):
                        break
                    because = yield site.pause(GONE_HOME, comes, because, me, plan.clock)
            elif later:
                because = yield field.wait_for_point()
            else:
                break
        self.point.done = True
        self.wake_handlers(because)

    def take_up(self, section: Section, because: Step) -> Process:
        """Open a section and take its rows up, as far as the shift goes; return the last step."""
        field, point, plan, edge = self.field, self.point, section.plan, section.plan.edge
        work = section.open(field)
        self.ends = ends = self.shifts.until(because[END])
        # What would fill a whole shift is begun at its start.
        fresh = because[END] if because[KIND] in (GONE_HOME, H_HOUR, LATE_START) else -1.0
        if plan.ramps and plan not in field.dug:
            field.ramp_waits[plan] = field.wait(edge, RAMPS, self.party)
            because = yield field.ramp_waits[plan]
        paces = field.luck.lift(plan, self.party.plan.people)
        while work:
            kind, hours, number = work[0]
            index = section.index(number) if kind == LIFT else -1
            if kind == LIFT:
                hours, mats = paces[index], plan.mats[index]
                while point.loose and point.loose + mats > field.plan.loose:
                    point.lifters_wait = event = field.wait(edge, HANDLERS, self.party)
                    if math.isinf(ends):
                        because = yield event
                        continue
                    yield event | simpy.Timeout(self.site.env, max(0.0, ends - self.site.env.now))
                    if not event.triggered:  # nobody stays for it: the wait ends with the shift
                        point.lifters_wait = None
                        home = self.site.stood(GONE_HOME, because, self.party.number, self.party.plan.clock)
                        event.succeed(home)
                        return home
                    because = cast("Step", event.value)
            if kind in (TIE_DOWNS_OFF, ENDS_OFF):  # as many teams as they make
                hours /= max(1, self.party.plan.people // self.site.plan.laying.team_size)
            now = because[END]
            if ends < math.inf and now != fresh and self.clock.finish(now, hours) > ends:
                return because
            work.popleft()
            because = yield self.begin(kind, hours, because, self.party.number, edge, number)
            if kind == LIFT:
                point.loose += mats
                point.rows.append((plan.area, number, edge, plan.away[index]))
                field.lifted.append((plan.area, number))
                if number == plan.rows[-1]:
                    work.extend(field.free_rails(section))
                self.wake_handlers(because)
            if kind in (LIFT, RAIL_UP):
                field.count_out(UP, ((plan.area, 1),), because)
        return because

    def wake_handlers(self, step: Step) -> None:
        """Let handlers that have nothing to do look again."""
        event, self.point.handlers_wait = self.point.handlers_wait, None
        if event is not None:
            event.succeed(step)


class Handlers:
    """Those of a crew who clean, inspect, sort, stack and band."""

    def __init__(self, field: ComingUp, party: Party, point: Point, owner: str) -> None:
        self.field, self.site, self.party, self.point = field, field.site, party, point
        self.begin = self.site.begin_on(party.plan.clock)
        self.band = field.luck.each("band", owner)
        self.people = party.plan.people

    def work(self) -> Process:
        """Handle row after row as it comes up, and the pallets that are left at the end."""
        field, point, site = self.field, self.point, self.site
        because = site.zero
        if self.party.plan.since > site.env.now:
            because = yield site.pause(LATE_START, self.party.plan.since, site.zero, self.party.number)
        edge, away = -1, 0.0
        while True:
            if not point.rows:
                if point.done:
                    break
                point.handlers_wait = site.env.event()
                because = yield point.handlers_wait
                continue
            area, row, edge, away = point.rows.popleft()
            hours = field.luck.sort[area][row] / self.people
            because = yield self.begin(SORT, hours, because, self.party.number, edge, row)
            mats = field.luck.mats[area][row]
            point.loose -= int(mats.sum())
            event, point.lifters_wait = point.lifters_wait, None
            if event is not None:
                event.succeed(because)
            for state in range(len(STATES)):
                for half in (0, 1):
                    for pallet in self.put(state, not half, area, int(mats[state, half])):
                        because = yield from self.stand(pallet, edge, away, because)
        for (state, full), mats in sorted(point.begun.items()):
            if mats:
                because = yield from self.stand(_pallet(state, full, mats), edge, away, because)
        field.at_work -= 1
        if not field.at_work:
            field.all_banded = True
            field.offer(because)

    def put(self, state: int, full: bool, area: int, count: int) -> list[PalletUp]:
        """Put mats on the pallet that is begun for them, and return each pallet that this fills."""
        closed: list[PalletUp] = []
        if not count:
            return closed
        begun = self.point.begun.setdefault((state, full), {})
        holds = self.field.plan.pallet // (2 if full else 1)
        for _ in range(count):
            if sum(begun.values()) >= holds:
                closed.append(_pallet(state, full, begun))
                begun.clear()
            begun[area] = begun.get(area, 0) + 1
        return closed

    def stand(self, pallet: PalletUp, edge: int, away: float, because: Step) -> Process:
        """Band a pallet and set it down where a forklift takes it; return the last step."""
        field, point = self.field, self.point
        because = yield self.begin(BAND, next(self.band) / self.people, because, self.party.number, edge)
        while point.standing >= self.site.plan.forklifts.places:
            point.room_wait = field.wait(edge, FORKLIFTS, self.party)
            because = yield point.room_wait
        point.standing += 1
        field.made += 1
        field.pallets.append(pallet)
        field.job(Fetch(pallet, point, away, edge), because)
        return because


def _pallet(state: int, full: bool, mats: dict[int, int]) -> PalletUp:
    return PalletUp(STATES[state], full, sum(mats.values()), tuple(sorted(mats.items())))
