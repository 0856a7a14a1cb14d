"""What is under way by a site log: trucks on the road, forklifts under repair, orders, sweeps, and what has been reached?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from simulation.construction.plan.field_state import AT_PORT, COMING, HELD, LOADING, TRUCK_AT, UNLOADING, TruckState
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import SECOND, Entry, to_the_second
from simulation.scenario.site_log.log_moments import UnderWay, items_of
from simulation.scenario.types.mistakes import Mistake, did_you_mean, shown

if TYPE_CHECKING:
    from simulation.scenario import Scenario

_EXAMPLE = (
    "write things with / between them, such as truck 1.2 coming 14:20, forklift 2 down 09:15, ordered 12 pallets 08:00, "
    "load of 8 pallets, shipment 1 brought 240 pallets, shipment 2 never comes, shipment 3 due 2031-04-12 06:00, "
    "reached runway open 14:30, "
    "sweeping runway open 12:30, prepared apron, temporary end runway high, done 3 of tie-downs, apron"
)


@dataclass
class WorkUnderWay:
    """What is under way, as `FieldState` holds it; `prepared` are areas whose connectors and starter key strip are set,
    `ends` the laying edges where a temporary end stands.
    """

    trucks: tuple[tuple[TruckState, ...], ...]
    loads: tuple[int, ...]
    forklifts: tuple[float | None, ...]
    orders: tuple[tuple[int, float], ...]
    reached: tuple[float | None, ...]
    swept_since: tuple[float | None, ...]
    followed: tuple[int, ...]
    shipments: tuple[int | None, ...]
    due: tuple[tuple[int, float], ...]
    prepared: frozenset[str]
    ends: frozenset[int]

    @property
    def waiting(self) -> int:
        """Pallets in the yard that stand on what brought them."""
        on_trucks = sum(truck.pallets for fleet in self.trucks for truck in fleet if truck.stage == UNLOADING)
        return sum(self.loads) + on_trucks


class _Reader:
    """Gathers what lines say is under way."""

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.scenario, self.plan = scenario, plan
        self.trucks: dict[tuple[int, int], TruckState] = {}
        self.loads: list[int] = []
        self.down: dict[int, float] = {}
        self.orders: list[tuple[int, float]] = []
        self.reached: list[float | None] = [None] * len(plan.milestones)
        self.swept: list[float | None] = [None] * len(plan.milestones)
        self.followed = [0] * len(plan.follows)
        self.shipments: list[int | None] = [0] * len(plan.supply.shipments)
        self.due: dict[int, tuple[float, Entry]] = {}
        self.prepared: set[str] = set()
        self.ends: set[int] = set()

    def take(self, item: UnderWay, entry: Entry, now: bool) -> Mistake | None:
        """Take one thing; what is only under way counts where the line is of the moment. Return what is wrong with it."""
        words = item.words
        when = 0.0 if item.when is None else to_the_second((item.when - self.scenario.starts) / timedelta(hours=1))
        if item.what == "due":
            return self._due(int(words[0]), when, entry)
        if item.when is not None and not -SECOND <= when <= entry.end + SECOND:
            moment = f"{item.when:%Y-%m-%d %H:%M}"
            return self._wrong(entry, f"{moment} does not lie between the start and the line", "write when it began")
        match item.what:
            case "truck":
                return self._truck(words, max(when, 0.0), entry, now)
            case "forklift":
                number = int(words[0])
                if not 1 <= number <= self.plan.forklifts.count:
                    return self._wrong(entry, f"there is no forklift {number}", f"there are {self.plan.forklifts.count}")
                if now:
                    self.down[number - 1] = max(when, 0.0)
            case "ordered":
                self.orders.append((int(words[0]), max(when, 0.0)))
            case "shipment":
                number = int(words[0])
                if wrong := self._no_shipment(number, entry):
                    return wrong
                on_it = self.plan.supply.shipments[number - 1].pallets
                if words[1] and int(words[1]) > on_it:
                    return self._wrong(entry, f"shipment {number} has {on_it} pallets on it", f"write at most {on_it}")
                self.shipments[number - 1] = int(words[1]) if words[1] else None
            case "load":
                if now:
                    self.loads.append(int(words[0]))
            case "prepared":
                areas = {area.name.lower() for area in self.plan.areas}
                if words[0].lower() not in areas:
                    right = did_you_mean(words[0], [area.name for area in self.plan.areas])
                    return self._wrong(entry, f"there is no area {shown(words[0])}", right)
                self.prepared.add(words[0].lower())
            case "temporary end":
                if not self.plan.ends:
                    return self._wrong(entry, "the scenario makes no temporary ends", "add [temporary_end], or leave it out")
                edges = {" ".join(filter(None, self._edge(number))): number for number in range(len(self.plan.edges))}
                if words[0] not in edges:
                    return self._wrong(entry, f"there is no laying edge {shown(words[0])}", did_you_mean(words[0], list(edges)))
                if now:
                    self.ends.add(edges[words[0]])
            case "done":
                names = [work.name for work in self.plan.follows]
                if words[1] not in names:
                    return self._wrong(entry, f"there is no work called {shown(words[1])}", did_you_mean(words[1], names))
                number = names.index(words[1])
                self.followed[number] = min(int(words[0]), len(self.plan.follows[number].counts))
            case _:
                return self._milestone(item.what, words[0], max(when, 0.0), entry, now)
        return None

    def _no_shipment(self, number: int, entry: Entry) -> Mistake | None:
        if 1 <= number <= len(self.shipments):
            return None
        right = f"there are {len(self.shipments)}" if self.shipments else "the scenario has no [[supply.shipments]]"
        return self._wrong(entry, f"there is no shipment {number}", right)

    def _due(self, number: int, when: float, entry: Entry) -> Mistake | None:
        """Take the date on which a shipment is to come; a later line puts another in its place."""
        if wrong := self._no_shipment(number, entry):
            return wrong
        if when <= entry.end:
            right = "write a moment after the line, or what it brought: shipment 1 brought 240 pallets"
            return self._wrong(entry, f"shipment {number} was due before the line ends", right)
        self.due[number - 1] = when, entry
        return None

    def _edge(self, number: int) -> tuple[str, str]:
        """Return the area and the side of a laying edge, as a log names them."""
        edge = self.plan.edges[number]
        area = self.plan.areas[edge.area]
        return area.name, "" if len(area.edges) == 1 else "high" if edge.upward else "low"

    def _truck(self, words: tuple[str, ...], when: float, entry: Entry, now: bool) -> Mistake | None:
        fleet, number, stage = int(words[0]) - 1, int(words[1]) - 1, TRUCK_AT.index(words[2].lower())
        fleets = self.plan.supply.fleets
        if not 0 <= fleet < len(fleets) or not 0 <= number < fleets[fleet].count:
            return self._wrong(entry, f"there is no truck {words[0]}.{words[1]}", "truck 1.2 is the second of the first fleet")
        if now:
            loaded = stage in (LOADING, HELD, COMING, UNLOADING)
            pallets = int(words[3]) if words[3] else fleets[fleet].pallets if loaded else 0
            self.trucks[fleet, number] = TruckState(stage, when, pallets)
        return None

    def _milestone(self, what: str, name: str, when: float, entry: Entry, now: bool) -> Mistake | None:
        names = [milestone.name for milestone in self.plan.milestones]
        number = next((number for number, written in enumerate(names) if written.lower() == name.lower()), -1)
        if number < 0:
            return self._wrong(entry, f"there is no milestone {shown(name)}", did_you_mean(name, names))
        if what == "reached":
            self.reached[number] = when
        elif now:
            self.swept[number] = when
        return None

    @staticmethod
    def _wrong(entry: Entry, wrong: str, right: str) -> Mistake:
        return entry.line.mistake("under way", wrong, right)


def read_under_way(scenario: Scenario, plan: Plan, entries: Sequence[Entry], at: float, mistakes: list[Mistake]) -> WorkUnderWay:
    """Return what lines say is under way at a moment; mistakes are added to `mistakes`."""
    reader = _Reader(scenario, plan)
    for entry in entries:
        items, unread = items_of(entry.line.text("under way"), entry.line.date)
        mistakes += [entry.line.mistake("under way", f"{shown(words[:60])} cannot be read", _EXAMPLE) for words in unread]
        for item in items:
            if wrong := reader.take(item, entry, abs(entry.end - at) <= SECOND):
                mistakes.append(wrong)
    forklifts = _forklifts(plan, entries, reader.down, mistakes)
    due = {}
    for number, (when, entry) in reader.due.items():
        if reader.shipments[number] == 0:
            due[number] = when
            if when <= at:
                right = "write its new date in a later line, or what it brought: shipment 1 brought 240 pallets"
                mistakes.append(
                    entry.line.mistake("under way", f"shipment {number + 1} was due by then, and nothing came of it", right)
                )
    counts = [fleet.count for fleet in plan.supply.fleets]
    trucks = tuple(
        tuple(reader.trucks.get((fleet, number), TruckState(AT_PORT)) for number in range(count))
        for fleet, count in enumerate(counts)
    )
    prepared = frozenset(reader.prepared)
    orders, swept = tuple(reader.orders), tuple(reader.swept)
    return WorkUnderWay(
        trucks,
        tuple(sorted(reader.loads)),
        forklifts,
        orders,
        tuple(reader.reached),
        swept,
        tuple(reader.followed),
        tuple(reader.shipments),
        tuple(sorted(due.items())),
        prepared,
        frozenset(reader.ends),
    )


def _forklifts(plan: Plan, entries: Sequence[Entry], down: dict[int, float], mistakes: list[Mistake]) -> tuple[float | None, ...]:
    """Return since when each forklift has been under repair: as told one by one, else by how many were in order."""
    count, since = plan.forklifts.count, dict(down)
    counts = [entry for entry in entries if entry.line.count("forklifts up") is not None]
    for entry in counts:
        if (up := entry.line.count("forklifts up") or 0) > count:
            mistakes.append(
                entry.line.mistake("forklifts up", f"{up} forklifts are more than there are", f"the scenario has {count}")
            )
            return (None,) * count
    if counts and not down:
        lack = count - (counts[-1].line.count("forklifts up") or 0)
        for missing in range(1, lack + 1):
            first = counts[-1]
            for entry in reversed(counts):
                if count - (entry.line.count("forklifts up") or 0) < missing:
                    break
                first = entry
            since[count - missing] = first.start
    return tuple(since.get(number) for number in range(count))
