"""Everybody who lays a field is set to work, in a fixed order of kind and number, by which ties between them are broken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from simulation.construction.actors.closing import close
from simulation.construction.actors.crew import Crew
from simulation.construction.actors.delivery import LoadingPlaces, arrivals, flight, resupply, truck
from simulation.construction.actors.follow_up_work import come, follow, wait_for
from simulation.construction.actors.forklift import Forklift
from simulation.construction.actors.grading import Ground, gang, undoing
from simulation.construction.actors.rail_gang import RailGang
from simulation.construction.actors.shipment import shipment
from simulation.construction.actors.weather import weather
from simulation.construction.actors.windows import windows
from simulation.construction.plan.steps import LATE_START, NOT_DELIVERED, RAIL_MISSING, STRIPS_MISSING, TASK, Step
from simulation.construction.site.going_on import go_on
from simulation.construction.site.milestones.passed_gates import Gate
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.own_pallets import comes_by_date
from simulation.construction.site.pallets.stock import Stock
from simulation.construction.site.site import Site

#: Returns the number of an actor of a kind and name.
Enlist = Callable[[str, str], int]


@dataclass(frozen=True)
class AtLaying:
    """Who lays a field."""

    crews: tuple[Crew, ...]
    forklifts: tuple[Forklift, ...]


def start_laying(site: Site, stock: Stock, board: Board, actor: Enlist) -> AtLaying:
    """Let everybody begin.

    Parameters
    ----------
    site : Site
    stock : Stock
        Where pallets are; it learns who orders again.
    board : Board
        Which job a forklift does next.
    actor : callable
        Returns the number of an actor of a kind and name.
    """
    plan, start = site.plan, site.start
    _start_ground(site, board, actor)
    _start_deliveries(site, board, actor)
    crews = tuple(Crew(actor("crew", crew.name), crew, site, board) for crew in plan.crews)
    for crew in crews:
        start(crew.work())
    forklifts = tuple(Forklift(number, actor("forklift", f"{number + 1}"), site, board) for number in range(plan.forklifts.count))
    for forklift in forklifts:
        start(forklift.work())
    closers = [actor("milestone", milestone.name) for milestone in plan.milestones]
    order = actor("resupply", "resupply")
    stock.resupply = lambda pallets, step: start(resupply(site, board, pallets, order, step))
    followers = _Followers(site, [actor("following", work.name) for work in plan.follows])
    for people, of_plan in zip(site.gangs, plan.gangs_of_tasks, strict=True):
        if of_plan.crew is not None:
            people.lends = crews[of_plan.crew].lend
        if of_plan.since > site.env.now:
            start(come(site, people, of_plan.since, actor("gang of tasks", of_plan.name)))
    if plan.flying is not None:
        start(windows(site, board, plan.flying, actor("windows", plan.areas[plan.flying.area].name)))
    _set_gates(site, board, closers, followers)
    followers.await_tasks()
    if plan.state is not None:
        go_on(site, board, plan.state)
        for pallets, ordered in plan.state.orders:
            if ordered + plan.supply.resupply > plan.state.at:
                start(resupply(site, board, pallets, order, site.zero, ordered))
    return AtLaying(crews, forklifts)


def _start_ground(site: Site, board: Board, actor: Enlist) -> None:
    """Let weather, grading gangs and the rail gang begin, and parts on pallets of their own that come by a date."""
    plan, start = site.plan, site.start
    if not plan.sky.dry:
        start(weather(site, actor("weather", "weather")))
    ground = Ground(site)
    if ground.heavy is not None:
        start(undoing(site, ground))
    for number in range(plan.gangs):
        start(gang(site, board, ground, actor("grading", f"gang {number + 1}")))
    if plan.rail_gang is not None:
        site.rail_gang = RailGang(actor("rail gang", "rail gang"), site)
        start(site.rail_gang.work())
    for parts, kind, name in ((site.key_strips, STRIPS_MISSING, "key strips"), (site.rail_sections, RAIL_MISSING, "rail")):
        if parts is not None and parts.plan.since is not None:
            start(comes_by_date(site, parts, kind, actor("parts", name)))


def _start_deliveries(site: Site, board: Board, actor: Enlist) -> None:
    """Let shipments, trucks, flights, and loads that are on their way begin."""
    supply, start = site.plan.supply, site.start
    for number, of_shipment in enumerate(supply.shipments):
        start(shipment(site, board, of_shipment, number, actor("shipment", f"{number + 1}")))
    port = LoadingPlaces(supply.loading_places) if supply.loading_places is not None else None
    for fleet in supply.fleets:
        for number in range(fleet.count):
            name = f"{fleet.key.rpartition('.')[2]}.{number + 1}"
            start(truck(site, board, fleet, number, actor("truck", name), port))
    for number, plan_of in enumerate(supply.flights):
        start(flight(site, board, plan_of, number, actor("flight", f"{number + 1}")))
    if supply.arrivals:
        start(arrivals(site, board, actor("arrivals", "loads on their way")))


def _set_gates(site: Site, board: Board, closers: list[int], followers: _Followers) -> None:
    """Say what each gate opens: an area, the closing of a milestone, or work that follows."""

    def open_area(number: int, step: Step) -> None:
        site.open_area(site.areas[number])
        site.crews_look_again(step)
        board.jobs_for_all(step)

    def begin_closing(number: int, step: Step) -> None:
        if site.reached[number] is None:
            site.start(close(site, number, closers[number], step))

    for gate in site.plan.gates:
        if gate.follows is not None:
            then = partial(followers.begin, gate.follows)
        else:
            then = partial(open_area, gate.area) if gate.area is not None else partial(begin_closing, gate.milestone)
        site.gates.add(Gate(gate.parts, then))


class _Followers:
    """Work that follows rows, tasks or dates: each piece begins once, by the actor of its number."""

    def __init__(self, site: Site, actors: list[int]) -> None:
        self._site, self._actors = site, actors
        self._begun: set[int] = set()

    def begin(self, number: int, step: Step) -> None:
        """Begin it, unless it has begun."""
        if number not in self._begun:
            self._begun.add(number)
            self._site.start(follow(self._site, self._site.plan.follows[number], self._actors[number], step))

    def await_tasks(self) -> None:
        """Let each task wait for what its gate does not see: dates, loads and shipments."""
        site, plan = self._site, self._site.plan
        for number, gate in enumerate(plan.gates):
            if gate.follows is None or plan.follows[gate.follows].kind != TASK:
                continue
            task, actor = plan.follows[gate.follows], self._actors[gate.follows]
            done = plan.state is not None and plan.state.is_done(gate.follows, len(task.counts))
            if not gate.parts or done:  # nothing to wait for, or done when the run began
                self.begin(gate.follows, site.zero)
                continue
            if task.since > 0.0:
                site.start(wait_for(site, LATE_START, task.since, number, actor))
            if task.load:
                site.gates.wait_for_load(task.load, number, site.zero)
            for needed in task.shipments:
                site.shipments.need(needed, number, actor)
            if task.comes is not None:
                site.start(wait_for(site, NOT_DELIVERED, site.levels[task.comes], number, actor))
