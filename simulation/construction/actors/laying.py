"""What is done at one laying edge, from its first row to its last, by whoever is there?"""

from __future__ import annotations

from typing import Any

from simulation.construction.actors.open_end import OpenEnd
from simulation.construction.plan.steps import CLOSE_UP, CONNECT, END, KEY_STRIP, RESEAT, ROW, STARTER, Step
from simulation.construction.site.edges.laying_edge import NEVER, LayingEdge
from simulation.construction.site.edges.rail_clearance import SHORT
from simulation.construction.site.edges.rowtime import learned
from simulation.construction.site.edges.shift_handover import TurnsByShift
from simulation.construction.site.edges.waits import CONNECTED, GROUND, PEOPLE, RAIL_AHEAD, SHORT_RAIL, STRIPS, lacking
from simulation.construction.site.event_loop import Process
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.own_pallets import OwnPallets
from simulation.construction.site.site import Site


class Laying:
    """The laying of one laying edge.

    Parameters
    ----------
    edge : LayingEdge
    site : Site
    board : Board
    """

    def __init__(self, edge: LayingEdge, site: Site, board: Board) -> None:
        self.edge, self.site, self.board = edge, site, board

    def work(self, because: Step) -> Process:
        """Lay the laying edge from its first row to its last; `because` is the step that let its first crew come.

        A step is a pallet's rows, as a rule.
        """
        site, edge, board = self.site, self.edge, self.board
        turns, gang, plan = site.turns, site.rail_gang, edge.plan
        checks, after_row, after_check = plan.checks, plan.after_row, plan.after_check
        skew_found = site.plan.laying.skew_found
        full_of, half_of, staged, stops, rejected = edge.full, edge.half, edge.staged, edge.stops, edge.rejected
        idle, jobs_for = board.idle, board.jobs_for
        area, wanted = edge.area, edge.area.wanted
        learning, begin = site.plan.laying.learning < 1.0, site.begin
        by_shift = turns if isinstance(turns, TurnsByShift) else None
        open_end = None if site.ends is None else OpenEnd(self, site.ends)
        edge.since = because
        while not edge.graded:
            because = yield self.wait_for_ground()
            if edge.end_due and open_end is not None:
                because = yield from open_end.make(because)
        if edge.short_handed:
            because = yield from self.wait_for_people(because)
        because = yield from self.prepare(because)
        row, stop, upto = edge.laid, edge.laid in stops, NEVER
        while row < edge.rows:
            if open_end is not None and (area.flown or stop or edge.end_due or edge.end_stands):
                because, upto = yield from open_end.clear(row, because, self.hours_before(row) if stop else 0.0)
            cleared, pace = because, edge.hours
            while edge.ready <= row:
                because = yield self.wait_for_ground() if edge.graded <= row else self.wait_for_rail()
                if open_end is not None:
                    because, _ = yield from open_end.clear(row, because, self.hours_before(row) if stop else 0.0)
            if because[END] >= edge.turn_ends:
                turns.look(edge, because[END])
            if stop:
                because = yield from self.make_ready(row, because)
            if row in rejected and edge.seen <= row:
                board.mats_rejected(edge, row, because)
            while edge.loose_full < full_of[row] or edge.loose_half < half_of[row]:
                if staged:
                    edge.open_pallet()
                else:
                    because = yield self.wait_for_mats(because)
                    turns.look(edge, because[END])
                    if edge.end_due and open_end is not None:
                        because, _ = yield from open_end.clear(row, because)
            stays = (  # as it was when a temporary end was looked for
                open_end is not None
                and because is cleared
                and not (stop or learning)  # who is on turn now may have learned otherwise
                and edge.hours is pace
                and (by_shift is None or because[END] < edge.same_until)
            )
            if by_shift is not None and because[END] >= edge.same_until:
                if not by_shift.anybody(edge, because[END]):
                    because = yield from by_shift.somebody(edge, because)
                by_shift.on_turn(edge, because[END])
            if edge.short_handed:
                because = yield from self.wait_for_people(because)
            if open_end is not None and not stays and (area.flown or edge.end_due or edge.end_stands):
                because, upto = yield from open_end.clear(row, because)
            hours, full, half = 0.0, edge.loose_full, edge.loose_half
            hours_of, ready = edge.hours, edge.ready if edge.ready < upto else upto
            while True:  # rows that the opened mats suffice for are one step, unless something else is to be done in between
                hours += hours_of[row]
                full -= full_of[row]
                half -= half_of[row]
                row += 1
                stop = row in stops
                if stop or full < full_of[row] or half < half_of[row] or row >= ready:
                    break
                if row in rejected:
                    board.mats_rejected(edge, row, because)
            edge.loose_full, edge.loose_half, edge.taken = full, half, row
            if learning:
                hours = self.learned_hours(row)
            if stop and row in checks:
                hours += float(edge.checks[row - 1])
            if by_shift is None:  # as `turns.work` would, without a process of its own for each of a run's many steps
                if area.flown:
                    begin = site.flying.begin_at(edge)
                because = yield begin(ROW, hours, because, edge.parties[0][0].number, edge.index, row)
            elif (step := by_shift.lay_on(edge, hours, row, because)) is not None:
                because = yield step
            else:
                because = yield from by_shift.work(ROW, hours, edge, row, because, range(edge.laid, row))
            if area.flown:
                because = yield from self.stand_clear(because, edge.laid)
            edge.laid = row
            if wanted:
                site.gates.look_at_length(area, because)
            if gang is not None and row >= edge.frees_gauge:
                gang.look(because)
            if edge.beside > edge.cover and (edge.loose_full < full_of[row] or edge.loose_half < half_of[row]):
                # What is left in opened pallets does not make another row, so it is set aside, and their places are free.
                if idle:
                    jobs_for(edge.beside - edge.cover, because)
                edge.beside = edge.cover
            if not stop:
                continue
            if row in after_row:
                site.gates.pass_on(after_row[row], because)
            if row in checks:
                if skew_found and edge.skew[row - 1] < skew_found:
                    because = yield from turns.work(RESEAT, self.hours_to_reseat(row), edge, row, because)
                    because = yield from self.stand_clear(because, row)
                if row in after_check:
                    site.gates.pass_on(after_check[row], because)
        self.finish(because)

    def make_ready(self, row: int, because: Step) -> Process:
        """Do what comes before a row: rows, or the rail, are put right, and a key strip is set."""
        edge, site, turns = self.edge, self.site, self.site.turns
        strips = edge.plan.strips
        if row in edge.remedies:
            because = yield from self.put_right(row, because)
            turns.look(edge, because[END])
        if row in strips and row != edge.strip_set:
            if site.key_strips is not None:
                because = yield from self.take_key_strip(site.key_strips, because)
                turns.look(edge, because[END])
            hours = edge.area.luck.key_strips[strips[row]]
            because = yield from turns.work(KEY_STRIP, hours, edge, strips[row], because)
            because = yield from self.stand_clear(because, strips[row])
            edge.strip_set = row
        return because

    def prepare(self, because: Step) -> Process:
        """Set the area's connectors and starter key strip, unless another crew does: then wait until they are set."""
        area, site = self.edge.area, self.site
        if area.plan.gate is None and not area.plan.starter:
            return because
        if area.prepared is None:
            area.prepared = site.env.event()
            if area.plan.gate is not None:
                because = yield from site.turns.work(CONNECT, area.luck.connect, self.edge, -1, because)
            if area.plan.starter:
                if site.key_strips is not None:
                    because = yield from self.take_key_strip(site.key_strips, because)
                because = yield from site.turns.work(STARTER, area.luck.starter, self.edge, -1, because)
            area.prepared.succeed(because)
        elif not area.prepared.triggered:
            because = yield self.noted(CONNECTED, area.prepared)
        return because

    def stand_clear(self, because: Step, number: int) -> Process:
        """Finish between windows what was under way here when the area began to be flown from; return the last step."""
        edge, flying = self.edge, self.site.flying
        if edge.parties and flying.closes(edge):
            rest = flying.put_off(because, edge.parties[0][0].plan.clock, number)
            if rest is not None:
                because = yield rest
        return because

    def hours_before(self, row: int) -> float:
        """Return the hours of what comes before a row, as far as they are known: its key strip, rows re-seated."""
        edge = self.edge
        strip = row in edge.plan.strips and row != edge.strip_set
        hours = edge.area.luck.key_strips[edge.plan.strips[row]] if strip else 0.0
        rows = max(edge.remedies.get(row, 0), 0)
        return hours + float(sum(edge.reseats[row - rows : row].tolist()))

    def noted(self, what: str, event: Any) -> Any:
        """Note what the work here waits for from now on, and return the event that ends the wait."""
        self.site.waits.append((self.edge.index, what, self.site.env.now, event))
        return event

    def wait_for_ground(self) -> Any:
        """Return the event of more graded ground."""
        self.edge.waits_for_ground = self.site.env.event()
        return self.noted(GROUND, self.edge.waits_for_ground)

    def wait_for_rail(self) -> Any:
        """Return the event of a rail that reaches farther."""
        self.edge.waits_for_rail = self.site.env.event()
        return self.noted(RAIL_AHEAD, self.edge.waits_for_rail)

    def wait_for_people(self, because: Step) -> Process:
        """Wait until the party on turn has enough people back from tasks, or another comes; return the step that let them."""
        edge, turns = self.edge, self.site.turns
        while edge.short_handed and not edge.end_due:
            edge.left, edge.waits_for_people = because, self.site.env.event()
            because = yield self.noted(PEOPLE, edge.waits_for_people)
            if isinstance(turns, TurnsByShift):
                if not turns.anybody(edge, because[END]):
                    because = yield from turns.somebody(edge, because)
                turns.on_turn(edge, because[END])
        return because

    def take_key_strip(self, strips: OwnPallets, because: Step) -> Process:
        """Take a key strip, when there is one; return the step that brought it, if it was waited for."""
        if not strips.there:
            because = yield self.noted(STRIPS, strips.wait(self.site.env.event()))
        strips.take()
        return because

    def put_right(self, row: int, because: Step) -> Process:
        """Re-seat rows that have crept along the rail, or have a short section set, before the rail's clearance is used up."""
        edge, gang = self.edge, self.site.rail_gang
        rows = edge.remedies[row]
        if rows == SHORT and gang is not None:
            return (yield self.noted(SHORT_RAIL, gang.short_section(edge, row, because)))
        return (yield from self.site.turns.work(CLOSE_UP, sum(edge.reseats[row - rows : row].tolist()), edge, row, because))

    def wait_for_mats(self, because: Step) -> Any:
        """Return the event of more mats; what is opened has been emptied or set aside, so its places are free."""
        edge = self.edge
        self.board.edge_starves(edge, because)
        edge.waits_for_mats = self.site.env.event()
        return self.noted(lacking(edge, edge.laid), edge.waits_for_mats)

    def learned_hours(self, upto: int) -> float:
        """Return the hours of the rows taken up, shortened by what the crew on turn has learned in the rows before them."""
        edge = self.edge
        crew, hours = edge.parties[0][0], 0.0
        for row in range(edge.laid, upto):
            crew.rows_laid += 1
            hours += edge.hours[row] * learned(self.site.plan.laying, crew.rows_laid)
        return hours

    def hours_to_reseat(self, laid: int) -> float:
        """Return the hours to re-seat the rows since the last check."""
        every = self.site.plan.laying.check_every
        hours: float = sum(self.edge.reseats[(laid - 1) // every * every : laid].tolist())
        return hours

    def finish(self, because: Step) -> None:
        """Open what is left at the finished laying edge, so that it can be moved, and let go of its crews."""
        edge = self.edge
        while edge.staged:
            edge.open_pallet()
        edge.set_aside()
        edge.done.succeed(because)
        if self.site.ends is not None:
            self.site.ends.whole(edge, because)
        self.site.open_edges.remove(edge)
        self.board.jobs_for(1, because)
        self.site.crews_look_again(because)
