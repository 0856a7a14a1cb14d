"""Which tasks wait for a shipment, and what becomes of them when it comes, or never does?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.plan.steps import END, NOT_DELIVERED, Step

if TYPE_CHECKING:
    from simulation.construction.site.site import Site


class NeededShipments:
    """The shipments of a run, by their places, that tasks wait for."""

    __slots__ = ("_waiting",)

    def __init__(self) -> None:
        self._waiting: dict[int, list[tuple[int, int]]] = {}

    def need(self, shipment: int, gate: int, actor: int) -> None:
        """Let a gate wait for a shipment; an actor does the task that the gate opens."""
        self._waiting.setdefault(shipment, []).append((gate, actor))

    def __contains__(self, shipment: int) -> bool:
        """Return whether anything waits for a shipment."""
        return shipment in self._waiting

    def came(self, shipment: int, site: Site, step: Step) -> None:
        """Tell what waits for a shipment that all of it is unloaded, because of a step."""
        site.gates.pass_on([gate for gate, _ in self._waiting.get(shipment, ())], step)

    def lost(self, shipment: int, site: Site, step: Step) -> None:
        """Let what waits for a shipment that never comes wait to the last day simulated; nobody does anything then."""
        for _, actor in self._waiting.get(shipment, ()):
            site.pause(NOT_DELIVERED, max(site.plan.horizon, step[END]), step, actor)
