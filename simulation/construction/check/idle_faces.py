"""Which face stands idle while a crew that might lay it is on shift and has none? Areas that are not among a crew's are why."""

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
class IdleFace:
    """An area that nobody lays for some hours in which a crew that has it not among its areas has no face; numbers of a plan."""

    area: int
    crew: int
    hours: float


def idle_faces(scenario: Scenario, build: Finished) -> Iterator[IdleFace]:
    """Yield for each crew the area that it could have laid longest while it had no face, if that is worth telling.

    Parameters
    ----------
    scenario : Scenario
    build : Finished
        A build of it.
    """
    site, plan = build.site, build.site.plan
    last = site.reached[plan.ready]
    until = plan.horizon if last is None else last[END]
    ends = [face.done.value if face.done.triggered else None for face in site.faces]
    done = [until if step is None else step[END] for step in ends]
    stays = [[(since, at, min(left, done[at])) for since, at, left in crew.stays] for crew in build.crews]
    idle: dict[int, Spans] = {}
    for face in site.faces:
        opened = math.inf if face.area.opened is None else face.area.opened
        held = [(since, left) for stay in stays for since, at, left in stay if at == face.index]
        idle.setdefault(face.plan.area, []).extend(_without([(opened, min(done[face.index], until))], held))
    for number, crew in enumerate(build.crews):
        shift = scenario.crew[number].shift or scenario.shifts.of("laying")
        there = [(max(start, crew.plan.since), min(end, until)) for start, end in on_shift(shift, scenario.starts, plan.horizon)]
        free = _without(there, [(since, left) for since, _, left in stays[number]])
        could = [
            IdleFace(area, number, sum(_common(_without([(0.0, until)], _without([(0.0, until)], spans)), free)))
            for area, spans in idle.items()
            if area not in crew.plan.areas
        ]
        best = max(could, key=lambda one: one.hours, default=None)
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
