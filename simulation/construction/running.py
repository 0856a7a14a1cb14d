"""One construction from the start to its last milestone: the actors are set to work on a site, and the clock runs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.chance import Streams
from simulation.construction.actors.closing import horizon
from simulation.construction.actors.crew import Crew
from simulation.construction.actors.forklift import Forklift
from simulation.construction.actors.start import start_laying
from simulation.construction.plan.plan import Plan
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.stock import Stock, nobody
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp
from simulation.construction.take_up.forklifts import YardForklift
from simulation.construction.take_up.parties import Party
from simulation.construction.take_up.start import AtTakeUp, start_take_up


@dataclass(frozen=True)
class Actor:
    """Who does steps: a kind of actor and its name."""

    kind: str
    name: str


@dataclass(frozen=True)
class Finished:
    """A run that has run: its site as it was left, its actors in the order of their numbers, and what came up of the field."""

    site: Site
    stock: Stock
    board: Board
    forklifts: tuple[Forklift | YardForklift, ...]
    crews: tuple[Crew | Party, ...]
    actors: tuple[Actor, ...]
    up: ComingUp | None = None

    def dismiss(self) -> None:
        """Undo the ties by which the parts of a run hold each other, so that its memory is free as soon as it is let go."""
        self.site.dismiss()
        self.stock.resupply = nobody
        if self.up is not None:
            self.up.dismiss()


def simulate(plan: Plan, run_number: int, seed: int | None = None, until: float = math.inf) -> Finished:
    """Run one run.

    Parameters
    ----------
    plan : Plan
    run_number : int
        Number of the run, from 0.
    seed : int, optional
        Default: the plan's.
    until : float, optional
        Hours since the start at which it is left as it stands, whatever is under way. Default: it runs to its end.

    Notes
    -----
    Actors start in a fixed order of kind and number, and so are ties between them broken.
    """
    site = Site(plan, Streams(plan.seed if seed is None else seed, run_number))
    stock = Stock(site)
    board = Board(site, stock)
    actors: list[Actor] = []

    def actor(kind: str, name: str) -> int:
        actors.append(Actor(kind, name))
        return len(actors) - 1

    at_work = start_laying(site, stock, board, actor) if plan.take_up is None else start_take_up(site, stock, actor)
    site.start(horizon(site, min(until, plan.horizon)))
    site.env.run(until=site.over)
    up = at_work.field if isinstance(at_work, AtTakeUp) else None
    return Finished(site, stock, board, at_work.forklifts, at_work.crews, tuple(actors), up)
