"""Which edge stands idle while a crew that might lay it is on shift and has none? Areas that are not among a crew's are why."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.conditions import on_shift
from simulation.construction.plan.steps import END
from simulation.construction.running import Finished

if TYPE_CHECKING:
    from simulation.scenario import Scenario

Spans = list[tuple[float, float]]

#: Hours from which it is told, a shift. Planning value.
WORTH_TELLING = 8.0


@dataclass(frozen=True)
class IdleEdge:
    """An area that nobody lays for some hours in which a crew that has it not among its areas has no edge; numbers of a plan."""

    area: int
    crew: int
    hours: float


def idle_edges(scenario: Scenario, run: Finished) -> Iterator[IdleEdge]:
    """Yield for each crew the area that it could have laid longest while it had no laying edge, if that is worth telling.

    Parameters
    ----------
    scenario : Scenario
    run : Finished
        A run of it.
    """
    site, plan = run.site, run.site.plan
    last = site.reached[plan.ready]
    until = plan.horizon if last is None else last[END]
    ends = [edge.done.value if edge.done.triggered else None for edge in site.edges]
    done = [until if step is None else step[END] for step in ends]
    stays = [[(since, at, min(left, done[at])) for since, at, left in crew.stays] for crew in run.crews]
    idle: dict[int, Spans] = {}
    for edge in site.edges:
        opened = math.inf if edge.area.opened is None else edge.area.opened
        held = [(since, left) for stay in stays for since, at, left in stay if at == edge.index]
        idle.setdefault(edge.plan.area, []).extend(_without([(opened, min(done[edge.index], until))], held))
    for number, crew in enumerate(run.crews):
        shift = scenario.crew[number].shift or scenario.shifts.of("laying")
        there = [(max(start, crew.plan.since), min(end, until)) for start, end in on_shift(shift, scenario.starts, plan.horizon)]
        free = _without(there, [(since, left) for since, _, left in stays[number]])
        could = [
            IdleEdge(area, number, sum(_common(_without([(0.0, until)], _without([(0.0, until)], spans)), free)))
            for area, spans in idle.items()
            if area not in crew.plan.areas
        ]
        best = max(could, key=lambda stretch: stretch.hours, default=None)
        if best is not None and best.hours >= WORTH_TELLING:
            yield best


def _without(spans: Iterable[tuple[float, float]], taken: Iterable[tuple[float, float]]) -> Spans:
    """Return what is left of some spans."""
    left = [(low, high) for low, high in spans if low < high]
    for start, end in taken:
        left = [piece for low, high in left for piece in ((low, min(high, start)), (max(low, end), high)) if piece[0] < piece[1]]
    return left


def _common(spans: Spans, others: Spans) -> Iterator[float]:
    """Yield the lengths of what spans have in common with others; neither overlap among themselves."""
    for low, high in spans:
        for start, end in others:
            yield max(0.0, min(high, end) - max(low, start))
