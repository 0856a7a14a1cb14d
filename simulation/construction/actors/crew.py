"""A crew: it comes on shift, goes to a laying edge of its areas, is there until the edge is done or its shift ends, and goes on.

Where crews keep different shifts, a laying edge belongs to nobody: who comes on shift looks for one that nobody on shift is at.
"""

from __future__ import annotations

import math
from operator import itemgetter

from simulation.construction.actors.attendance import Attendance
from simulation.construction.actors.laying import Laying
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan import CrewPlan
from simulation.construction.plan.steps import CHANGE_EDGE, END, LATE_START, NO_CREW, Step
from simulation.construction.site.edges.laying_edge import LayingEdge
from simulation.construction.site.event_loop import Process
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site

#: Hours that must be left of a shift when a crew comes to another laying edge.
_IN_TIME = 1e-6


class Crew:
    """One crew of one run.

    Attributes
    ----------
    number : int
        Its number as an actor.
    shifts : Attendance
        When it is there.
    rows_laid : int
        What it has learned from, where it learns.
    merged : list of (int, int, float, float)
        With which crew it put its people together, at which laying edge, from when to when.
    stays : list of (float, int, float)
        From when, at which laying edge and until when it was there; infinite where it stayed until the laying edge was done.
    last : Step
        The last step that it did.
    was_at : Laying edge or None
        The laying edge that it came to last.
    lent : int
        Its people who are at tasks.
    begin : callable
        `Site.begin`, by the clock that it goes by.
    """

    def __init__(self, number: int, plan: CrewPlan, site: Site, board: Board) -> None:
        self.number, self.plan, self.site, self.board = number, plan, site, board
        self.shifts = Attendance(plan.shifts)
        self.rows_laid = 0
        self.merged: list[tuple[int, int, float, float]] = []
        self.stays: list[tuple[float, int, float]] = []
        self.last = site.zero
        self.was_at: LayingEdge | None = None
        self.begin = site.begin_on(plan.clock)
        self.lent = 0
        self._luck_of_days: list[float] = []
        self._stood_at: LayingEdge | None = None
        if site.plan.state is not None:
            self.stand(site.plan.state)

    def stand(self, state: FieldState) -> None:
        """Stand where it did at the moment at which the run begins: there it goes on first."""
        number = self.site.plan.crews.index(self.plan)
        edge = state.crews[number]
        self.rows_laid = state.rows_by_crew[number]
        self.was_at = self._stood_at = self.site.edges[edge] if edge >= 0 else None

    def work(self) -> Process:
        """Go to laying edge after laying edge until nothing is left for this crew to do."""
        site, env = self.site, self.site.env
        because = site.zero
        if self.plan.since > env.now:
            because = yield site.pause(LATE_START, self.plan.since, site.zero, self.number)
        while True:
            comes = self.shifts.comes(env.now)
            if comes == math.inf:
                return
            if comes > env.now:  # asleep it keeps no laying edge from others
                yield env.timeout(comes - env.now)
            because = max(because, self.last, key=itemgetter(END))  # it may have stayed to finish a row
            edge, later = self.choose()
            if edge is None:
                if not later:
                    return
                because = (yield site.wait_for_edge()) or because
            else:
                because = yield from self.move_to(edge, because)
                if self.was_at is edge and not edge.done.triggered:
                    because = yield from self.stay(edge, because)

    def move_to(self, edge: LayingEdge, because: Step) -> Process:
        """Go to a laying edge, if there is time for that before the shift ends; return the last step."""
        site, now = self.site, self.site.env.now
        hours = edge.area.luck.moves[edge.area.plan.edges.index(edge.index)]
        if self.was_at in (None, edge) or not hours:
            self.was_at = edge
            return because
        ends = self.shifts.until(now)
        if ends < math.inf and site.clocks[self.plan.clock].finish(now, hours) >= ends - _IN_TIME:
            yield site.env.timeout(ends - now)
            return because
        edge.coming += 1
        because = self._came(because)
        self.last = because = yield self.begin(CHANGE_EDGE, hours, because, self.number, edge.index)
        edge.coming -= 1
        self.was_at = edge
        return because

    def _came(self, because: Step) -> Step:
        """Return the step in which a laying edge waited for this crew, which comes now, or `because` where that just ended."""
        waited = because[END] < self.site.env.now
        return self.site.stood(NO_CREW, because, self.number, self.plan.clock) if waited else because

    def choose(self) -> tuple[LayingEdge | None, bool]:
        """Return the laying edge to go to, if there is one now, and whether one may open, or be left by its crew, later."""
        later, stood_at, self._stood_at = False, self._stood_at, None
        if stood_at is not None and not stood_at.done.triggered and stood_at.area.open and not self.somebody_at(stood_at):
            return stood_at, False
        for number in self.plan.areas:
            area = self.site.areas[number]
            if area.finished:
                continue
            if not area.open:
                later = True
                continue
            unfinished = [edge for edge in area.edges if not edge.done.triggered]
            idle = [edge for edge in unfinished if not self.somebody_at(edge)]
            if idle:
                return self.preferred(idle), later
            if self.plan.second != "elsewhere":
                return min(unfinished, key=lambda edge: sum(map(len, edge.parties))), later
            later = later or bool(self.plan.shifts)
        return None, later

    def somebody_at(self, edge: LayingEdge) -> bool:
        """Return whether a crew on shift is at a laying edge, or on its way there."""
        now = self.site.env.now
        return edge.coming > 0 or any(crew.shifts.there(now) for party in edge.parties for crew in party)

    def preferred(self, idle: list[LayingEdge]) -> LayingEdge:
        """Return which of an area's laying edges that nobody is at a crew goes to.

        First the one where it was the last to lay; then one not begun, in their order; then the one with the most rows left.
        """
        own = next((edge for edge in idle if edge.begun and edge.last_crew is self), None)
        fresh = next((edge for edge in idle if not edge.begun), None)
        return own or fresh or max(idle, key=lambda edge: edge.rows - edge.laid)

    def stay(self, edge: LayingEdge, because: Step) -> Process:
        """Be at an edge until it is done or the shift ends; return the last step that let this crew go on to something else."""
        site, now = self.site, self.site.env.now
        self.come_to(edge)
        self.stays.append((now, edge.index, math.inf))
        if edge.begun:
            if edge.waits_for_crew is not None:
                event, edge.waits_for_crew = edge.waits_for_crew, None
                event.succeed(self._came(max(edge.left, because, key=itemgetter(END))))
            elif edge.waits_for_people is not None:
                self.set_pace_of_any(edge)
                if not edge.short_handed:
                    self.go_on(edge, self._came(max(edge.left, because, key=itemgetter(END))))
        else:
            edge.begun = True
            if because[END] < now:
                because = self._came(because)
            site.start(Laying(edge, site, self.board).work(because))
        ends = self.shifts.until(now)
        if ends == math.inf:
            return (yield edge.done)
        yield edge.done | site.env.timeout(ends - now)
        if edge.done.triggered:
            return edge.done.value
        self.leave(edge)
        return because

    def come_to(self, edge: LayingEdge) -> None:
        """Begin to lay at a laying edge: alone, in turns with the crew there, or together with it."""
        now, edge.same_until = self.site.env.now, -math.inf
        there = [party for party in edge.parties if any(crew.shifts.there(now) for crew in party)]
        if there and self.plan.second == "merge":
            party = there[0]
            party.append(self)
            if party is edge.parties[0]:
                self.set_pace(edge)
            self.merged.append((party[0].number, edge.index, now, math.inf))
            return
        edge.parties.append([self])
        edge.turn_ends = min(edge.turn_ends, now + self.site.plan.laying.relief_turn) if there else math.inf
        if edge.parties[0][0] is self:
            self.set_pace(edge)
        if self.site.ends is not None:
            self.site.ends.crew_came(edge)

    def leave(self, edge: LayingEdge) -> None:
        """Go home at the end of a shift: whoever is on shift may lay here."""
        now, edge.same_until = self.site.env.now, -math.inf
        for party in edge.parties:
            if self in party:
                party.remove(self)
        edge.parties[:] = [party for party in edge.parties if party]
        self.stays[-1] = (*self.stays[-1][:-1], now)
        if self.merged and self.merged[-1][-1] == math.inf:
            self.merged[-1] = (*self.merged[-1][:-1], now)
        self.site.crews_look_again(None)

    def set_pace(self, edge: LayingEdge) -> None:
        """Let a laying edge go at the pace of the party on turn; it stops where that is fewer than it takes to lay a mat."""
        turns, now, laying = self.site.turns, self.site.env.now, self.site.plan.laying
        people = sum(turns.people_there(crew, now) - crew.lent for crew in edge.parties[0])
        edge.same_until = -math.inf
        edge.short_handed = people < laying.overhead + laying.team_size + 1
        if not edge.short_handed:
            edge.hours = edge.area.luck.row_hours(edge.plan, people)

    def set_pace_of_any(self, edge: LayingEdge) -> None:
        """Set the pace of a laying edge; another party takes its turn where the one on turn is too few."""
        for _ in edge.parties:
            self.set_pace(edge)
            if not edge.short_handed:
                return
            edge.parties.append(edge.parties.pop(0))

    def go_on(self, edge: LayingEdge, step: Step) -> None:
        """Let a laying edge that waited for people go on because of a step, if they are enough now."""
        event = edge.waits_for_people
        if event is not None and not edge.short_handed:
            edge.waits_for_people = None
            event.succeed(step)

    def lend(self, people: int, step: Step) -> None:
        """Let people leave for a task, or come back where there are fewer than none, because of a step that ends now.

        What is under way is finished at its pace; the next rows go at that of those who are left.
        """
        self.lent += people
        for edge in self.site.open_edges:
            if any(self in party for party in edge.parties):
                self.set_pace_of_any(edge)
                self.go_on(edge, step)

    def luck_of_day(self, day: int) -> float:
        """Return the luck that its people are there on a local day, that of the start being 1; its own under every plan."""
        if not self._luck_of_days:
            number = next(number for number, crew in enumerate(self.site.plan.crews) if crew is self.plan)
            days = math.ceil(self.site.plan.horizon / 24.0) + 2
            self._luck_of_days = self.site.streams.stream("absence", str(number)).random(days).tolist()
        return self._luck_of_days[min(day, len(self._luck_of_days) - 1)]
