"""A grading gang: it prepares slice after slice of the ground in the order in which the crews come to it."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from typing import Any

from simulation.build.board import Board
from simulation.build.plan import Slice
from simulation.build.site import Site
from simulation.build.steps import GRADING
from simulation.chance import factors_of

Process = Generator[Any, Any, Any]


class Ground:
    """The ground still to be graded, and the luck of each slice, whichever gang comes to it."""

    def __init__(self, site: Site) -> None:
        plan, levels = site.plan, site.levels
        self.rate, self.trench = levels["grading.rate"], levels["grading.trench"]
        self.slices: Iterator[Slice] = iter(plan.slices)
        owners = [f"{plan.areas[face.area].name}.{'up' if face.upward else 'down'}" for face in plan.faces]
        self._pace = [factors_of(plan.scatters["grading.rate"], site.streams, "grading", owner) for owner in owners]
        self._dig = [factors_of(plan.scatters["grading.trench"], site.streams, "trench", owner) for owner in owners]

    def hours(self, piece: Slice) -> float:
        """Return the hours that a slice takes, the trenches in it included."""
        hours = piece.square_feet / (self.rate * next(self._pace[piece.face]))
        for _ in range(piece.trenches):
            hours += self.trench * next(self._dig[piece.face])
        return hours


def gang(site: Site, board: Board, ground: Ground, actor: int) -> Process:
    """Grade slice after slice until none is left."""
    because = site.zero
    if site.plan.gangs_since:
        because = yield site.late_start(site.plan.gangs_since, actor)
    for piece in ground.slices:
        because = yield site.begin(GRADING, ground.hours(piece), because, actor, piece.face, piece.upto)
        if site.ground_ready(piece, because):
            board.jobs_for_all(because)
