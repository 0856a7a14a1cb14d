"""Do the mats come in time? Full and half mats that had come to the site in one run, and those laid or found damaged."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from simulation.construction import Finished
from simulation.construction.plan.steps import EDGE, END, KIND, NUMBER, ROW, Step

KINDS = ("full", "half")


@dataclass(frozen=True)
class MatsCourse:
    """Mats of one kind in one run; hours count from the start. What has come and is not used is on hand.

    Attributes
    ----------
    kind : str
    need : int
        Mats that the field takes, damaged ones left out.
    come : tuple of (float, int)
        When how many had come to the yard in all: a staircase that begins with those on hand at the start.
    used : tuple of (float, int)
        When how many were laid or found damaged in all.
    """

    kind: str
    need: int
    come: tuple[tuple[float, int], ...]
    used: tuple[tuple[float, int], ...]

    @property
    def fewest(self) -> tuple[float, int]:
        """When the fewest were on hand, before the last one was laid, and how many."""
        times = [at for at, _ in self.come]
        stands = [(self.come[bisect_right(times, at) - 1][1] - used, at) for at, used in self.used[:-1]]
        on_hand, at = min(stands, default=(self.come[0][1], 0.0))
        return at, on_hand


def follow_mats(run: Finished, done: list[Step]) -> tuple[MatsCourse, ...]:
    """Return full and half mats of a run, whose steps are done."""
    supply, edges = run.site.plan.supply, run.site.edges
    over = max((step[END] for step in done), default=0.0)
    alike = supply.full, supply.half
    unloaded = sorted(
        (step[END], mats)
        for load in run.board.arrived
        for (step, _), mats in zip(load.pieces, load.mats_unloaded(alike), strict=True)
        if step[END] <= over
    )
    rows = sorted((step[END], step[EDGE], step[NUMBER]) for step in done if step[KIND] == ROW)
    courses = []
    for size, kind in enumerate(KINDS):
        here = supply.on_hand * alike[size]
        come = [(0.0, here)]
        for at, mats in unloaded:
            here += mats[size]
            come.append((at, here))
        taken, total, used = [0] * len(edges), 0, [(0.0, 0)]
        for at, index, upto in rows:
            edge = edges[index]
            each = (edge.plan.full, edge.plan.half)[size]
            span = range(taken[index], upto)
            total += sum(each[row] + (edge.rejected[row][size] if row in edge.rejected else 0) for row in span)
            taken[index] = max(upto, taken[index])
            used.append((at, total))
        need = sum(sum((edge.plan.full, edge.plan.half)[size]) for edge in edges)
        courses.append(MatsCourse(kind, need, tuple(come), tuple(used)))
    return tuple(courses)
