"""The temporary end of one laying edge: made in time, left standing, and taken up when there is a row to lay and time for it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.conditions import between_flights
from simulation.construction.plan.steps import END, END_STANDS, MAKE_END, TAKE_END_UP, Step
from simulation.construction.site.edges.shift_handover import TurnsByShift
from simulation.construction.site.edges.waits import OTHER_END, STRIPS
from simulation.construction.site.event_loop import Process
from simulation.construction.site.milestones.temporary_ends import MAKE, TAKE_UP, TemporaryEnds

if TYPE_CHECKING:
    from simulation.construction.actors.laying import Laying


class OpenEnd:
    """What whoever lays at a laying edge does for its temporary end.

    Parameters
    ----------
    laying : Laying
    ends : TemporaryEnds
    """

    def __init__(self, laying: Laying, ends: TemporaryEnds) -> None:
        self.laying, self.ends = laying, ends
        self.edge, self.site = laying.edge, laying.site

    def clear(self, row: int, because: Step, before: float = 0.0) -> Process:
        """See to it that nothing stands before the next row, and that there is time for it and for making the end again.

        Parameters
        ----------
        row : int
        because : Step
        before : float
            Hours of what is to be done before the row.

        Returns
        -------
        (Step, int)
            The last step, and up to which row laying may go on.
        """
        edge, ends, turns = self.edge, self.ends, self.site.turns
        while True:
            edge.since = because
            if edge.end_due:
                because = yield from self.make(because)
            elif edge.end_stands:
                because = yield from self.take_up(row, because, before)
            elif (event := self._lacking_strip(row)) is not None:
                because = yield event
            elif isinstance(turns, TurnsByShift) and not turns.anybody(edge, because[END]):  # its shift ended over the end
                because = yield from turns.somebody(edge, because)
                turns.on_turn(edge, because[END])
            else:
                upto = ends.rows_that_fit(edge, row, because[END], before)
                if upto > row:
                    return because, upto
                edge.end_due = True

    def make(self, because: Step) -> Process:
        """Make the end of the laying edge, and those of its area's laying edges that nobody has come to."""
        edge, ends = self.edge, self.ends
        for open_edge in (edge, *ends.left_to(edge)):
            open_edge.end_due = False
            if not open_edge.end_stands:
                hours = ends.hours(MAKE, open_edge)
                because = yield from self.site.turns.work(MAKE_END, hours, edge, open_edge.index, because)
                ends.stands(open_edge, because)
        return because

    def take_up(self, row: int, because: Step, before: float) -> Process:
        """Do one thing towards a row where the end stands: wait for what it needs or for a gap, or take the end up."""
        edge, ends, laying, turns = self.edge, self.ends, self.laying, self.site.turns
        event = self._lacks(row, because)
        if event is None:
            event = ends.hold(edge)
            if event is not None:
                laying.noted(OTHER_END, event)
        if event is not None:
            because = yield event
            turns.look(edge, because[END])
            return because
        if isinstance(turns, TurnsByShift):
            if not turns.anybody(edge, because[END]):
                because = yield from turns.somebody(edge, because)
            turns.on_turn(edge, because[END])
        if edge.short_handed:
            return (yield from laying.wait_for_people(because))
        until = ends.stands_until(edge, row, because[END], before)
        if until > because[END]:
            crew = edge.parties[0][0]
            clock = between_flights(crew.plan.clock)
            yield ends.wait(edge, until)
            return self.site.stood(END_STANDS, because, crew.number, clock, edge.index)
        because = yield from turns.work(TAKE_END_UP, ends.hours(TAKE_UP, edge), edge, edge.index, because)
        ends.gone(edge)
        return because

    def _lacks(self, row: int, because: Step) -> Any:
        """Return the event of what is not there for a row; None where all is."""
        edge, laying = self.edge, self.laying
        if edge.graded <= row:
            return laying.wait_for_ground()
        if edge.railed <= row:
            return laying.wait_for_rail()
        if (event := self._lacking_strip(row)) is not None:
            return event
        if row in edge.rejected and edge.seen <= row:
            laying.board.mats_rejected(edge, row, because)
        while edge.loose_full < edge.full[row] or edge.loose_half < edge.half[row]:
            if not edge.staged:
                return laying.wait_for_mats(because)
            edge.open_pallet()
        return None

    def _lacking_strip(self, row: int) -> Any:
        """Return the event of key strips, where none is there that a row needs before it."""
        edge, strips = self.edge, self.site.key_strips
        if strips is None or strips.there or row not in edge.plan.strips or row == edge.strip_set:
            return None
        edge.waits_for_strips = strips.wait(self.site.env.event())
        return self.laying.noted(STRIPS, edge.waits_for_strips)
