"""How long does a repair take in each run: mats cut out one by one, or rows opened from a key strip and laid again?

Run n has the levels, and each row the luck, that run n of a forecast has; what only repairs do has streams of its own. All runs
of one area are held side by side, so that many repairs can be asked about.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import LevelPlan, Streams, draw_levels, factors
from simulation.conditions import HourlySky, WorkClock, make_clocks
from simulation.conditions.clock.calendar import any_of
from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.site.edges.area_draws import AreaLuck
from simulation.scenario.types.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from simulation.construction.plan.plan import Plan
    from simulation.field.damage import Opening
    from simulation.scenario import Scenario
    from simulation.scenario.tables.repair import Repair

Array = NDArray[float64]

#: Mats that one repair is asked about at the most: more is a field to be laid anew.
MOST_MATS = 400
#: The clock that runs while any of those who mend is at work.
_IN_TURN = "mending in turn"
_OF_A_MAT = ("cut", "lift_out", "set_mat", "screws")


@dataclass(frozen=True)
class RepairDraws:
    """What repairs of one area meet, run by run: hours at work, each array with a line for each run.

    Attributes
    ----------
    rows : array
        To lay each row of the area.
    mats : array
        To cut out and replace the n-th mat of a repair.
    drawn_out, set_again : array
        To draw each key strip of the area out, and to set it again.
    get_ready, open_again : array
        Before and after the work.
    take_up : array
        Taking up a row against the direction of assembly, as a share of laying it.
    mend : array
        Square feet of ground in an hour.
    repair : Repair
        Gangs, and what the direction changes.
    """

    rows: Array
    mats: Array
    drawn_out: Array
    set_again: Array
    get_ready: Array
    open_again: Array
    take_up: Array
    mend: Array
    repair: Repair

    def cut_out(self, mats: int, ground: float = 0.0, before: int = 0) -> Array:
        """Return the hours for which the strip is closed while mats are cut out and replaced.

        Parameters
        ----------
        mats : int
        ground : float
            Square feet to be mended beneath.
        before : int
            Mats mended in earlier repairs, so that these have luck of their own.
        """
        each = np.take(self.mats, np.arange(before, before + mats), axis=1, mode="wrap")
        gangs = min(self.repair.gangs, mats)
        longest = np.max([each[:, gang::gangs].sum(axis=1) for gang in range(gangs)], axis=0)
        return self._whole(longest, ground)

    def open_from(self, way: Opening, ground: float = 0.0) -> Array:
        """Return the hours for which the strip is closed while rows are opened from a key strip and laid again."""
        strips, rows = list(way.strips), self.rows[:, list(way.rows)].sum(axis=1)
        up, down = (self.repair.along, self.repair.reverse) if way.along else (1.0, 1.0)
        strip_hours = self.drawn_out[:, strips].sum(axis=1) + self.set_again[:, strips].sum(axis=1)
        return self._whole(strip_hours + rows * (up * self.take_up + down), ground)

    def _whole(self, work: Array, ground: float) -> Array:
        return self.get_ready + work + ground / self.mend + self.open_again

    def middle(self) -> RepairDraws:
        """Return the mean of every draw over the runs, as one run: what a planner who must choose goes by."""
        drawn = (self.rows, self.mats, self.drawn_out, self.set_again, self.get_ready, self.open_again, self.take_up, self.mend)
        return _of_columns([column.mean(axis=0, keepdims=True) for column in drawn], self.repair)


def repair_levels(repair: Repair) -> tuple[LevelPlan, ...]:
    """Return what is uncertain of repairs, as levels under keys such as ``repair.cut``."""
    return tuple(LevelPlan.of(f"repair.{name}", value) for name, value in repair if isinstance(value, Uncertain))


def draw_repairs(
    scenario: Scenario,
    area: str,
    seed: int,
    runs: int,
    progress: Callable[[int, int], None] | None = None,
    crew: int | None = None,
) -> RepairDraws:
    """Return what repairs of an area meet in each of so many runs.

    Parameters
    ----------
    scenario : Scenario
    area : str
        One of its areas.
    seed, runs : int
    progress : callable, optional
        Told runs done and runs asked.
    crew : int, optional
        Number of the crew that lays opened rows again. Default: the area's first.

    Raises
    ------
    ScenarioError
        If the scenario is legal but cannot finish.
    """
    plan, repair = plan_from_start(scenario), scenario.repair
    number = next(index for index, candidate in enumerate(scenario.area) if candidate.name == area)
    levels = (*plan.levels, *repair_levels(repair))
    people = scenario.crew[first_crew(scenario, area) if crew is None else crew].people
    lines = []
    for run in range(runs):
        streams = Streams(seed, run)
        lines.append(_one_run(plan, number, people, draw_levels(levels, streams), repair, streams))
        if progress is not None:
            progress(run + 1, runs)
    return _of_columns([np.array(column) for column in zip(*lines, strict=True)], repair)


def _of_columns(columns: Sequence[Array], repair: Repair) -> RepairDraws:
    rows, mats, drawn_out, set_again, get_ready, open_again, take_up, mend = columns
    return RepairDraws(rows, mats, drawn_out, set_again, get_ready, open_again, take_up, mend, repair)


def _one_run(
    plan: Plan, number: int, people: int, levels: dict[str, float], repair: Repair, streams: Streams
) -> tuple[object, ...]:
    area = plan.areas[number]
    luck = AreaLuck(plan, area, levels, streams)
    rows = np.empty(area.rows)
    for index in area.edges:
        edge = plan.edges[index]
        order = range(edge.first, edge.last) if edge.upward else range(edge.last - 1, edge.first - 1, -1)
        rows[list(order)] = luck.row_hours(edge, people)

    def drawn(name: str, count: int) -> Array:
        scatter = getattr(repair, name).scatter
        return levels[f"repair.{name}"] * factors(scatter, streams.stream(f"repair {name}", area.name), count)

    mats = np.sum([drawn(name, MOST_MATS) for name in _OF_A_MAT], axis=0)
    sticks = streams.stream("repair stuck", area.name).random(area.key_strips) < levels["repair.stuck"]
    strips = drawn("draw_out", area.key_strips) + sticks * drawn("free", area.key_strips)
    ready, again = drawn("get_ready", 1)[0], drawn("open_again", 1)[0]
    mend = drawn("mend", 1)[0]
    return rows, mats, strips, np.array(luck.key_strips), ready, again, levels["repair.take_up"], mend


def repair_clocks(scenario: Scenario, area: str, seed: int, runs: int, crews: Sequence[int] = ()) -> list[WorkClock]:
    """Return the clock of crews that go on with each other's work, in each run: their shifts, daylight and weather.

    Default: of the area's first crew alone.
    """
    plan, clocks = plan_from_start(scenario), []
    names = list(dict.fromkeys(plan.crews[number].clock for number in crews or (first_crew(scenario, area),)))
    name, of_plan = names[0], plan.clocks
    if len(names) > 1:
        calendar = any_of([of_plan[name].calendar for name in names])
        name, of_plan = _IN_TURN, {**of_plan, _IN_TURN: replace(of_plan[name], calendar=calendar)}
    for run in range(runs):
        streams = Streams(seed, run)
        levels = draw_levels(plan.levels, streams)
        made = make_clocks(of_plan, HourlySky(plan.sky, streams, None), streams, levels["laying.efficiency"])
        clocks.append(made[name])
    return clocks


def first_crew(scenario: Scenario, area: str) -> int:
    """Return the number of the crew that is written first of those that work on an area; 0 where none does."""
    return next((number for number, crew in enumerate(scenario.crew) if area in crew.areas), 0)
