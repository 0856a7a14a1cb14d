"""The rail gang: it sets section after section of the guide rails ahead of the mats, and short ones where clearance is used up.

A section waits for graded ground and for a gauge; a gauge comes free when mats have passed the joint in which it stands.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.chance import draw_factors, factors
from simulation.construction.plan.steps import LATE_START, RAIL, SHORT_SECTION, TAMP, Step
from simulation.construction.site.edges.laying_edge import NEVER
from simulation.construction.site.edges.rail_clearance import remedies
from simulation.construction.site.event_loop import Process

if TYPE_CHECKING:
    from simulation.construction.plan.plan_parts import RailPlan
    from simulation.construction.site.edges.laying_edge import Event, LayingEdge
    from simulation.construction.site.site import Site


class Rail:
    """The guide rail of one area in one run.

    Attributes
    ----------
    set : int
        Sections that are set.
    hours, tamping : list of float
        Of each section: to set it, and to tamp its ground first; zero where that does not lie low.
    """

    __slots__ = ("_short", "edge", "hours", "plan", "set", "tamping")

    def __init__(self, site: Site, plan: RailPlan) -> None:
        assert site.plan.rail_gang is not None
        levels, scatters, owner = site.levels, site.plan.scatters, site.plan.areas[plan.area].name
        self.plan, self.edge, self.set = plan, site.edges[plan.edge], 0
        count = len(plan.rows)

        def draw(purpose: str, key: str) -> list[float]:
            hours: list[float] = (levels[key] * factors(scatters[key], site.streams.stream(purpose, owner), count)).tolist()
            return hours

        self.hours = draw("rail section", "rail_gang.section")
        low = site.streams.stream("low spots", owner).random(count) < site.plan.rail_gang.low_spots
        self.tamping = (low * draw("tamping", "rail_gang.tamp")).tolist()
        self._short = draw_factors(scatters["rail_gang.short_section"], site.streams, "short section", owner)
        self.edge.rail_up_to(0)
        if site.plan.state is not None and (sections := site.plan.state.edges[plan.edge].sections):
            self.set = sections
            self.edge.rail_up_to(plan.rows[sections - 1])
        self.edge.remedies = remedies(plan, self.edge.plan.strips, _creep(site, plan, owner))
        self.edge.stops = self.edge.plan.stops | self.edge.remedies.keys()

    @property
    def ready(self) -> bool:
        """Whether the next section can be set now, if there is one."""
        plan, edge, number = self.plan, self.edge, self.set
        return number < len(plan.rows) and edge.graded >= plan.ground[number] and edge.laid >= plan.after[number]

    @property
    def lead(self) -> tuple[bool, int]:
        """How long the rail can wait: first those that a crew has come to, then by the rows that it lets be laid."""
        return not self.edge.begun, self.edge.railed - self.edge.laid

    def next_short(self) -> float:
        """Return the luck of the next short section."""
        return next(self._short)


def _creep(site: Site, plan: RailPlan, owner: str) -> list[list[float]]:
    """Return how far beyond its depth each row takes up, in the order of laying, on either side of the rail."""
    area, edge = site.plan.areas[plan.area], site.plan.edges[plan.edge]

    def draw(name: str) -> Any:
        key = f"{plan.key}.{name}"
        return site.levels[key] * factors(site.plan.scatters[key], site.streams.stream(name, owner), area.rows)

    creep = draw("creep")
    sides = [creep, creep + draw("uneven")] if site.levels[f"{plan.key}.uneven"] else [creep]
    return [edge.in_order(side.tolist()) for side in sides]


class RailGang:
    """The rail gang of one run.

    Attributes
    ----------
    actor : int
    rails : list of Rail
    """

    def __init__(self, actor: int, site: Site) -> None:
        self.actor, self.site = actor, site
        self.rails = [Rail(site, plan) for plan in site.plan.rails]
        self._asked: list[tuple[Rail, int, Event]] = []
        self._waiting: Event | None = None
        self._sections = site.rail_sections

    def work(self) -> Process:
        """Set what is asked for, then section after section of the rail that can wait least."""
        site = self.site
        assert site.plan.rail_gang is not None
        because = site.zero
        if site.plan.rail_gang.since > site.env.now:
            because = yield site.pause(LATE_START, site.plan.rail_gang.since, site.zero, self.actor)
        while True:
            if self._asked:
                rail, row, event = self._asked.pop(0)
                hours = site.levels["rail_gang.short_section"] * rail.next_short()
                because = yield from self._work(SHORT_SECTION, hours, rail, row, because)
                event.succeed(because)
                continue
            ready = self._ready()
            if not ready:
                because = yield self._wait()
                continue
            because = yield from self._set(min(ready, key=lambda rail: rail.lead), because)

    def _ready(self) -> list[Rail]:
        """Return the rails of which a section can be set now."""
        if self._sections is not None and not self._sections.there:
            return []
        ready = [rail for rail in self.rails if rail.ready]
        for rail in ready:
            rail.edge.refused |= rail.edge.closed
        return [rail for rail in ready if not rail.edge.closed]

    def _set(self, rail: Rail, because: Step) -> Process:
        """Set the next section of a rail, its ground tamped first where that lies low, and let the crew beside it go on."""
        edge, number = rail.edge, rail.set
        if rail.tamping[number]:
            because = yield from self._work(TAMP, rail.tamping[number], rail, number + 1, because)
        because = yield from self._work(RAIL, rail.hours[number], rail, number + 1, because)
        if self._sections is not None:
            self._sections.take()
        rail.set += 1
        edge.rail_up_to(rail.plan.rows[number])
        event = edge.waits_for_rail
        if event is not None and edge.railed > edge.laid:
            edge.waits_for_rail = None
            event.succeed(because)
        return because

    def _work(self, kind: int, hours: float, rail: Rail, number: int, because: Step) -> Process:
        """Do something at a rail, between flights where its area is flown from; return the last step."""
        site, step = self.site, (kind, hours, because, self.actor, rail.edge.index, number)
        if site.plan.flying is None:
            return (yield site.begin(*step))
        return (yield from site.flying.work(rail.edge, site.begin, "laying", *step, before=number))

    def _wait(self) -> Event:
        """Return the event of more that can be done: graded ground, a gauge that comes free, a short section asked for."""
        for rail in self.rails:
            if rail.set < len(rail.plan.rows) and rail.edge.laid < rail.plan.after[rail.set]:
                rail.edge.frees_gauge = rail.plan.after[rail.set]
        self._waiting = self.site.env.event()
        return self._waiting

    def look(self, step: Step) -> None:
        """Let the gang go on because of a step, if it waits and can."""
        waiting = self._waiting
        if waiting is not None and (self._asked or self._ready()):
            self._waiting = None
            for rail in self.rails:
                rail.edge.frees_gauge = NEVER
            waiting.succeed(step)

    def short_section(self, edge: LayingEdge, row: int, because: Step) -> Event:
        """Ask for a short section beside a row, and return the event of its being set."""
        rail = next(rail for rail in self.rails if rail.edge is edge)
        event = self.site.env.event()
        self._asked.append((rail, row, event))
        self.look(because)
        return event
