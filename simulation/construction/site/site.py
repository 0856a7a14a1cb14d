"""What do the actors of a run share? The site: its laying edges and areas, the clocks, graded ground, and the trace."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Generator
from operator import itemgetter
from typing import Any

from simulation.chance import Streams, draw_levels
from simulation.conditions import Clocks, HourlySky, make_clocks
from simulation.construction.actors.rail_gang import RailGang
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan import Plan, Slice
from simulation.construction.plan.steps import DAILY_LIMIT, END, H_HOUR, KINDS, LATE_START, NO_CREW, START, Step
from simulation.construction.site.area_draws import AreaLuck
from simulation.construction.site.event_loop import Environment
from simulation.construction.site.flying import Flying
from simulation.construction.site.gangs import Gang
from simulation.construction.site.laying_edge import Area, Event, LayingEdge
from simulation.construction.site.needed_shipments import NeededShipments
from simulation.construction.site.own_pallets import OwnPallets
from simulation.construction.site.shift_handover import turns_at
from simulation.construction.site.step_factory import Begin, beginner, beginner_on
from simulation.construction.site.temporary_ends import TemporaryEnds
from simulation.construction.site.waits import Waiting

Process = Generator[Any, Any, Any]


class Gate:
    """Fires when so many laying edges have passed their row."""

    __slots__ = ("left", "then")

    def __init__(self, parts: int, then: Callable[[Step], None]) -> None:
        self.left, self.then = parts, then

    def pass_one(self, step: Step) -> None:
        """Count one laying edge; `step` is what it did last."""
        self.left -= 1
        if self.left == 0:
            self.then(step)


class Site:
    """The shared state of one run.

    Parameters
    ----------
    plan : Plan
    streams : Streams
        The luck of this run.

    Attributes
    ----------
    env : Environment
    trace : list of Step
        Every step, in the order in which they began.
    levels : dict of str to float
        Levels drawn, by key.
    clocks : Clocks
    turns : Turns
        Who lays at a laying edge, and until when.
    rail_gang, ends : RailGang or None, TemporaryEnds or None
        None where there is no guide rail, or no temporary end is made.
    key_strips, rail_sections : OwnPallets or None
        None where they are there whenever they are needed.
    waits : list of Waiting
        What the work at laying edges has waited for.
    open_edges : list of LayingEdge
        Those that crews and pallets may come to.
    gangs : tuple of Gang
        Who does tasks.
    opened : dict of int to (int, int)
        Gate -> the rows of its area, from the low end, between which the length that it asks for came to lie.
    flying : Flying
        When the area that is flown from is closed to work.
    over : Event
        Fired when the last milestone is reached, or by the last day simulated.
    begin : callable
        ``begin(kind, hours, because, actor, edge=-1, number=-1)`` begins a step now, of so many hours of work at full rate, and
        returns it; a process that yields it goes on at its end. `because` is the step whose end let it start: it must end now. So
        a process reads ``because = yield site.begin(…, because, …)``: what just ended is why the next thing starts.
    """

    def __init__(self, plan: Plan, streams: Streams) -> None:
        self.plan, self.streams = plan, streams
        state = plan.state
        self.env = Environment(0.0 if state is None else state.at)
        self.levels = levels_of_run(plan, streams)
        self.sky = HourlySky(plan.sky, streams, None if state is None or state.wet is None else (state.at, state.wet))
        self.clocks: Clocks = make_clocks(plan.clocks, self.sky, streams, self.levels["laying.efficiency"])
        #: What there was before anything is simulated: the start, or all that was lived by the moment at which the run begins.
        self.zero: Step = (0.0, self.env.now, None, 0.0, H_HOUR, -1, -1, -1)
        self.trace: list[Step] = [self.zero]
        self.begin = beginner([self.clocks[kind.clock] if kind.clock else None for kind in KINDS], self.trace)
        self.areas = [Area(index, area, AreaLuck(plan, area, self.levels, streams)) for index, area in enumerate(plan.areas)]
        self.edges: list[LayingEdge] = []
        for index, edge in enumerate(plan.edges):
            self.edges.append(LayingEdge(index, edge, self.areas[edge.area], self.env))
            self.areas[edge.area].edges.append(self.edges[-1])
        self.waits: list[Waiting] = []
        self.open_edges: list[LayingEdge] = []
        for area in self.areas:
            if area.plan.gate is None:
                self.open_area(area)
        self.gates: list[Gate] = []
        self.gangs = tuple(Gang(self.env, one.people) for one in plan.gangs_of_tasks)
        self.flying = Flying(self)
        self.ends = TemporaryEnds(self) if plan.ends else None
        self.opened: dict[int, tuple[int, int]] = {}
        self.reached: list[Step | None] = [None] * len(plan.milestones)
        self.over = self.env.event()
        self.turns = turns_at(self)
        self.rail_gang: RailGang | None = None
        supply = plan.supply
        self.key_strips = OwnPallets(supply.key_strips) if supply.key_strips is not None else None
        self.rail_sections = OwnPallets(supply.rail) if supply.rail is not None else None
        self._by_load = [one for one in (self.key_strips, self.rail_sections) if one is not None and one.plan.load is not None]
        self._loads = 0
        self._gates_by_load: list[tuple[int, int]] = []
        self.shipments = NeededShipments()
        if state is not None:
            self._stand(state)
        self._waiting_crews: list[Event] = []
        self._processes: list[Process] = []

    def _stand(self, state: FieldState) -> None:
        """Let laying edges and parts stand as they did at the moment at which the run begins."""
        supply = self.plan.supply
        for edge, stands in zip(self.edges, state.edges, strict=True):
            edge.stand(stands, (supply.full, supply.half), self.zero)
            if stands.prepared and edge.area.prepared is None:
                edge.area.prepare(self.env.event(), self.zero)
        self.open_edges = [edge for edge in self.open_edges if not edge.done.triggered]
        brought = max(0, state.unloaded - supply.on_hand)
        # The last of the loads that are to come may be less than a whole one.
        self._loads = brought // supply.per_load if state.unloaded < supply.total else -(-brought // supply.per_load)
        for parts in self._by_load:
            parts.all_there = self._loads >= (parts.plan.load or 0)
        used = sum(row < edge.laid or row == edge.strip_set for edge in self.edges for row in edge.plan.strips)
        used += sum(area.plan.starter and area.prepared is not None for area in self.areas)
        if self.key_strips is not None:
            self.key_strips.left -= used
        if self.rail_sections is not None:
            self.rail_sections.left -= sum(edge.sections for edge in state.edges)

    def start(self, process: Process) -> None:
        """Set an actor to work."""
        self._processes.append(process)
        self.env.process(process)

    def begin_on(self, clock: str) -> Begin:
        """Return what begins a crew's steps by the clock of that name: `begin` itself where it is the one of their kind."""
        found = self.clocks[clock]
        return self.begin if found is self.clocks["laying"] else beginner_on(found, self.clocks.own, self.trace)

    def dismiss(self) -> None:
        """Send every actor home, wherever it stands in its work, and let what was still to happen pass unseen."""
        for process in self._processes:
            process.close()
        self.env.run()
        self._processes.clear()
        self.waits.clear()
        self.gates.clear()
        self.rail_gang = None
        self.ends = None
        del self.flying
        del self.turns
        for gang in self.gangs:
            gang.lends = None
        for edge in self.edges:
            edge.parties.clear()
            edge.last_crew = None
        for area in self.areas:
            area.edges.clear()

    def open_area(self, area: Area) -> None:
        """Let crews and pallets come to an area, if they may not yet."""
        if area.open:
            return
        area.opened = self.env.now
        self.open_edges.extend(edge for edge in area.edges if not edge.done.triggered)

    def pause(self, kind: int, until: float, because: Step, actor: int) -> Step:
        """Begin a step without work that ends at a moment known beforehand."""
        now = self.env.now
        step = (now, now + (until - now), because, 0.0, kind, actor, -1, -1)
        self.trace.append(step)
        return step

    def held_up(self, until: float, because: Step, actor: int) -> Step:
        """Begin the wait of a flight for a day on which the daily limit has room."""
        step = self.pause(DAILY_LIMIT, until, because, actor)
        self.clocks.by_calendar.add(id(step))
        return step

    def crew_came(self, because: Step, actor: int, clock: str) -> Step:
        """Return the step in which a laying edge waited for the crew that comes now: `because` itself where that has just ended.

        It is told by the crew's clock, and stands in the trace where it began.
        """
        return because if because[END] >= self.env.now else self.stood(because, actor, clock, NO_CREW)

    def stood(self, because: Step, actor: int, clock: str, kind: int, edge: int = -1) -> Step:
        """Return the step, of no work, in which an actor stood from its last one until now; in the trace it is where it began."""
        step = (because[END], self.env.now, because, 0.0, kind, actor, edge, -1)
        self.clocks.own[id(step)] = self.clocks[clock]
        insort(self.trace, step, key=itemgetter(START))
        return step

    def wait_out(self, until: float, because: Step, actor: int, clock: str, kind: int = NO_CREW) -> Step:
        """Begin the rest of a crew's shift, of which its clock leaves nothing."""
        step = self.pause(kind, until, because, actor)
        self.clocks.own[id(step)] = self.clocks[clock]
        return step

    def late_start(self, until: float, actor: int) -> Step:
        """Begin the time until an actor that is not there at the start comes."""
        return self.pause(LATE_START, until, self.zero, actor)

    def pass_gates(self, gates: tuple[int, ...], step: Step) -> None:
        """Tell gates that one more of the laying edges they wait for has passed its row."""
        for gate in gates:
            self.gates[gate].pass_one(step)

    def look_at_length(self, area: Area, step: Step) -> None:
        """Tell gates that wait for a length of an area without a gap, wherever it lies, what lies of it now."""
        rows = area.rows_laid
        while area.wanted and area.wanted[0][0] <= rows:
            _, gate = area.wanted.pop(0)
            self.opened[gate] = area.span()
            self.gates[gate].pass_one(step)

    def ground_ready(self, piece: Slice, step: Step) -> bool:
        """Note that a slice is graded, and wake the crew that waits for it.

        Returns
        -------
        bool
            Whether pallets may come to the laying edge now and could not before.
        """
        edge = self.edges[piece.edge]
        barred = edge.graded <= edge.laid
        edge.slices_done[piece.first] = piece.upto
        while edge.graded in edge.slices_done:  # two gangs may finish out of order: a crew needs ground without gaps
            edge.graded = edge.slices_done.pop(edge.graded)
        event = edge.waits_for_ground
        if event is not None and edge.graded > edge.laid:
            edge.waits_for_ground = None
            event.succeed(step)
        if self.rail_gang is not None:
            self.rail_gang.look(step)
        return barred and edge.graded > edge.laid

    def when_unloaded(self, load: int, gate: int) -> None:
        """Let a gate wait for a load to be unloaded, counted as loads are."""
        if load <= self._loads:
            self.pass_gates((gate,), self.zero)
        else:
            self._gates_by_load.append((load, gate))

    def load_unloaded(self, step: Step) -> None:
        """Note that a load has been unloaded, and the parts that came with it."""
        self._loads += 1
        for load, gate in self._gates_by_load:
            if load == self._loads:
                self.pass_gates((gate,), step)
        for parts in self._by_load:
            if parts.plan.load == self._loads:
                self.parts_come(parts, step)

    def parts_come(self, parts: OwnPallets, step: Step) -> None:
        """Let those go on who wait for parts that have come."""
        parts.come(step)
        if self.rail_gang is not None:
            self.rail_gang.look(step)

    def crews_look_again(self, step: Step | None) -> None:
        """Wake the crews that found no laying edge to go to; None where nothing has ended but a crew's shift."""
        waiting, self._waiting_crews = self._waiting_crews, []
        for event in waiting:
            event.succeed(step)

    def wait_for_edge(self) -> Event:
        """Return the event that `crews_look_again` fires."""
        event = self.env.event()
        self._waiting_crews.append(event)
        return event


def levels_of_run(plan: Plan, streams: Streams) -> dict[str, float]:
    """Return the levels of one run: as the scenario has them, or as work that has begun says."""
    if plan.learned is not None:
        return plan.learned.draw(plan.levels, streams, plan.sampling)
    return draw_levels(plan.levels, streams, plan.sampling)
