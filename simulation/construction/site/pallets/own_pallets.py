"""Parts on pallets of their own: some are there at the start, the rest comes at a stated hour or with a stated load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.plan.steps import Step
from simulation.construction.site.event_loop import Process

if TYPE_CHECKING:
    from simulation.construction.plan.plan_parts import OwnPalletsPlan
    from simulation.construction.site.edges.laying_edge import Event
    from simulation.construction.site.site import Site


class OwnPallets:
    """Parts of one kind in one run.

    Attributes
    ----------
    left : int
        Those of the start that are not used yet.
    all_there : bool
        Whether the rest has come.
    """

    __slots__ = ("_waiting", "all_there", "left", "plan")

    def __init__(self, plan: OwnPalletsPlan) -> None:
        self.plan, self.left, self.all_there = plan, plan.on_hand, False
        self._waiting: list[Event] = []

    @property
    def there(self) -> bool:
        """Whether there is one to take."""
        return self.all_there or self.left > 0

    def take(self) -> None:
        """Take one that is there."""
        if not self.all_there:
            self.left -= 1

    def wait(self, event: Event) -> Event:
        """Return the event, which is fired when the rest has come."""
        self._waiting.append(event)
        return event

    def come(self, step: Step) -> None:
        """Note that the rest has come because of a step, and wake those who wait for it."""
        self.all_there = True
        waiting, self._waiting = self._waiting, []
        for event in waiting:
            if not event.triggered:  # who waited may have been called to something else meanwhile
                event.succeed(step)


def comes_by_date(site: Site, parts: OwnPallets, kind: int, actor: int) -> Process:
    """Bring the rest of some parts at the stated hour."""
    since = parts.plan.since or 0.0
    because = yield site.begin(kind, max(0.0, since - site.env.now), site.zero, actor)
    site.parts_come(parts, because)
