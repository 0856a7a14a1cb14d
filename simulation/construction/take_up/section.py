"""What is still to be done at a section of a field that is taken up, whichever crew is there?"""

from __future__ import annotations

from collections import deque
from typing import TYPE_CHECKING

from simulation.construction.plan.steps import DRAW_OUT, ENDS_OFF, FREE_ROW, FREE_STRIP, LIFT, TIE_DOWNS_OFF, UNCOUPLE
from simulation.construction.plan.take_up_plan import SectionPlan

if TYPE_CHECKING:
    from simulation.construction.take_up.coming_up import ComingUp

#: A piece of work at a section: kind of step, its hours, and the row or number; hours of rows depend on who lifts them.
Piece = tuple[int, float, int]


class Section:
    """A section of the field: what is still to be done at it, in order, whichever crew is there.

    Guide rail comes up behind its last row: see `ComingUp.free_rails`.
    """

    def __init__(self, plan: SectionPlan) -> None:
        self.plan = plan
        self.work: deque[Piece] | None = None
        self._place = {row: index for index, row in enumerate(plan.rows)}

    def open(self, field: ComingUp) -> deque[Piece]:
        """Return what is still to be done, all of it where nobody has come yet."""
        if self.work is None:
            plan, luck = self.plan, field.luck
            self.work = deque()
            if plan.tie_downs:
                self.work.append((TIE_DOWNS_OFF, luck.tie_downs(plan), -1))
            if plan.junction:
                self.work.append((UNCOUPLE, field.site.levels["laying.connect"], -1))
            if plan.end_connectors:
                self.work.append((ENDS_OFF, luck.ends(plan), -1))
            for number, (out, free) in enumerate(luck.strips(plan)):
                if free:
                    self.work.append((FREE_STRIP, free, number))
                self.work.append((DRAW_OUT, out, number))
            held = luck.sticking(plan)
            for row in plan.rows:
                if row in held:
                    self.work.append((FREE_ROW, held[row], row))
                self.work.append((LIFT, 0.0, row))
        return self.work

    def index(self, row: int) -> int:
        """Return the how-manieth a row is that comes off."""
        return self._place[row]
