"""From a scenario to a plan: which laying edge meets which row in which order, how far each is, and what its laying sets free."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from simulation.chance import LevelPlan
from simulation.conditions import ClockPlan, SkyPlan, clock_plans, sky_plan
from simulation.construction.plan.crews import crew_plans
from simulation.construction.plan.follow_up import Followed, followed
from simulation.construction.plan.gates import Gates
from simulation.construction.plan.plan import (
    AreaPlan,
    EdgePlan,
    ForkliftPlan,
    LayingPlan,
    Plan,
    Slice,
)
from simulation.construction.plan.plan_parts import FollowPlan, RailPlan
from simulation.construction.plan.quantities import uncertain_quantities
from simulation.construction.plan.rail import rail_gang_plan, rail_plan, slower_pieces
from simulation.construction.plan.slicing import graded_rows, slices_of_edge
from simulation.construction.plan.supply import supply_plan, used_plan
from simulation.construction.plan.taking_up import plan_job
from simulation.construction.plan.tasks import flying_plan, gang_plans, milestone_plans, other_needs, stretches_needed, task_plans
from simulation.construction.plan.unfinishable import unfinishable
from simulation.field import (
    AreaRows,
    EdgeLayout,
    Placed,
    distance,
    make_edges,
    make_rows,
    place_areas,
    yard_point,
)
from simulation.scenario.types.mistakes import ScenarioError

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.tables.tasks import Task

FEET_PER_MILE = 5280.0
#: Width in feet of a laying edge that has room for the stated number of rows in work.
ROOMY = 72.0


def plan_from_start(scenario: Scenario, by_leg: float = 0.0) -> Plan:
    """Return the plan of a scenario from its start, whatever its site log says; `by_leg` loads come by a leg besides.

    Raises
    ------
    ScenarioError
        If the scenario is legal but cannot finish: fewer pallets come than the field needs, or nobody works in daylight.
    """
    clocks, sky = clock_plans(scenario), sky_plan(scenario)
    if reasons := unfinishable(scenario, clocks, sky.stated, by_leg):
        raise ScenarioError(scenario.title, reasons)
    return plan_job(scenario, _Compiler(scenario).plan(clocks, sky))


class _Compiler:
    """Holds what the parts of a plan have in common while it is made."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.number = {area.name: index for index, area in enumerate(scenario.area)}
        self.rows: list[AreaRows] = [make_rows(area, scenario.mat) for area in scenario.area]
        self.placed: list[Placed] = [place_areas(scenario)[area.name] for area in scenario.area]
        self.length_gates: dict[int, int] = {}
        self.wanted: dict[int, list[tuple[int, int]]] = {}
        self.edges: list[EdgeLayout] = []
        self.edges_of_area: list[tuple[int, ...]] = []
        for area, rows in zip(scenario.area, self.rows, strict=True):
            edges = make_edges(area, rows)
            self.edges_of_area.append(tuple(range(len(self.edges), len(self.edges) + len(edges))))
            self.edges.extend(edges)

    def plan(self, clocks: dict[str, ClockPlan], sky: SkyPlan) -> Plan:
        scenario = self.scenario
        gates = Gates()
        area_gates = [self.junction(area, gates) for area in scenario.area]
        work, tasks = followed(scenario, self.rows), task_plans(scenario)
        opens: dict[str, list[int]] = {task.name: [] for task in scenario.task}
        for index, milestone in enumerate(scenario.milestones):
            after = [follow_up for follow_up in work if follow_up.belongs_to(milestone)]
            more = len(after) + len(milestone.all_tasks)
            if milestone.usable:
                gate = self.length_gates[index] = gates.add([], checked=False, more=more + 1, milestone=index)
                wanted = self.wanted.setdefault(self.number[milestone.usable.area], [])
                wanted.append((math.ceil(milestone.usable.length / scenario.mat.row_depth - 1e-9), gate))
            elif milestone.stretch:
                low, high = milestone.stretch.start, milestone.stretch.to
                waits = self.rows_met(self.number[milestone.stretch.area], low, high)
                gate = gates.add(waits, checked=False, more=more, milestone=index)
            else:
                areas = [self.number[name] for name in milestone.areas]
                waits = [(edge, len(self.edges[edge].rows)) for area in areas for edge in self.edges_of_area[area]]
                gate = gates.add(waits, checked=True, more=more, milestone=index)
            for gates_of in (*(follow_up.gates for follow_up in after), *(opens[name] for name in milestone.all_tasks)):
                gates_of.append(gate)
        follows = [self.follow(number, follow_up, gates) for number, follow_up in enumerate(work)]
        for number, task in enumerate(scenario.task):
            gate = self.task_gate(task, gates, len(work) + number)
            for need in task.after:
                if need.task is not None:
                    opens[need.task].append(gate)
        follows += [replace(task, gates=tuple(opens[task.name])) for task in tasks]
        quantities = uncertain_quantities(scenario)
        return Plan(
            seed=scenario.seed,
            horizon=scenario.horizon,
            areas=tuple(self.area(index, gate) for index, gate in enumerate(area_gates)),
            edges=tuple(self.edge(index, gates) for index in range(len(self.edges))),
            gates=tuple(gates.plans),
            milestones=milestone_plans(scenario),
            ready=next(index for index, milestone in enumerate(scenario.milestones) if milestone.ready),
            crews=crew_plans(scenario),
            laying=self.laying(),
            forklifts=ForkliftPlan(
                scenario.forklifts.count,
                scenario.forklifts.speed * FEET_PER_MILE,
                scenario.forklifts.staged_ahead,
                scenario.forklifts.urgent_below,
                scenario.forklifts.all_since,
            ),
            supply=supply_plan(scenario),
            gangs=scenario.grading.gangs,
            gangs_since=scenario.grading.since,
            slices=tuple(self.slices()),
            again=scenario.grading.again if scenario.grading.may_be_undone else 0.0,
            levels=tuple(LevelPlan.of(key, quantity) for key, quantity in quantities.items()),
            scatters={key: quantity.scatter for key, quantity in quantities.items()},
            clocks=clocks,
            sky=sky,
            rails=tuple(self.rails()),
            rail_gang=rail_gang_plan(scenario),
            follows=tuple(follows),
            gangs_of_tasks=gang_plans(scenario),
            depth=scenario.mat.row_depth,
            flying=flying_plan(scenario, self.length_gates),
            used=used_plan(scenario),
        )

    def junction(self, area: Area, gates: Gates) -> int | None:
        """Return the gate that opens a joined area: every row of the other one along the joint, laid and checked."""
        if area.joins is None:
            return None
        mine, other = self.number[area.name], self.number[area.joins.area]
        if area.joins.end is not None:
            low = high = 0.0 if area.joins.end == "low" else self.placed[other].length
        else:
            (ox, oy), (dx, dy) = self.placed[other].origin, self.placed[other].along
            half = self.placed[mine].width / 2
            corners = [self.placed[mine].point(s, o) for s in (0.0, self.placed[mine].length) for o in (-half, half)]
            stations = [(x - ox) * dx + (y - oy) * dy for x, y in corners]
            low, high = max(min(stations), 0.0), min(max(stations), self.placed[other].length)
        waits = [(edge, self.checked(edge, row)) for edge, row in self.rows_met(other, low, high)]
        return gates.add(waits, checked=True, area=mine)

    def follow(self, number: int, work: Followed, gates: Gates) -> FollowPlan:
        """Let a gate open work that follows rows when they are laid and checked, and return its plan."""
        rows = self.rows_met(work.plan.area, work.low, work.high)
        gates.add([(edge, self.checked(edge, row)) for edge, row in rows], checked=True, follows=number)
        return replace(work.plan, gates=tuple(work.gates))

    def task_gate(self, task: Task, gates: Gates, number: int) -> int:
        """Return the gate that opens a task: rows that it needs, laid and checked, other tasks, and moments."""
        waits = [
            (edge, self.checked(edge, rows))
            for name, low, high in stretches_needed(self.scenario, task)
            for edge, rows in self.rows_met(self.number[name], low, high)
        ]
        return gates.add(waits, checked=True, more=other_needs(self.scenario, task), follows=number)

    def rows_met(self, area: int, low: float, high: float) -> list[tuple[int, int]]:
        """Return, for each edge that lays part of a stretch of an area, how many rows it has laid when its part is done."""
        rows = self.rows[area]
        first = rows.row_at(low)
        last = max(first, rows.rows_to(high) - 1)
        met: list[tuple[int, int]] = []
        for edge in self.edges_of_area[area]:
            inside = [index for index, row in enumerate(self.edges[edge].rows) if first <= row <= last]
            if inside:
                met.append((edge, inside[-1] + 1))
        return met

    def checked(self, edge: int, rows: int) -> int:
        """Return how many rows a laying edge has laid when the check that covers the first `rows` of them is made."""
        every = self.scenario.laying.check_every
        return min(math.ceil(rows / every) * every, len(self.edges[edge].rows))

    def area(self, index: int, gate: int | None) -> AreaPlan:
        rows, laying = self.rows[index], self.scenario.laying
        # Mats are staged along the middle, so the mean walk is half the distance between pallets and a quarter of the width.
        walk = laying.staged_every / 2 + self.placed[index].width / 4
        even, odd = rows.patterns
        return AreaPlan(
            name=rows.name,
            rows=rows.count,
            pieces=(len(even.pieces), len(odd.pieces)),
            half=(even.half, odd.half),
            joints=(len(even.joints), len(odd.joints)),
            walk=2 * walk / (laying.walk * FEET_PER_MILE),
            ramps=tuple(sorted(rows.ramps)),
            key_strips=len(rows.key_strips),
            edges=self.edges_of_area[index],
            gate=gate,
            starter=rows.starter is not None,
            rows_in_work=max(1.0, laying.rows_in_work * self.placed[index].width / ROOMY),
            slower=slower_pieces(self.scenario.area[index], rows),
            wanted=tuple(sorted(self.wanted.get(index, ()))),
        )

    def edge(self, index: int, gates: Gates) -> EdgePlan:
        edge = self.edges[index]
        area = self.number[edge.area]
        rows = self.rows[area]
        count = len(edge.rows)
        strip_number = {row: number for number, row in enumerate(rows.key_strips)}
        strips = {index: strip_number[edge.rows[index] + (0 if edge.upward else 1)] for index in edge.key_strips}
        checks = frozenset(self.checked(index, row) for row in range(1, count + 1))
        return EdgePlan(
            area=area,
            first=min(edge.rows),
            last=max(edge.rows) + 1,
            upward=edge.upward,
            full=tuple(rows.pattern(row).full for row in edge.rows),
            half=tuple(rows.pattern(row).half for row in edge.rows),
            strips=strips,
            travel=self.travel(edge),
            graded=graded_rows(self.scenario.grading.done, count),
            after_row=gates.after_row.get(index, {}),
            after_check=gates.after_check.get(index, {}),
            checks=checks,
            stops=checks | strips.keys() | gates.after_row.get(index, {}).keys(),
            row_area=rows.depth * self.placed[area].width,
        )

    def travel(self, edge: EdgeLayout) -> tuple[float, ...]:
        """Return how far the forklifts drive from the yard to each row of a laying edge."""
        placed = self.placed[self.number[edge.area]]
        depth = self.scenario.mat.row_depth
        yard = yard_point(self.scenario, {area.name: area for area in self.placed})
        points = [placed.point((row + 0.5) * depth) for row in edge.rows]
        if self.scenario.forklifts.drive_on == "rows":  # to where the laying edge began, then along what it has laid
            return tuple(distance(yard, points[0]) + distance(points[0], point) for point in points)
        return tuple(distance(yard, point) for point in points)

    def rails(self) -> list[RailPlan]:
        """Return the guide rails in the order in which the crews come to them."""
        pieces = [rail_plan(self.scenario, area, self.rows[area], self.edges_of_area[area][0]) for area in self.in_turn()]
        return [piece for piece in pieces if piece is not None]

    def in_turn(self) -> list[int]:
        """Return the areas in the order in which the crews come to them."""
        turns = zip_longest(*(crew.areas for crew in self.scenario.crew))
        return list(dict.fromkeys(self.number[name] for turn in turns for name in turn if name is not None))

    def slices(self) -> list[Slice]:
        """Return the ground to be graded in the order in which the crews come to it; the laying edges of one area take turns."""
        slices: list[Slice] = []
        for area in self.in_turn():
            of_edges = [self.slices_of(edge, area) for edge in self.edges_of_area[area]]
            for turn in range(max(map(len, of_edges))):
                slices.extend(of_edge[turn] for of_edge in of_edges if turn < len(of_edge))
        return slices

    def slices_of(self, edge: int, area: int) -> list[Slice]:
        done = graded_rows(self.scenario.grading.done, len(self.edges[edge].rows))
        return slices_of_edge(edge, self.edges[edge], self.rows[area], self.placed[area].width, done)

    def laying(self) -> LayingPlan:
        laying, mat = self.scenario.laying, self.scenario.mat
        return LayingPlan(
            overhead=laying.overhead,
            openers=laying.openers,
            team_size=laying.team_size,
            ramp_row=laying.ramp_row,
            learning=laying.learning,
            learning_reference=laying.learning_reference,
            learning_floor=laying.learning_floor,
            check_every=laying.check_every,
            skew_found=laying.skew_found,
            relief_turn=laying.relief_turn,
            pallet_pieces=mat.pallet_full + mat.pallet_half,
            finish_rows=laying.finish_rows,
        )
