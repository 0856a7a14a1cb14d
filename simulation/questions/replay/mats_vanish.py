"""What lies where, and who does what, at an hour of a run that takes a field up? Rows vanish, pallets stand, loads leave.

Worked out from the trace: a row is gone when its step ends, a pallet stands when it is banded, and is in the yard when a forklift
has brought it there.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from operator import itemgetter

from simulation.construction import Finished
from simulation.construction.plan.steps import (
    ACTOR,
    BAND,
    BECAUSE,
    BRING_IN,
    EDGE,
    END,
    HAUL_AWAY,
    KIND,
    KINDS,
    LIFT,
    LOAD_OUT,
    NUMBER,
    ON_BOARD,
    SORT,
    START,
    WORK,
    Step,
)
from simulation.construction.trace.links import clock_of
from simulation.questions.replay.activities import CLOCKS, DONE, JOB, WAITS, Doing, stopped_by
from simulation.questions.replay.on_the_ground import Ground, along, length
from simulation.questions.replay.stand import Mats, Spans, Stand

#: What a crew waits for where nothing is under way; a truck, where it stands in the yard.
A_STRIP, MATS_UP, FOR_A_LOAD = f"{WAITS}a key strip", f"{WAITS}mats that come up", "waits for a load"


def take_off_stands_up(run: Finished, hours: Sequence[float]) -> list[Stand]:
    """Return how the site stands at each of the rising `hours` of a run that takes a field up."""
    ledger = _Ledger(run)
    return [ledger.stand(hour) for hour in hours]


class _Ledger:
    """The steps that change what lies where, and what each changes."""

    def __init__(self, run: Finished) -> None:
        assert run.up is not None and run.site.plan.take_up is not None
        self.run, self.plan, self.field = run, run.site.plan, run.up
        trace = run.site.trace
        self.rows = [step for step in trace if step[KIND] == LIFT]
        self.banded = sorted((step for step in trace if step[KIND] == BAND), key=itemgetter(END))
        self.brought = [step for step in trace if step[KIND] == BRING_IN]
        self.loads = sorted((step for step in trace if step[KIND] == LOAD_OUT), key=itemgetter(END))
        hauled = {id(step[BECAUSE]): step for step in trace if step[KIND] in (HAUL_AWAY, ON_BOARD)}
        self.hauled = [hauled.get(id(load)) for load in self.loads]
        sections = self.plan.take_up.sections if self.plan.take_up is not None else ()
        self.lying = [set[int]() for _ in self.plan.edges]
        self.whole = [0, 0]
        for section in sections:
            edge = self.plan.edges[section.edge]
            for row in section.rows:
                index = edge.turn(row)
                self.lying[section.edge].add(index)
                self.whole[0] += edge.full[index]
                self.whole[1] += edge.half[index]

    def stand(self, hour: float) -> Stand:
        edges = self.plan.edges
        gone, begun = [set[int]() for _ in edges], [set[int]() for _ in edges]
        up, front = [0, 0], [0] * len(edges)
        for step in self.rows:
            if step[START] > hour:
                break
            index = edges[step[EDGE]].turn(step[NUMBER])
            front[step[EDGE]] = index
            (gone if step[END] <= hour else begun)[step[EDGE]].add(index)
            if step[END] <= hour:
                up[0] += edges[step[EDGE]].full[index]
                up[1] += edges[step[EDGE]].half[index]
        lying = [_spans(still - out - now) for still, out, now in zip(self.lying, gone, begun, strict=True)]
        staged = [0] * len(edges)
        for step in self.banded:
            staged[step[EDGE]] += step[END] <= hour
        brought = [number for number, step in enumerate(self.brought) if step[END] <= hour]
        for number in brought:
            staged[self.brought[number][EDGE]] -= 1
        in_yard = [0, 0]
        for number in brought:
            pallet = self.field.pallets[number]
            in_yard[0 if pallet.full else 1] += pallet.mats
        waiting, on_road, away, left = 0, 0, 0, 0
        off = [0, 0]
        for number, step in enumerate(self.loads):
            pallets, haul = step[NUMBER], self.hauled[number]
            if step[START] > hour:
                continue
            left += pallets
            if step[END] > hour:
                waiting += pallets
            elif haul is not None and haul[END] > hour:
                on_road += pallets
            else:
                away += pallets
            if step[END] <= hour:
                for pallet in self.field.off[number].pallets:
                    off[0 if pallet.full else 1] += pallet.mats
        loads = sum(step[START] <= hour < step[END] for step in self.loads)
        mats = [
            Mats(
                supplied=self.whole[kind],
                to_come=off[kind],
                yard=in_yard[kind] - off[kind],
                on_forks=0,
                at_edges=up[kind] - in_yard[kind],
                in_work=0,
                laid=self.whole[kind] - up[kind],
                rejected=0,
            )
            for kind in (0, 1)
        ]
        return Stand(
            hour=hour,
            laid=tuple(sum(upto - first for first, upto in spans) for spans in lying),
            in_work=tuple(map(len, begun)),
            graded=tuple(len(edge.full) for edge in edges),
            staged=tuple(max(0, count) for count in staged),
            strips=tuple(
                frozenset(number for row, number in edge.strips.items() if _near(row, spans))
                for edge, spans in zip(edges, lying, strict=True)
            ),
            prepared=frozenset(),
            joined=frozenset(),
            yard=len(brought) - left,
            at_port=away,
            on_road=on_road,
            waiting=waiting,
            loads=loads,
            full=mats[0],
            half=mats[1],
            railed=(),
            after_rows=(),
            lying=tuple(lying),
            begun=tuple(_spans(rows) for rows in begun),
            front=tuple(front),
        )


def _spans(rows: set[int]) -> Spans:
    """Return rows as spans from the first up to, not including, the last."""
    spans = []
    for _, group in groupby(enumerate(sorted(rows)), key=lambda pair: pair[1] - pair[0]):
        members = [row for _, row in group]
        spans.append((members[0], members[-1] + 1))
    return tuple(spans)


def _near(row: int, spans: Spans) -> bool:
    """Return whether rows lie on both sides of the key strip before a row."""
    return any(first < row < upto for first, upto in spans)


class DoingsUp:
    """Tells for any hour of a run that takes a field up what its actors do."""

    def __init__(self, run: Finished, ground: Ground) -> None:
        self.run, self.ground = run, ground
        self.steps: dict[int, list[Step]] = {number: [] for number in range(len(run.actors))}
        for step in run.site.trace:
            if step[ACTOR] >= 0:
                self.steps[step[ACTOR]].append(step)

    def closing(self, hour: float) -> tuple[str, ...]:
        """Return the milestones that are being closed: none, since nobody sweeps what has gone."""
        return ()

    def closing_again(self, hour: float) -> float | None:
        """Return None: see `closing`."""
        return None

    def at(self, hour: float) -> tuple[Doing, ...]:
        """Return what crews, their handlers, forklifts, grading gangs and trucks do at an hour."""
        return tuple(
            replace(self._doing(number, actor.kind, hour), name=actor.name)
            for number, actor in enumerate(self.run.actors)
            if actor.kind in CLOCKS
        )

    def _doing(self, number: int, kind: str, hour: float) -> Doing:
        steps = self.steps[number]
        at = bisect_right(steps, hour, key=itemgetter(START))
        step = steps[at - 1] if at and steps[at - 1][END] > hour else None
        before = steps[at - 1] if at and step is None else None
        if step is None:
            waits = FOR_A_LOAD if kind == "truck" else JOB if kind in ("forklift", "grading") else self._waits(number, hour)
            what = DONE if at == len(steps) and kind != "truck" else waits
            point = self._point(kind, before, hour) if before is not None and what != DONE else None
            return Doing(kind, "", what, "", before[EDGE] if before is not None else -1, point)
        clock = clock_of(step, self.run.site.clocks)
        stopped = "" if clock is None else stopped_by(clock, hour)
        return Doing(kind, "", KINDS[step[KIND]].name, stopped, step[EDGE], self._point(kind, step, hour))

    def _waits(self, number: int, hour: float) -> str:
        """Return what those of a crew wait for who lift, or who handle mats."""
        assert self.run.up is not None
        for (_, what, start, event), party in zip(self.run.site.waits, self.run.up.waiters, strict=True):
            if party.number == number and start <= hour and not (event.triggered and event.value[END] <= hour):
                return f"{WAITS}{what}"
        party = next(party for party in self.run.up.parties if party.number == number)
        return MATS_UP if party.plan.part_of else A_STRIP

    def _point(self, kind: str, step: Step, hour: float) -> tuple[float, float] | None:
        if kind == "truck":
            return None
        if step[EDGE] < 0:
            return self.ground.yard if kind == "forklift" else None
        edge, plan = self.ground.edges[step[EDGE]], self.run.site.plan.edges[step[EDGE]]
        if step[KIND] in (LIFT, SORT):
            row = plan.turn(step[NUMBER])
        else:
            rows = [row for row in self.steps[step[ACTOR]] if row[KIND] in (LIFT, SORT) and row[START] <= step[START]]
            last = rows[-1] if rows and rows[-1][EDGE] == step[EDGE] else None
            row = 0 if last is None else plan.turn(last[NUMBER])
        if kind != "forklift":
            return edge.point(row + 0.5)
        way = self.ground.way(step[EDGE], edge.rows // 2)
        clock = self.run.site.clocks["forklift"]
        share = min(1.0, clock.worked(step[START], hour) / step[WORK]) if step[WORK] else 1.0
        there_and_back = (*way, *way[-2::-1])
        return along(there_and_back, share) if length(there_and_back) else way[-1]
