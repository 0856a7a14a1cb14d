"""A crew: it takes the first open face of its areas, lays it row by row, and moves on."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import Any

from simulation.build.board import Board
from simulation.build.face import Face
from simulation.build.own_pallets import OwnPallets
from simulation.build.plan import CrewPlan
from simulation.build.rail_clearance import SHORT
from simulation.build.rowtime import learned
from simulation.build.site import Site
from simulation.build.steps import CLOSE_UP, CONNECT, END, KEY_STRIP, RESEAT, ROW, STARTER, Step

Process = Generator[Any, Any, Any]


class Crew:
    """One crew of one build.

    Attributes
    ----------
    number : int
        Its number as an actor.
    rows_laid : int
        What it has learned from, where it learns.
    merged : list of (int, int, float)
        With which crew it put its people together, at which face, and since when.
    begin : callable
        `Site.begin`, by the clock that it goes by.
    """

    def __init__(self, number: int, plan: CrewPlan, site: Site, board: Board) -> None:
        self.number, self.plan, self.site, self.board = number, plan, site, board
        self.rows_laid = 0
        self.merged: list[tuple[int, int, float]] = []
        self.begin = site.begin_on(plan.clock)
        self._luck_of_days: list[float] = []

    def work(self) -> Process:
        """Take face after face until nothing is left for this crew to do."""
        site = self.site
        because = site.zero
        if self.plan.since:
            because = yield site.late_start(self.plan.since, self.number)
        while True:
            face, later = self.choose()
            if face is None:
                if not later:
                    return
                because = yield site.wait_for_face()
            elif face.parties:
                self.join(face)
                because = yield face.done
            else:
                because = yield from self.lay(face, because)

    def choose(self) -> tuple[Face | None, bool]:
        """Return the face to go to, if there is one now, and whether one may open later."""
        later = False
        for number in self.plan.areas:
            area = self.site.areas[number]
            if area.finished:
                continue
            if not area.open:
                later = True
                continue
            unfinished = [face for face in area.faces if not face.done.triggered]
            free = [face for face in unfinished if not face.parties]
            if free:
                return free[0], later
            if self.plan.second != "elsewhere":
                return min(unfinished, key=lambda face: sum(map(len, face.parties))), later
        return None, later

    def join(self, face: Face) -> None:
        """Go to a face that another crew is on: take turns with it, or lay together with it."""
        now = self.site.env.now
        if self.plan.second == "merge":
            party = face.parties[0]
            party.append(self)
            face.hours = self.party_hours(face)
            self.merged.append((party[0].number, face.index, now))
        else:
            face.parties.append([self])
            face.turn_ends = min(face.turn_ends, now + self.site.plan.laying.relief_turn)

    def party_hours(self, face: Face) -> list[float]:
        """Return the hours of each row of a face for the party on turn."""
        turns = self.site.turns
        if turns is None:
            return face.area.luck.row_hours(face.plan, sum(crew.plan.people for crew in face.parties[0]))
        now = self.site.env.now
        return face.area.luck.row_hours(face.plan, sum(turns.people_there(crew, now) for crew in face.parties[0]))

    def luck_of_day(self, day: int) -> float:
        """Return the luck that its people are there on a local day, that of hour zero being 1; its own under every plan."""
        if not self._luck_of_days:
            number = next(place for place, one in enumerate(self.site.plan.crews) if one is self.plan)
            days = math.ceil(self.site.plan.horizon / 24.0) + 2
            self._luck_of_days = self.site.streams.stream("absence", str(number)).random(days).tolist()
        return self._luck_of_days[min(day, len(self._luck_of_days) - 1)]

    def lay(self, face: Face, because: Step) -> Process:
        """Lay a face from its first row to its last; return the last step."""
        site, who, at = self.site, self.number, face.index
        begin, turns, gang, plan, luck = self.begin, site.turns, site.rail_gang, face.plan, face.area.luck
        strips, checks, after_row, after_check = plan.strips, plan.checks, plan.after_row, plan.after_check
        skew, skew_found = face.skew, site.plan.laying.skew_found
        full_of, half_of, staged = face.full, face.half, face.staged
        idle, jobs_for = self.board.idle, self.board.jobs_for
        face.parties.append([self])
        face.hours = self.party_hours(face)
        learning = site.plan.laying.learning < 1.0
        while not face.graded:
            because = yield self.wait_for_ground(face)
        because = yield from self.prepare(face, because)
        row = 0
        while row < face.rows:
            while face.graded <= row or face.railed <= row:
                because = yield self.wait_for_ground(face) if face.graded <= row else self.wait_for_rail(face)
            if because[END] >= face.turn_ends and turns is None:
                who = self.relieve(face, because[END])
            if row in face.remedies:
                because = yield from self.put_right(face, row, because, who)
                if because[END] >= face.turn_ends and turns is None:
                    who = self.relieve(face, because[END])
            if row in strips:
                if site.key_strips is not None:
                    because = yield from self.take_key_strip(site.key_strips, because)
                    if because[END] >= face.turn_ends and turns is None:
                        who = self.relieve(face, because[END])
                hours = luck.key_strips[strips[row]]
                if turns is None:
                    because = yield begin(KEY_STRIP, hours, because, who, at, strips[row])
                else:
                    because = yield from turns.work(KEY_STRIP, hours, face, strips[row], because)
            if row in face.rejected:
                self.board.mats_rejected(face, face.rejected[row], because)
            while face.loose_full < full_of[row] or face.loose_half < half_of[row]:
                if staged:
                    face.open_pallet()
                else:
                    because = yield self.wait_for_mats(face, because)
                    if because[END] >= face.turn_ends and turns is None:
                        who = self.relieve(face, because[END])
            if turns is not None:
                turns.on_turn(face, because[END])
            hours, row = self.rows_from(face, row, because)
            if learning:
                hours = self.learned_hours(face, row)
            if row in checks:
                hours += face.checks[row - 1]
            if turns is None:
                because = yield begin(ROW, hours, because, who, at, row)
            else:
                because = yield from turns.work(ROW, hours, face, row, because, range(face.laid, row))
            face.laid = row
            if row >= face.frees_gauge and gang is not None:
                gang.look(because)
            if face.in_use and (face.loose_full < full_of[row] or face.loose_half < half_of[row]):
                # What is left in opened pallets does not make another row, so it is set aside, and their places are free.
                if idle:
                    jobs_for(face.in_use, because)
                face.in_use = 0
            if row in after_row:
                site.pass_gates(after_row[row], because)
            if row in checks:
                if skew and skew[row - 1] < skew_found:
                    hours = self.hours_to_reseat(face, row)
                    if turns is None:
                        because = yield begin(RESEAT, hours, because, who, at, row)
                    else:
                        because = yield from turns.work(RESEAT, hours, face, row, because)
                if row in after_check:
                    site.pass_gates(after_check[row], because)
        self.leave(face, because)
        return because

    def prepare(self, face: Face, because: Step) -> Process:
        """Set the area's connectors and starter key strip, unless another crew does: then wait until they are set."""
        area, site = face.area, self.site
        if area.plan.gate is None and not area.plan.starter:
            return because
        if area.prepared is None:
            area.prepared = site.env.event()
            if area.plan.gate is not None:
                because = yield self.begin(CONNECT, area.luck.connect, because, self.number, face.index)
            if area.plan.starter:
                if site.key_strips is not None:
                    because = yield from self.take_key_strip(site.key_strips, because)
                because = yield self.begin(STARTER, area.luck.starter, because, self.number, face.index)
            area.prepared.succeed(because)
        elif not area.prepared.triggered:
            because = yield area.prepared
        return because

    def wait_for_ground(self, face: Face) -> Any:
        """Return the event of more graded ground."""
        face.waits_for_ground = self.site.env.event()
        return face.waits_for_ground

    def wait_for_rail(self, face: Face) -> Any:
        """Return the event of a rail that reaches farther."""
        face.waits_for_rail = self.site.env.event()
        return face.waits_for_rail

    def take_key_strip(self, strips: OwnPallets, because: Step) -> Process:
        """Take a key strip, when there is one; return the step that brought it, if it was waited for."""
        if not strips.there:
            because = yield strips.wait(self.site.env.event())
        strips.take()
        return because

    def put_right(self, face: Face, row: int, because: Step, who: int) -> Process:
        """Re-seat rows that have crept along the rail, or have a short section set, before the rail's clearance is used up."""
        rows, gang, turns = face.remedies[row], self.site.rail_gang, self.site.turns
        if rows == SHORT and gang is not None:
            return (yield gang.short_section(face, row, because))
        hours = sum(face.reseats[row - rows : row])
        if turns is None:
            return (yield self.begin(CLOSE_UP, hours, because, who, face.index, row))
        return (yield from turns.work(CLOSE_UP, hours, face, row, because))

    def wait_for_mats(self, face: Face, because: Step) -> Any:
        """Return the event of more mats; what is opened has been emptied or set aside, so its places are free."""
        self.board.face_starves(face, because)
        face.waits_for_mats = self.site.env.event()
        return face.waits_for_mats

    def rows_from(self, face: Face, row: int, because: Step) -> tuple[float, int]:
        """Take up the rows that the opened mats suffice for; return their hours, and the rows laid when they are done.

        They are one step, a pallet's rows as a rule, unless something else is to be done in between.
        """
        hours_of, full_of, half_of, stops = face.hours, face.full, face.half, face.stops
        hours, loose_full, loose_half = 0.0, face.loose_full, face.loose_half
        while True:
            hours += hours_of[row]
            loose_full -= full_of[row]
            loose_half -= half_of[row]
            row += 1
            if row in stops or loose_full < full_of[row] or loose_half < half_of[row] or face.graded <= row or face.railed <= row:
                break
            if row in face.rejected:
                self.board.mats_rejected(face, face.rejected[row], because)
        face.loose_full, face.loose_half, face.taken = loose_full, loose_half, row
        return hours, row

    def relieve(self, face: Face, now: float) -> int:
        """Let the party that has rested take its turn, and return the number of its first crew."""
        face.parties.append(face.parties.pop(0))
        face.turn_ends = now + self.site.plan.laying.relief_turn
        face.hours = self.party_hours(face)
        number: int = face.parties[0][0].number
        return number

    def learned_hours(self, face: Face, upto: int) -> float:
        """Return the hours of the rows taken up, shortened by what the crew on turn has learned in the rows before them."""
        crew, hours = face.parties[0][0], 0.0
        for row in range(face.laid, upto):
            crew.rows_laid += 1
            hours += face.hours[row] * learned(self.site.plan.laying, crew.rows_laid)
        return hours

    def hours_to_reseat(self, face: Face, laid: int) -> float:
        """Return the hours to re-seat the rows since the last check."""
        every = self.site.plan.laying.check_every
        return sum(face.reseats[(laid - 1) // every * every : laid])

    def leave(self, face: Face, because: Step) -> None:
        """Open what is left at a finished face, so that it can be moved, and let go of the crews that helped."""
        while face.staged:
            face.open_pallet()
        face.in_use = 0
        face.done.succeed(because)
        self.site.open_faces.remove(face)
        self.board.jobs_for(1, because)
        self.site.crews_look_again(because)
