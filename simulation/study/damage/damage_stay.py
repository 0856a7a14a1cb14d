"""A season of damage on one area: closed hours and mats, run by run, each repair done the way that is quicker on average."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions import WorkClock
from simulation.field import AreaRows, make_edges, make_rows
from simulation.field.damage import find_openings, mats_nearest
from simulation.study.damage.damage_season import Season, Stretch, spend_season
from simulation.study.damage.repair_draws import MOST_MATS, RepairDraws, draw_repairs, repair_clocks

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.tables.repair import Damage

#: Feet at the most of a stretch, which can be damaged once until it is mended. Planning value.
STRETCH = 100.0
#: Hours of a month.
MONTH = 24.0 * 30.0

Array = NDArray[float64]


@dataclass(frozen=True)
class SeasonResult:
    """What damage and repairs come to on an area over a stay, run by run.

    Attributes
    ----------
    area : str
    hours : float
        Of the stay.
    repairs, mats, closed : array
        Of the whole stay; `closed` are hours.
    opened : array
        Repairs done by opening at a key strip.
    by_shifts : bool
        Whether repairs keep the shifts of the area's first crew.
    """

    area: str
    hours: float
    repairs: Array
    mats: Array
    closed: Array
    opened: Array
    by_shifts: bool = False

    def a_month(self, values: Array) -> Array:
        """Return what of a stay falls on 30 days."""
        return values * MONTH / self.hours


def spend_seasons(
    scenario: Scenario,
    seed: int,
    runs: int,
    draws: RepairDraws,
    area_of_draws: str | None,
    progress: Callable[..., None] | None = None,
) -> SeasonResult:
    """Return the seasons of damage of a scenario that says how often it comes.

    Parameters
    ----------
    scenario : Scenario
    seed, runs : int
    draws : RepairDraws
        What repairs of `area_of_draws` meet, mended by its first crew; those of another area are drawn anew.
    progress : callable, optional
        Told days that are over, days of all runs, and what they are: a season alone may take long.
    """
    damage = scenario.damage
    assert damage is not None
    area = next((area for area in scenario.area if area.name == damage.area), scenario.area[0])
    if area.name != area_of_draws:
        draws = draw_repairs(scenario, area.name, seed, runs)
    by_shifts = damage.work == "shifts"
    clocks = repair_clocks(_as_long(scenario, damage), area.name, seed, runs) if by_shifts else []
    seasons = _Seasons(scenario, damage, area, draws, clocks)
    spent = []
    for run in range(runs):
        spent.append(seasons.spend(seed, run, None if progress is None else partial(_tell_day, progress, damage.stay, run, runs)))
    columns = [(season.repairs, season.mats, season.closed, opened) for season, opened in spent]
    repairs, mats, closed, by_opening = np.array(columns, dtype=float).T
    return SeasonResult(area.name, damage.stay, repairs, mats, closed, by_opening, by_shifts)


def _as_long(scenario: Scenario, damage: Damage) -> Scenario:
    """Return the scenario with clocks that go on for the stay and what is begun in it."""
    return scenario.model_copy(update={"horizon": max(scenario.horizon, damage.stay + MONTH)})


def _tell_day(progress: Callable[..., None], stay: float, run: int, runs: int, now: float) -> None:
    """Tell how many days of all stays are over, at an hour of one of them."""
    progress(int((run * stay + min(now, stay)) / 24.0), int(runs * stay / 24.0), "days of damage")


class _Seasons:
    def __init__(self, scenario: Scenario, damage: Damage, area: Area, draws: RepairDraws, clocks: Sequence[WorkClock]) -> None:
        self.clocks = clocks
        self.scenario, self.damage, self.area, self.draws = scenario, damage, area, draws
        self.rows = make_rows(area, scenario.mat)
        self.edges = make_edges(area, self.rows)
        self.middle = draws.middle()
        self.stretches = list_stretches(damage, self.rows)

    def spend(self, seed: int, run: int, tell: Callable[[float], None] | None = None) -> tuple[Season, int]:
        """Return one season, and how many of its repairs were done by opening; `tell` hears the hour of each repair."""
        streams, damage, opened = Streams(seed, run), self.damage, 0
        luck = [streams.stream("damage season", f"{self.area.name} {number}") for number in range(len(self.stretches))]
        own = {id(stretch): draws for stretch, draws in zip(self.stretches, luck, strict=True)}
        mended = 0

        def mend(stretch: Stretch, number: int) -> tuple[int, float]:
            nonlocal opened, mended
            random = own[id(stretch)]
            count = min(int(random.geometric(1.0 / damage.mats)), MOST_MATS)
            station, across = random.uniform(stretch.low, stretch.high), random.uniform(0.0, self.area.width)
            mats = mats_nearest(self.rows, self.scenario.mat.half, station, across, count)
            ways = find_openings(self.edges, self.rows, [mat.row for mat in mats])
            # Who mends it chooses by what is known beforehand: the means.
            expected = [self.middle.cut_out(len(mats))[0], *(self.middle.open_from(way)[0] for way in ways)]
            best = int(np.argmin(expected))
            hours = self.draws.cut_out(len(mats), before=mended) if best == 0 else self.draws.open_from(ways[best - 1])
            opened += best > 0
            mended += len(mats)
            return len(mats), float(hours[run])

        at_once = self.scenario.repair.at_once
        finish = self.clocks[run].finish if self.clocks else operator.add

        def ends(now: float, hours: float) -> float:
            if tell is not None:
                tell(now)
            return finish(now, hours)

        stay = (self.stretches, mend, luck, damage.stay, damage.inspect_every, at_once, damage.since)
        return spend_season(*stay, ends), opened


def list_stretches(damage: Damage, rows: AreaRows) -> list[Stretch]:
    """Return the stretches of an area, cut at the ends of its touchdown zones, with how often each is damaged.

    They do not depend on key strips, so that plans with other ones have the same damage. End ramps, whose mats are buried, are
    left out; what is said of the area falls on the rest of it.
    """
    low, high = _between_ramps(rows)
    (_, near), (far, _) = touchdown_zones(damage, rows)
    ends = [low, near, far, high]
    pieces = [max(1, math.ceil((b - a) / STRETCH - 1e-9)) for a, b in pairwise(ends)]
    ends = [a + (b - a) * n / count for (a, b), count in zip(pairwise(ends), pieces, strict=True) for n in range(count)] + [high]
    by_landings = damage.per_1000_landings / 1000.0 * damage.landings
    return [
        Stretch(a, b, damage.per_day * (b - a) / (high - low), by_landings * _share(damage, a, b, low, high))
        for a, b in pairwise(ends)
        if not math.isclose(a, b)
    ]


def touchdown_zones(damage: Damage, rows: AreaRows) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return the stretches from either end of an area up to where aircraft no longer touch down; end ramps come before that."""
    low, high = _between_ramps(rows)
    zone = min(damage.touchdown, 0.5 * (high - low))  # between ramps there may be less room than on the whole area
    return (0.0, low + zone), (high - zone, rows.count * rows.depth)


def _between_ramps(rows: AreaRows) -> tuple[float, float]:
    ramp = len(rows.ramps) // 2 * rows.depth
    return ramp, rows.count * rows.depth - ramp


def _share(damage: Damage, a: float, b: float, low: float, high: float) -> float:
    """Return the share of the damage by landings that lies from `a` to `b`."""
    zone = min(damage.touchdown, 0.5 * (high - low))
    between = (high - low) - 2.0 * zone
    outside = damage.touchdown_share if between > 0.0 else 1.0
    middle = 0.5 * (a + b)
    if middle < low + zone or middle > high - zone or between <= 0.0:
        return 0.5 * outside * (b - a) / zone
    return (1.0 - outside) * (b - a) / between
