"""What do the actors of a take-up share? Sections, parties at work, pallets, the yard, and how far each area is out."""

from __future__ import annotations

import heapq
import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.construction.plan.steps import END, RAIL_UP, Step
from simulation.construction.plan.take_up_plan import AWAY, IN_YARD, UP, SectionPlan
from simulation.construction.site.edges.laying_edge import Event
from simulation.construction.take_up.mat_luck import MatLuck
from simulation.construction.take_up.pallet_up import LoadOff, PalletUp
from simulation.construction.take_up.parties import Party, Point
from simulation.construction.take_up.section import Piece, Section

if TYPE_CHECKING:
    from simulation.construction.site.pallets.stock import Stock
    from simulation.construction.site.site import Site


@dataclass(eq=False)
class Fetch:
    """A pallet that a forklift is to bring to the yard: from which point, how many feet, at which laying edge."""

    pallet: PalletUp
    point: Point
    away: float
    edge: int


@dataclass(eq=False)
class PutOn:
    """A load that a forklift is to put on what takes it away; `off` says when pallets are off the site that are on by an hour."""

    pallets: tuple[PalletUp, ...]
    hours: float
    loaded: Event
    off: Callable[[float, int], float]


#: Who waits for a load: how many pallets, and the event of their being there.
Queue = deque[tuple[int, Event]]


