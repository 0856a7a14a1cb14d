"""How early can a plan be at the very best? By hand: take-off over the best possible rate, with no wait and no bad weather.

A plan that is measurably too late even so is never simulated. Each run has the levels that it has in every plan, so its bound is
held against the same run of the plan in front.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import datetime

    import numpy as np
    from numpy.typing import NDArray

    from simulation.construction import Plan
    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift

    Hours = NDArray[np.float64]
    Levels = Mapping[str, Hours]

#: Task-to-task variation averages out over rows; so many standard errors of the average are left to luck. Planning value.
_ERRORS = 4.0
#: Levels that a bound is worked out from.
LEVELS = (
    "laying.pick_up",
    "laying.place",
    "laying.open_pallet",
    "laying.efficiency",
    "forklifts.handle",
    "forklifts.efficiency",
)


def bound_hours(scenario: Scenario, plan: Plan, milestone: str, levels: Levels) -> Hours:
    """Return an hour before which no run can be ready, for each set of levels.

    Parameters
    ----------
    scenario : Scenario
    plan : Plan
        The same, compiled.
    milestone : str
    levels : mapping of str to array
        Of each run, by the names of `LEVELS`.

    Notes
    -----
    The latest of three: mats over team-hours, were every crew at its full number of teams on shift and no mat waited for;
    pallets over forklift-hours, were each picked up and set down once beside its edge; pallets over the daily limit. Zero where
    work has begun, or where the milestone is less than whole areas.
    """
    import numpy as np

    runs = len(levels["laying.efficiency"])
    areas = _find_areas(scenario, milestone)
    if not areas or plan.state is not None or plan.learned is not None:
        return np.zeros(runs)
    crews, forklifts = _by_crews(scenario, plan, areas, levels), _by_forklifts(scenario, plan, areas, levels)
    latest: Hours = np.maximum(np.maximum(crews, forklifts), _by_loads(scenario, plan, areas))
    return latest


def _find_areas(scenario: Scenario, milestone: str) -> list[int]:
    """Return the numbers of the whole areas that a milestone asks for."""
    asked = next(each for each in scenario.milestones if each.name == milestone)
    return [number for number, area in enumerate(scenario.area) if area.name in asked.areas]


def _pieces(plan: Plan, area: int) -> float:
    """Return the mats of an area, rounded down where its last row may be either."""
    area_plan = plan.areas[area]
    return sum(area_plan.pieces) * (area_plan.rows // 2) + (min(area_plan.pieces) if area_plan.rows % 2 else 0.0)


def _pallets(plan: Plan, areas: list[int]) -> float:
    """Return the fewest pallets that the mats of areas can come on.

    Where half mats come on pallets of their own, two of them take the room of a full one, and these pallets hold more pieces.
    """
    supply = plan.supply
    if supply.half_first is None:
        return sum(_pieces(plan, area) for area in areas) / plan.laying.pallet_pieces
    room = sum(2 * sum(edge.full) + sum(edge.half) for edge in plan.edges if edge.area in areas)
    return room / (2 * supply.full + supply.half)


def _by_crews(scenario: Scenario, plan: Plan, areas: list[int], levels: Levels) -> Hours:
    import numpy as np

    laying, within = plan.laying, [plan.areas[area] for area in areas]
    rows, walk = sum(area.rows for area in within), min(area.walk for area in within)
    scatter = max(_vary(plan, f"laying.{name}") for name in ("pick_up", "place", "open_pallet"))
    least = max(0.0, 1.0 - _ERRORS * scatter / math.sqrt(rows))
    least *= laying.learning_floor if laying.learning < 1.0 else 1.0
    mats = least * sum(_pieces(plan, area) for area in areas)
    overhead = 0 if any(crew.second == "merge" for crew in plan.crews) else laying.overhead
    crews = [crew for crew in scenario.crew if any(scenario.area[area].name in crew.areas for area in areas)]
    # Mats an hour on shift that no crew can better: by its teams, by the rows that an edge has room for, by its openers.
    with np.errstate(divide="ignore"):
        by_team = 1.0 / (levels["laying.pick_up"] + walk + levels["laying.place"])
        by_edge = max(area.rows_in_work for area in within) / levels["laying.place"]
        by_opener = laying.pallet_pieces * laying.openers / levels["laying.open_pallet"]
    shifts = [crew.shift or scenario.shifts.of("laying") for crew in crews]
    hours = np.empty(len(by_team))
    for run, efficiency in enumerate(levels["laying.efficiency"].tolist()):
        most = min(by_edge[run], by_opener[run])
        rates = [efficiency * min(_teams(crew.people, overhead, plan) * by_team[run], most) for crew in crews]
        lay = [(shift, crew.since, rate) for shift, crew, rate in zip(shifts, crews, rates, strict=True)]
        hours[run] = _reach(np.array([mats]), lay, scenario.starts, scenario.horizon, laying.finish_rows)[0]
    return hours


def _vary(plan: Plan, key: str) -> float:
    """Return the coefficient of variation from task to task."""
    from simulation.scenario.types.named_values import SHAPES

    scatter = plan.scatters[key]
    return 1.0 / math.sqrt(SHAPES[scatter]) if isinstance(scatter, str) else scatter


def _teams(people: int, overhead: int, plan: Plan) -> float:
    return float(max(1.0, (people - overhead) / plan.laying.team_size))


def _by_forklifts(scenario: Scenario, plan: Plan, areas: list[int], levels: Levels) -> Hours:
    pallets = _pallets(plan, areas)
    scatter = _vary(plan, "forklifts.handle")
    least = max(0.0, 1.0 - _ERRORS * scatter / math.sqrt(max(1.0, pallets)))
    work = pallets * 2.0 * levels["forklifts.handle"] * least / levels["forklifts.efficiency"]
    shift = scenario.shifts.of("forklift")
    return _reach(work, [(shift, since, 1.0) for since in plan.forklifts.since], scenario.starts, scenario.horizon, 0.0)


def _by_loads(scenario: Scenario, plan: Plan, areas: list[int]) -> float:
    limit = scenario.supply.per_day_limit
    if limit is None:
        return 0.0
    to_come = _pallets(plan, areas) - scenario.supply.on_hand
    days = math.ceil(to_come / limit - 1e-9) - 1  # full days before the one on which the last ones come
    begun = scenario.starts.hour + scenario.starts.minute / 60.0
    return max(0.0, 24.0 * days - begun)


def _reach(work: Hours, hands: Iterable[tuple[Shift, float, float]], starts: datetime, horizon: float, overtime: float) -> Hours:
    """Return when so many hours of work can have been done by hands that each do so many an hour on a shift from an hour on."""
    import numpy as np

    steps: dict[float, float] = {0.0: 0.0}
    for shift, since, many in hands:
        for start, end in _spans(shift, starts, horizon):
            first, last = max(start, since, 0.0), end + overtime
            if last > first:
                steps[first] = steps.get(first, 0.0) + many
                steps[last] = steps.get(last, 0.0) - many
    times = np.array(sorted(steps))
    rates = np.cumsum([steps[time] for time in times.tolist()])
    done = np.concatenate([[0.0], np.cumsum(rates[:-1] * np.diff(times))])
    hours = np.interp(work, done, times)
    hours[work > done[-1]] = horizon
    reached: Hours = np.where(work > 0, hours, 0.0)
    return reached


@lru_cache
def _spans(shift: Shift, starts: datetime, horizon: float) -> tuple[tuple[float, float], ...]:
    from simulation.conditions.clock.shift_pattern import spans_kept

    return tuple(spans_kept(shift, starts, horizon))
