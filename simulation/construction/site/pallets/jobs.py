"""What may a forklift be given to do: bring a laying edge a pallet, unload a load, carry mats from where they stand?"""

from __future__ import annotations

from dataclasses import dataclass, field

from simulation.construction.plan.steps import Step
from simulation.construction.site.edges.laying_edge import Event, LayingEdge


@dataclass(slots=True)
class Load:
    """What one truck or flight brought, until it is unloaded.

    Attributes
    ----------
    luck : list of float
        Of each of its pallets.
    unloaded : Event
    came : Step
        What brought it.
    done : int
        Pallets unloaded.
    begun : float
        Hours of unloading the next one that are done.
    pieces : list of (Step, int)
        What forklifts did at it: each step, and the pallets unloaded when it ends.
    mats : tuple of (int, int)
        What each of its pallets holds, where that is not what every pallet holds.
    """

    luck: list[float]
    unloaded: Event
    came: Step
    done: int = 0
    begun: float = 0.0
    pieces: list[tuple[Step, int]] = field(default_factory=list)
    mats: tuple[tuple[int, int], ...] = ()

    def mats_unloaded(self, alike: tuple[int, int]) -> list[tuple[int, int]]:
        """Return the full and half mats that each of its pieces set down; `alike` is what a pallet holds, where all do."""
        mats, done, set_down = self.mats or (alike,) * len(self.luck), 0, list[tuple[int, int]]()
        for _, pallets in self.pieces:
            down = mats[done : done + pallets]
            set_down.append((sum(full for full, _ in down), sum(half for _, half in down)))
            done += pallets
        return set_down


@dataclass(slots=True)
class Carry:
    """Bring mats to a laying edge from where they stand.

    Attributes
    ----------
    kind : int
        ``FEED`` for a pallet from the yard, ``MOVE`` for mats left over at another laying edge.
    edge : LayingEdge
    mats : (int, int)
        Full and half ones.
    luck : float
        Of their handling.
    on : int
        The laying edge on whose way they stand.
    at : float
        Feet along that way, from the yard.
    stray : bool
        Whether a forklift that broke down left them.
    picked, put : float
        Hours of picking them up, and of setting them down, that are done.
    """

    kind: int
    edge: LayingEdge
    mats: tuple[int, int]
    luck: float
    on: int
    at: float
    stray: bool = False
    picked: float = 0.0
    put: float = 0.0


#: A laying edge asks for a pallet from the yard, a load for being unloaded, other mats for being carried to their laying edge.
Job = LayingEdge | Load | Carry