class ComingUp:
    """The shared state of a field that is taken up.

    Attributes
    ----------
    left : list of Section
        Sections that nobody is at.
    busy : list of Section
        Those that a crew is at.
    parties : tuple of Party
    made : int
        Pallets that were banded.
    jobs : deque
        What forklifts are to do, in the order in which it came up.
    yard : deque of PalletUp
        Those that stand in the yard and that nobody takes yet.
    brought : int
        Pallets that came to the yard.
    standing : int
        Those of them that stand there, a load that is put on what takes it away until all of it is on.
    most : (int, float)
        The most that stood there at once, and the hour from which on they did.
    all_banded : bool
        Whether no more pallets are made.
    off : list of LoadOff
    waiters : list of Party
        Who waits, of each of the site's waits.
    kept : dict of int to int
        Pallets that each ship will still take, and that trucks and flights leave.
    given : int
        Pallets that have been taken out of the yard.
    sailings : list of callable
        What lets each ship sail that has come; called when nothing is left.
    last_in : Step or None
        What brought the last pallet to the yard.
    pallets : list of PalletUp
        All that were banded.
    when : list of float
        When everything had come to each stage; infinite before.
    lifted : list of (int, int)
        Area and row, in the order in which they came up.
    dug : set of SectionPlan
        Whose end ramps are dug out.
    """

    def __init__(self, site: Site, stock: Stock) -> None:
        assert site.plan.take_up is not None
        self.site, self.stock, self.plan = site, stock, site.plan.take_up
        self.luck = MatLuck(site)
        self.left = [Section(section) for section in self.plan.sections]
        self.busy: list[Section] = []
        self.at_work = 0
        self.parties: tuple[Party, ...] = ()
        self.made = self.brought = self.standing = 0
        self.most = 0, 0.0
        self.loads = 0
        self.all_banded = False
        self.jobs: deque[Fetch | PutOn] = deque()
        self.idle: list[tuple[int, Event]] = []
        self.yard: deque[PalletUp] = deque()
        self.trucks: Queue = deque()
        self.ships: Queue = deque()
        self.kept = {number: ship.pallets for number, ship in enumerate(self.plan.ships)}
        self.given = 0
        self.taken: dict[int, tuple[PalletUp, ...]] = {}
        self.off: list[LoadOff] = []
        self.waiters: list[Party] = []
        self.sailings: list[Callable[[], None]] = []
        self.last_in: Step | None = None
        self.pallets: list[PalletUp] = []
        self.lifted: list[tuple[int, int]] = []
        self.dug: set[SectionPlan] = set()
        self.ramp_waits: dict[SectionPlan, Event] = {}
        self._wait_for_point: list[Event] = []
        areas = range(len(site.plan.areas))
        self._rails: dict[int, list[tuple[SectionPlan, int]]] = {}
        self._bare: set[tuple[int, int]] = set()
        rows, mats = [0 for _ in areas], [0 for _ in areas]
        for section in self.plan.sections:
            rows[section.area] += len(section.rows) + len(section.rails)
            self._rails.setdefault(section.area, []).extend((section, place) for place in range(len(section.rails)))
            mats[section.area] += sum(section.mats)
        self._inside = {UP: rows, IN_YARD: mats, AWAY: list(mats)}
        self.when = [math.inf] * len(self._inside)
        self._last = AWAY if self.plan.leaves else IN_YARD

    # Sections.

    def next_section(self, areas: tuple[int, ...]) -> tuple[Section | None, bool]:
        """Return the section that a crew of some areas goes to now, if there is one, and whether there will be one later."""
        left = [section for section in self.left if section.plan.area in areas]
        mine = next((section for section in left if not any(self._inside[UP][other] for other in section.plan.after)), None)
        if mine is None:
            return None, bool(left) or any(section.plan.area in areas for section in self.busy)
        if len(self.busy) >= self.plan.points:
            return None, True
        self.left.remove(mine)
        self.busy.append(mine)
        return mine, False

    def free_rails(self, section: Section) -> list[Piece]:
        """Note that all rows of a section are up; return the sections of guide rail that no mat hooks into any more by that."""
        area, rails = section.plan.area, self._rails[section.plan.area]
        self._bare.add((area, section.plan.order))
        free = [(plan, n) for plan, n in rails if all((area, order) in self._bare for order in plan.rails[n][1])]
        rails[:] = [rail for rail in rails if rail not in free]
        return [(RAIL_UP, self.luck.rail(plan)[n], plan.rails[n][0]) for plan, n in free]

    def wait_for_point(self) -> Event:
        """Return the event of a section's being done, or left by its crew."""
        event = self.site.env.event()
        self._wait_for_point.append(event)
        return event

    def leave_section(self, section: Section, step: Step) -> None:
        """Note that a section is up, or that its crew goes home: then it is the next that a crew comes to."""
        self.busy.remove(section)
        if section.work:
            self.left.insert(0, section)
        waiting, self._wait_for_point = self._wait_for_point, []
        for event in waiting:
            event.succeed(step)

    def wait(self, edge: int, what: str, party: Party) -> Event:
        """Return an event that somebody waits for, and note for what."""
        event = self.site.env.event()
        self.site.waits.append((edge, what, self.site.env.now, event))
        self.waiters.append(party)
        return event

    # Forklifts' jobs.

    def job(self, job: Fetch | PutOn, step: Step) -> None:
        """Give forklifts something to do."""
        self.jobs.append(job)
        if self.idle:
            heapq.heappop(self.idle)[1].succeed(step)

    def wait_for_job(self, forklift: int) -> Event:
        """Return the event of a job."""
        event = self.site.env.event()
        heapq.heappush(self.idle, (forklift, event))
        return event

    # The yard.

    @property
    def all_in(self) -> bool:
        """Whether every pallet has come to the yard."""
        return self.all_banded and self.brought == self.made

    def in_yard(self, pallet: PalletUp, step: Step) -> None:
        """Set a pallet down in the yard."""
        self.brought += 1
        self.standing += 1
        if self.standing > self.most[0]:
            self.most = self.standing, step[END]
        self.last_in = step
        self.yard.append(pallet)
        if not self.plan.leaves:
            self.off.append(LoadOff(step[END], (pallet,)))
        self.count_out(IN_YARD, pallet.by_area, step)
        self.offer(step)

    def there_for(self, queue: Queue) -> int:
        """Return how many pallets of the yard those of a queue may take: what is kept for ships, none but these."""
        kept = sum(self.kept.values())
        if queue is self.ships or not kept:
            return len(self.yard)
        come = self.made if self.all_banded else max(self.made, self.plan.least)
        return max(0, min(len(self.yard), come - self.given - kept))

    def offer(self, step: Step) -> None:
        """Let ships and trucks that wait have a load, or what is left of the field."""
        for queue in (self.ships, self.trucks):
            while queue and (there := self.there_for(queue)) and (there >= queue[0][0] or self.all_in):
                pallets, event = queue.popleft()
                self.taken[id(event)] = self.take(min(pallets, there))
                event.succeed(step)

    def take(self, pallets: int) -> tuple[PalletUp, ...]:
        """Take up to so many pallets of the yard, those first that have stood longest."""
        pallets = min(pallets, len(self.yard))
        self.given += pallets
        return tuple(self.yard.popleft() for _ in range(pallets))

    def give_back(self, pallets: tuple[PalletUp, ...], step: Step) -> None:
        """Let pallets stand that the day's limit leaves no room for."""
        self.given -= len(pallets)
        self.yard.extendleft(reversed(pallets))
        self.offer(step)

    def keep_for_ship(self, number: int, pallets: int, step: Step) -> None:
        """Keep so many pallets for a ship from now on: fewer as it takes them, none once it is known never to come."""
        self.kept[number] = pallets
        self.offer(step)

    def out(self, load: PutOn, step: Step) -> None:
        """Note that a load leaves the yard."""
        self.loads += 1
        self.standing -= len(load.pallets)
        self.off.append(LoadOff(load.off(step[END], len(load.pallets)), load.pallets))
        for pallet in load.pallets:
            self.count_out(AWAY, pallet.by_area, step)
        if not any(self._inside[AWAY]):
            for sail in self.sailings:
                sail()

    # Milestones.

    def count_out(self, stage: int, by_area: tuple[tuple[int, int], ...], step: Step) -> None:
        """Note that rows or mats of areas have come to a stage; milestones that they were the last for are reached."""
        inside = self._inside[stage]
        done = False
        for area, count in by_area:
            inside[area] -= count
            done = done or not inside[area]
        if not done:
            return
        site = self.site
        for number, milestone in enumerate(self.plan.milestones):
            if milestone.stage == stage and site.reached[number] is None and not any(inside[area] for area in milestone.areas):
                site.reached[number] = step
        if not any(inside):
            self.when[stage] = step[END]
        if stage == self._last and not any(inside) and not site.over.triggered:
            site.over.succeed()

    def share_left(self) -> float:
        """Return the share of the rows, and sections of rail, that still lie."""
        whole = sum(len(section.rows) + len(section.rails) for section in self.plan.sections)
        return sum(self._inside[UP]) / whole

    def dismiss(self) -> None:
        """Undo the ties by which its parts hold each other."""
        for held in (
            self.jobs,
            self.idle,
            self.trucks,
            self.ships,
            self.sailings,
            self.taken,
            self.ramp_waits,
            self._wait_for_point,
        ):
            held.clear()
