"""What do the actors of a run share? The site: its laying edges and areas, the clocks, graded ground, and the trace."""

from __future__ import annotations

from simulation.chance import Streams, draw_levels
from simulation.conditions import Clocks, HourlySky, make_clocks
from simulation.construction.actors.rail_gang import RailGang
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan import Plan, Slice
from simulation.construction.plan.steps import H_HOUR, KINDS, Step
from simulation.construction.site.edges.area_draws import AreaLuck
from simulation.construction.site.edges.laying_edge import Area, Event, LayingEdge
from simulation.construction.site.edges.shift_handover import turns_at
from simulation.construction.site.edges.waits import Waiting
from simulation.construction.site.event_loop import Environment, Process
from simulation.construction.site.gangs import Gang
from simulation.construction.site.idle_steps import IdleSteps
from simulation.construction.site.milestones.flying import Flying
from simulation.construction.site.milestones.passed_gates import PassedGates
from simulation.construction.site.milestones.temporary_ends import TemporaryEnds
from simulation.construction.site.pallets.needed_shipments import NeededShipments
from simulation.construction.site.pallets.own_pallets import OwnPallets
from simulation.construction.site.step_factory import Begin, beginner, beginner_on


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
    gates : PassedGates
    flying : Flying
        When the area that is flown from is closed to work.
    over : Event
        Fired when the last milestone is reached, or by the last day simulated.
    begin : callable
        ``begin(kind, hours, because, actor, edge=-1, number=-1)`` begins a step now, of so many hours of work at full rate, and
        returns it; a process that yields it goes on at its end. `because` is the step whose end let it start: it must end now. So
        a process reads ``because = yield site.begin(…, because, …)``: what just ended is why the next thing starts.
    pause, stood : callable
        The same for steps without work: see `IdleSteps`.
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
        idle = IdleSteps(self.env, self.clocks, self.trace)
        self.pause, self.stood = idle.pause, idle.stood
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
        self.gates = PassedGates()
        self.gangs = tuple(Gang(self.env, gang.people) for gang in plan.gangs_of_tasks)
        self.flying = Flying(self)
        self.ends = TemporaryEnds(self) if plan.ends else None
        self.reached: list[Step | None] = [None] * len(plan.milestones)
        self.over = self.env.event()
        self.turns = turns_at(self)
        self.rail_gang: RailGang | None = None
        supply = plan.supply
        self.key_strips = OwnPallets(supply.key_strips) if supply.key_strips is not None else None
        self.rail_sections = OwnPallets(supply.rail) if supply.rail is not None else None
        self._by_load = [
            parts for parts in (self.key_strips, self.rail_sections) if parts is not None and parts.plan.load is not None
        ]
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
        self.gates.loads = brought // supply.per_load if state.unloaded < supply.total else -(-brought // supply.per_load)
        for parts in self._by_load:
            parts.all_there = self.gates.loads >= (parts.plan.load or 0)
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
        own = self.clocks[clock]
        return self.begin if own is self.clocks["laying"] else beginner_on(own, self.clocks.own, self.trace)

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
            edge.grade_up_to(edge.slices_done.pop(edge.graded))
        event = edge.waits_for_ground
        if event is not None and edge.graded > edge.laid:
            edge.waits_for_ground = None
            event.succeed(step)
        if self.rail_gang is not None:
            self.rail_gang.look(step)
        return barred and edge.graded > edge.laid

    def load_unloaded(self, step: Step) -> None:
        """Note that a load has been unloaded, and the parts that came with it."""
        self.gates.count_load(step)
        for parts in self._by_load:
            if parts.plan.load == self.gates.loads:
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
