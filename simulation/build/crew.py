"""A crew: it takes the first open face of its areas, lays it row by row, and moves on."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simulation.build.board import Board
from simulation.build.plan import CrewPlan
from simulation.build.rowtime import learned
from simulation.build.site import Face, Site
from simulation.build.steps import CHECK, CONNECT, END, KEY_STRIP, RESEAT, ROW, STARTER, Step

Process = Generator[Any, Any, Any]


class Crew:
    """One crew of one build."""

    def __init__(self, number: int, plan: CrewPlan, site: Site, board: Board) -> None:
        self.number, self.plan, self.site, self.board = number, plan, site, board
        self.rows_laid = 0

    def work(self) -> Process:
        """Take face after face until nothing is left for this crew to do."""
        site = self.site
        because = site.zero
        while (choice := self.choose()) is not None:
            if choice == "wait":
                because = yield site.wait_for_face()
            elif choice.gang:
                self.join(choice)
                because = yield choice.done
            else:
                because = yield from self.lay(choice, because)

    def choose(self) -> Face | str | None:
        """Return the face to go to, ``"wait"`` where one may open later, or None where none will."""
        later = False
        for number in self.plan.areas:
            area = self.site.areas[number]
            if area.finished:
                continue
            if not area.open:
                later = True
                continue
            unfinished = [face for face in area.faces if not face.done.triggered]
            free = [face for face in unfinished if not face.gang]
            if free:
                return free[0]
            if self.plan.second != "elsewhere":
                return min(unfinished, key=lambda face: len(face.gang))
        return "wait" if later else None

    def join(self, face: Face) -> None:
        """Go to a face that another crew is on: take turns with it, or lay together with it."""
        face.gang.append(self)
        if self.plan.second == "merge":
            people = sum(crew.plan.people for crew in face.gang)
            face.hours = face.area.luck.row_hours(face.plan, people)
        else:
            face.turn_ends = self.site.env.now + self.site.plan.laying.relief_turn

    def lay(self, face: Face, because: Step) -> Process:
        """Lay a face from its first row to its last; return the last step."""
        site, me, at = self.site, self.number, face.index
        begin, plan, luck = site.begin, face.plan, face.area.luck
        strips, after_row, checks = plan.strips, plan.after_row, plan.checks
        full_of, half_of = face.full, face.half
        face.gang.append(self)
        face.hours = luck.row_hours(plan, self.plan.people)
        learning = site.plan.laying.learning < 1.0
        while not face.graded:
            because = yield self.wait_for_ground(face)
        because = yield from self.prepare(face, because)
        row = 0
        while row < face.rows:
            while face.graded <= row:
                because = yield self.wait_for_ground(face)
            if row in strips:
                because = yield begin(KEY_STRIP, luck.key_strips[strips[row]], because, me, at, strips[row])
            if row in face.rejected:
                self.board.mats_rejected(face, face.rejected[row], because)
            while face.loose_full < full_of[row] or face.loose_half < half_of[row]:
                if not self.open_pallet(face):
                    because = yield self.wait_for_mats(face, because)
            if because[END] >= face.turn_ends:
                self.relieve(face, because[END])
            hours, row = self.rows_from(face, row)
            if learning:
                hours = self.learned_hours(face, row)
            because = yield begin(ROW, hours, because, face.gang[0].number, at, row)
            face.laid = row
            if face.in_use and (face.loose_full < full_of[row] or face.loose_half < half_of[row]):
                self.clear_places(face, because)
            if row in after_row:
                site.pass_gates(after_row[row], because)
            if row in checks:
                because = yield from self.check_line(face, row, because)
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
                because = yield site.begin(CONNECT, area.luck.connect, because, self.number, face.index)
            if area.plan.starter:
                because = yield site.begin(STARTER, area.luck.starter, because, self.number, face.index)
            area.prepared.succeed(because)
        elif not area.prepared.triggered:
            because = yield area.prepared
        return because

    def wait_for_ground(self, face: Face) -> Any:
        """Return the event of more graded ground."""
        face.waits_for_ground = self.site.env.event()
        return face.waits_for_ground

    def open_pallet(self, face: Face) -> bool:
        """Open the next pallet that is staged, if there is one."""
        if not face.staged:
            return False
        full, half = face.staged.pop(0)
        face.loose_full += full
        face.loose_half += half
        face.in_use += 1
        return True

    def wait_for_mats(self, face: Face, because: Step) -> Any:
        """Return the event of more mats; what is opened has been emptied or set aside, so its places are free."""
        if face.in_use:
            self.clear_places(face, because)
        face.waits_for_mats = self.site.env.event()
        return face.waits_for_mats

    def rows_from(self, face: Face, row: int) -> tuple[float, int]:
        """Take up the rows that the opened mats suffice for; return their hours, and the rows laid when they are done.

        They are one step, a pallet's rows as a rule, unless something else is to be done in between.
        """
        hours = 0.0
        while True:
            hours += face.hours[row]
            face.loose_full -= face.full[row]
            face.loose_half -= face.half[row]
            row += 1
            if (
                row in face.plan.stops
                or face.loose_full < face.full[row]
                or face.loose_half < face.half[row]
                or face.graded <= row
                or row in face.rejected
            ):
                face.taken = row
                return hours, row

    def relieve(self, face: Face, now: float) -> None:
        """Let the crew that has rested take its turn."""
        face.gang.append(face.gang.pop(0))
        face.turn_ends = now + self.site.plan.laying.relief_turn
        face.hours = face.area.luck.row_hours(face.plan, face.gang[0].plan.people)

    def learned_hours(self, face: Face, upto: int) -> float:
        """Return the hours of the rows taken up, shortened by what the crew on turn has learned in the rows before them."""
        crew, hours = face.gang[0], 0.0
        for row in range(face.laid, upto):
            crew.rows_laid += 1
            hours += face.hours[row] * learned(self.site.plan.laying, crew.rows_laid)
        return hours

    def clear_places(self, face: Face, step: Step) -> None:
        """Free the places of opened pallets: what is left in them does not make another row, so it is set aside."""
        face.in_use = 0
        self.board.one_more_job(step)

    def check_line(self, face: Face, laid: int, because: Step) -> Process:
        """Check the alignment; where it is skewed, re-seat the rows since the last check."""
        site, luck, last = self.site, face.area.luck, face.row_of_area(laid - 1)
        who = face.gang[0].number
        because = yield site.begin(CHECK, luck.checks[last], because, who, face.index, laid)
        if luck.skew and luck.skew[last] < site.plan.laying.skew_found:
            every = site.plan.laying.check_every
            hours = sum(luck.reseats[face.row_of_area(row)] for row in range((laid - 1) // every * every, laid))
            because = yield site.begin(RESEAT, hours, because, who, face.index, laid)
        site.pass_gates(face.plan.after_check.get(laid, ()), because)
        return because

    def leave(self, face: Face, because: Step) -> None:
        """Open what is left at a finished face, so that it can be moved, and let go of the crews that helped."""
        while self.open_pallet(face):
            pass
        face.in_use = 0
        face.done.succeed(because)
        self.site.open_faces.remove(face)
        self.board.one_more_job(because)
        self.site.crews_look_again(because)

