"""One construction from the start to its last milestone: the actors are set to work on a site, and the clock runs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

from simulation.chance import Streams
from simulation.construction.actors.closing import close, horizon
from simulation.construction.actors.crew import Crew
from simulation.construction.actors.delivery import LoadingPlaces, arrivals, flight, resupply, truck
from simulation.construction.actors.follow_up_work import come, follow, wait_for
from simulation.construction.actors.forklift import Forklift
from simulation.construction.actors.grading import Ground, gang, undoing
from simulation.construction.actors.rail_gang import RailGang
from simulation.construction.actors.shipment import shipment
from simulation.construction.actors.weather import weather
from simulation.construction.actors.windows import windows
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import LATE_START, NOT_DELIVERED, RAIL_MISSING, STRIPS_MISSING, TASK, Step
from simulation.construction.site.going_on import go_on
from simulation.construction.site.milestones.passed_gates import Gate
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.own_pallets import comes_by_date
from simulation.construction.site.pallets.stock import Stock, nobody
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp
from simulation.construction.take_up.forklifts import YardForklift
from simulation.construction.take_up.parties import Party
from simulation.construction.take_up.start import start_take_up


@dataclass(frozen=True)
class Actor:
    """Who does steps: a kind of actor and its name."""

    kind: str
    name: str


@dataclass(frozen=True)
class Finished:
    """A run that has run: its site as it was left, its actors in the order of their numbers, and what came up of the field."""

    site: Site
    stock: Stock
    board: Board
    forklifts: tuple[Forklift | YardForklift, ...]
    crews: tuple[Crew | Party, ...]
    actors: tuple[Actor, ...]
    up: ComingUp | None = None

    def dismiss(self) -> None:
        """Undo the ties by which the parts of a run hold each other, so that its memory is free as soon as it is let go."""
        self.site.dismiss()
        self.stock.resupply = nobody
        if self.up is not None:
            self.up.dismiss()


def simulate(plan: Plan, run_number: int, seed: int | None = None, until: float = math.inf) -> Finished:
    """Run one run.

    Parameters
    ----------
    plan : Plan
    run_number : int
        Number of the run, from 0.
    seed : int, optional
        Default: the plan's.
    until : float, optional
        Hours since the start at which it is left as it stands, whatever is under way. Default: it runs to its end.

    Notes
    -----
    Actors start in a fixed order of kind and number, and so are ties between them broken.
    """
    site = Site(plan, Streams(plan.seed if seed is None else seed, run_number))
    stock = Stock(site)
    board = Board(site, stock)
    actors: list[Actor] = []
    start = site.start

    def actor(kind: str, name: str) -> int:
        actors.append(Actor(kind, name))
        return len(actors) - 1

    if plan.take_up is not None:
        at_work = start_take_up(site, stock, actor)
        start(horizon(site, min(until, plan.horizon)))
        site.env.run(until=site.over)
        return Finished(site, stock, board, at_work.forklifts, at_work.crews, tuple(actors), at_work.field)
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
    for number, of_shipment in enumerate(plan.supply.shipments):
        start(shipment(site, board, of_shipment, number, actor("shipment", f"{number + 1}")))
    places = plan.supply.loading_places
    port = LoadingPlaces(places) if places is not None else None
    for fleet in plan.supply.fleets:
        for number in range(fleet.count):
            name = f"{fleet.key.rpartition('.')[2]}.{number + 1}"
            start(truck(site, board, fleet, number, actor("truck", name), port))
    for number, plan_of in enumerate(plan.supply.flights):
        start(flight(site, board, plan_of, number, actor("flight", f"{number + 1}")))
    if plan.supply.arrivals:
        start(arrivals(site, board, actor("arrivals", "loads on their way")))
    crews = tuple(Crew(actor("crew", crew.name), crew, site, board) for crew in plan.crews)
    for crew in crews:
        start(crew.work())
    forklifts = tuple(Forklift(number, actor("forklift", f"{number + 1}"), site, board) for number in range(plan.forklifts.count))
    for forklift in forklifts:
        start(forklift.work())
    closers = [actor("milestone", milestone.name) for milestone in plan.milestones]
    order = actor("resupply", "resupply")
    stock.resupply = lambda pallets, step: start(resupply(site, board, pallets, order, step))

    def open_area(number: int, step: Step) -> None:
        site.open_area(site.areas[number])
        site.crews_look_again(step)
        board.jobs_for_all(step)

    def begin_closing(number: int, step: Step) -> None:
        if site.reached[number] is None:
            start(close(site, number, closers[number], step))

    followers = [actor("following", work.name) for work in plan.follows]

    begun: set[int] = set()

    def begin_following(number: int, step: Step) -> None:
        if number not in begun:
            begun.add(number)
            start(follow(site, plan.follows[number], followers[number], step))

    for gang_of_tasks, of_plan in zip(site.gangs, plan.gangs_of_tasks, strict=True):
        if of_plan.crew is not None:
            gang_of_tasks.lends = crews[of_plan.crew].lend
        if of_plan.since > site.env.now:
            start(come(site, gang_of_tasks, of_plan.since, actor("gang of tasks", of_plan.name)))
    if plan.flying is not None:
        start(windows(site, board, plan.flying, actor("windows", plan.areas[plan.flying.area].name)))
    for gate in plan.gates:
        if gate.follows is not None:
            then = partial(begin_following, gate.follows)
        else:
            then = partial(open_area, gate.area) if gate.area is not None else partial(begin_closing, gate.milestone)
        site.gates.add(Gate(gate.parts, then))
    for number, gate in enumerate(plan.gates):
        if gate.follows is not None and plan.follows[gate.follows].kind == TASK:
            of_task, done = (
                plan.follows[gate.follows],
                plan.state is not None and plan.state.is_done(gate.follows, len(plan.follows[gate.follows].counts)),
            )
            if not gate.parts or done:  # nothing to wait for, or done when the run began
                begin_following(gate.follows, site.zero)
                continue
            if of_task.since > 0.0:
                start(wait_for(site, LATE_START, of_task.since, number, followers[gate.follows]))
            if of_task.load:
                site.gates.wait_for_load(of_task.load, number, site.zero)
            for needed in of_task.shipments:
                site.shipments.need(needed, number, followers[gate.follows])
            if of_task.comes is not None:
                start(wait_for(site, NOT_DELIVERED, site.levels[of_task.comes], number, followers[gate.follows]))
    if plan.state is not None:
        go_on(site, board, plan.state)
        for pallets, ordered in plan.state.orders:
            if ordered + plan.supply.resupply > plan.state.at:
                start(resupply(site, board, pallets, order, site.zero, ordered))
    start(horizon(site, min(until, plan.horizon)))
    site.env.run(until=site.over)
    return Finished(site, stock, board, forklifts, crews, tuple(actors))
