"""Which lines do the contestants lay? Three, each read from one file, whose numbers every contestant takes from here.

* The *whole* scenario, `configs/relief_strip.toml`: only this program can lay it.
* The *same line*, `same_line.toml`: trucks, unloading, yard, forklifts that break down, two edges with places, crews, shifts.
* The *reduced line*, `reduced_line.toml`: what libraries of queues can express as well.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from simulation.construction import Plan, columns, compile_plan  # noqa: E402
from simulation.construction.site.edges.rowtime import RowLuck, best_split  # noqa: E402
from simulation.replicate.worker import do_batch_of_runs  # noqa: E402
from simulation.scenario import Scenario, load_scenario, parse_scenario  # noqa: E402
from simulation.scenario.types.uncertainty.distributions import Constant  # noqa: E402
from simulation.scenario.types.uncertainty.uncertain import Uncertain  # noqa: E402

WHOLE = ROOT / "configs" / "relief_strip.toml"
#: Lays some runs, by their numbers, and returns the hour at which each is finished.
Lay = Callable[[range], list[float]]


def whole_scenario() -> Scenario:
    """Return the shipped scenario."""
    return load_scenario(WHOLE)


def same_scenario(feet: int = 3000) -> Scenario:
    """Return the same line, its runway so many feet long: a multiple of 8 ft, so that each edge is laid from whole pallets."""
    on_hand = {"on_hand = 120": f"on_hand = {round(120 * feet / 3000)}"}
    return _changed("same_line.toml", {'length = "3000 ft"': f'length = "{feet} ft"'} | on_hand)


def reduced_scenario(pallets: int = 400) -> Scenario:
    """Return the reduced line with so many pallets, two rows of 2 ft from each."""
    return _changed("reduced_line.toml", {'length = "1600 ft"': f'length = "{4 * pallets} ft"'})


def _changed(name: str, changes: dict[str, str]) -> Scenario:
    text = (HERE / name).read_text(encoding="utf-8")
    for written, new in changes.items():
        assert text.count(written) == 1
        text = text.replace(written, new)
    return parse_scenario(text, name)


def runway_of(feet: int) -> Scenario:
    """Return the runway of the shipped scenario alone, so many feet long, everything else as shipped: weather, grading, levels.

    All pallets that it needs come, with spares; of them the same share as shipped is on hand.
    """
    relief = whole_scenario()
    runway = relief.area[0].model_copy(update={"length": float(feet)})
    on_hand = round(relief.supply.on_hand * feet / relief.area[0].length)
    supply = relief.supply.model_copy(update={"total": None, "on_hand": on_hand, "yard": None})
    return relief.model_copy(
        update={
            "area": (runway,),
            "crew": tuple(crew.model_copy(update={"areas": (runway.name,)}) for crew in relief.crew),
            "supply": supply,
            "milestone": (relief.milestone[0].model_copy(update={"ready": True}),),
            "horizon": 24.0 * 3650,
        }
    )


def _known(quantity: Uncertain) -> float:
    assert isinstance(quantity.level, Constant), "these lines have no levels"
    return quantity.level.value


@dataclass(frozen=True)
class ReducedLine:
    """The numbers of the reduced line, hours.

    Attributes
    ----------
    pallets : int
    every : float
        Between landings; the first comes after as long.
    forklifts : int
    trip : float
        Mean of unloading a pallet, and of bringing one to the laying edge; exponential.
    row : float
        Mean of laying one row, exponential.
    rows : int
        Rows laid from one pallet.
    """

    pallets: int
    every: float
    forklifts: int
    trip: float
    row: float
    rows: int

    @classmethod
    def of(cls, scenario: Scenario) -> ReducedLine:
        plan = compile_plan(scenario)
        (flight,), laying = scenario.supply.flights, scenario.laying
        assert flight.first == flight.every
        assert laying.place.scatter == scenario.forklifts.handle.scatter == "exponential"
        (pieces,) = set(plan.areas[0].pieces)
        return cls(
            pallets=plan.supply.total,
            every=flight.every,
            forklifts=scenario.forklifts.count,
            trip=2.0 * _known(scenario.forklifts.handle),  # picked up once and set down once
            row=pieces * _known(laying.place) / _known(laying.efficiency),
            rows=plan.areas[0].rows // plan.supply.total,
        )


@dataclass(frozen=True)
class Spread:
    """A duration of known mean, hours, with a lognormal factor of mean 1: the mean and deviation of its logarithm."""

    mean: float
    mu: float
    sigma: float

    @classmethod
    def of(cls, quantity: Uncertain) -> Spread:
        assert not isinstance(quantity.scatter, str)
        mean, variance = _known(quantity), math.log1p(quantity.scatter**2)
        return cls(mean, (math.log(mean) if mean else -math.inf) - 0.5 * variance, math.sqrt(variance))


@dataclass(frozen=True)
class SameLine:
    """The numbers of the same line: hours, feet, feet per hour.

    Attributes
    ----------
    pieces, joints : tuple of tuple of int
        Of each row, for each laying edge, in laying order.
    travel : tuple of tuple of float
        One way from the yard to each row of each laying edge.
    mats : int
        On a pallet, all kinds together: they are just used up by each pair of rows.
    walk, open_pallet, lock : float
        Hours for one mat, pallet and joint.
    pick_up, place, handle, repair, load, haul, back : Spread
    sound : float
        Mean operating hours between breakdowns, exponential.
    spans : tuple of (float, float)
        On shift, hours since the start of each day.
    """

    pieces: tuple[tuple[int, ...], ...]
    joints: tuple[tuple[int, ...], ...]
    travel: tuple[tuple[float, ...], ...]
    mats: int
    rows_on_pallet: int
    on_hand: int
    total: int
    trucks: int
    load_pallets: int
    forklifts: int
    speed: float
    places: int
    urgent_below: int
    teams: int
    lockers: int
    openers: int
    rows_in_work: float
    efficiency: float
    walk: float
    open_pallet: float
    lock: float
    pick_up: Spread
    place: Spread
    handle: Spread
    repair: Spread
    load: Spread
    haul: Spread
    back: Spread
    sound: float
    spans: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, scenario: Scenario) -> SameLine:
        plan, laying, lifts = compile_plan(scenario), scenario.laying, scenario.forklifts
        (fleet,), (area,) = scenario.supply.trucks, plan.areas
        zero = scenario.starts.hour + scenario.starts.minute / 60.0
        luck = RowLuck(*(_known(getattr(laying, name)) for name in ("pick_up", "place", "lock", "open_pallet", "efficiency")))
        # The split is made by the program's own rule: it belongs to the plan, not to the simulation.
        teams, lockers = best_split(plan.crews[0].people, area, plan.laying, luck)
        assert len({crew.people for crew in plan.crews}) == 1 and len(plan.crews) == len(plan.edges)
        rows_on_pallet = area.rows // plan.supply.total
        assert all((edge.last - edge.first) % rows_on_pallet == 0 for edge in plan.edges) and rows_on_pallet == 2
        rows = [
            [edge.first + place for place in range(edge.last - edge.first)][:: 1 if edge.upward else -1] for edge in plan.edges
        ]
        return cls(
            pieces=tuple(tuple(area.pieces[row % 2] for row in edge) for edge in rows),
            joints=tuple(tuple(area.joints[row % 2] for row in edge) for edge in rows),
            travel=tuple(edge.travel for edge in plan.edges),
            mats=plan.laying.pallet_pieces,
            rows_on_pallet=rows_on_pallet,
            on_hand=plan.supply.on_hand,
            total=plan.supply.total,
            trucks=fleet.count,
            load_pallets=fleet.pallets,
            forklifts=lifts.count,
            speed=plan.forklifts.speed,
            places=lifts.staged_ahead,
            urgent_below=lifts.urgent_below,
            teams=teams,
            lockers=lockers,
            openers=laying.openers,
            rows_in_work=area.rows_in_work,
            efficiency=luck.efficiency,
            walk=area.walk,
            open_pallet=_known(laying.open_pallet),
            lock=_known(laying.lock),
            pick_up=Spread.of(laying.pick_up),
            place=Spread.of(laying.place),
            handle=Spread.of(lifts.handle),
            repair=Spread.of(lifts.repair),
            load=Spread.of(fleet.load),
            haul=Spread.of(fleet.haul),
            back=Spread.of(fleet.back),
            sound=_known(lifts.breakdown_every),
            spans=tuple((start - zero, end - zero) for start, end in scenario.shifts.all.hours),
        )

    def row_hours(self, pieces: int, joints: int, pick_up: float, place: float) -> float:
        """Return the hours on shift of one row, by the row-time law."""
        return (
            max(
                pieces * (pick_up + self.walk + place) / self.teams,
                pieces * place / self.rows_in_work,
                joints * self.lock / self.lockers,
                pieces * self.open_pallet / (self.mats * self.openers),
            )
            / self.efficiency
        )


def by_this_program(scenario: Scenario) -> Lay:
    """Return how this program lays a scenario, as a worker does it, records included; finished is when it is ready."""
    plan: Plan = compile_plan(scenario)
    ready = columns(plan).index(f"milestone.{plan.milestones[plan.ready].name}")
    return lambda runs: [record[ready] for record in do_batch_of_runs(plan, runs)]
