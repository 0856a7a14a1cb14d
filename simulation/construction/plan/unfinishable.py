"""Why could a scenario in which nothing contradicts itself still never finish? It is refused before the first run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.conditions import ClockPlan, crew_clock, task_clock
from simulation.conditions.clock.work_clocks import SHIFTS
from simulation.conditions.stops.limits_from_scenario import unstated
from simulation.field import fed_by_leg, not_alone, overlaps, shortfall, take_off
from simulation.scenario.types.mistakes import Mistake, step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def unfinishable(scenario: Scenario, clocks: dict[str, ClockPlan], stated: frozenset[str], by_leg: float = 0.0) -> list[Mistake]:
    """Return why a scenario cannot be built: too few pallets, work that is needed and never begins, weather that nothing says.

    `stated` are the variables that its weather speaks of, `by_leg` the loads that come by its leg beside all others.
    """
    limits = {kind: clocks[kind].limits for kind in SHIFTS}
    asked = {kind: limit for kind, limit in limits.items() if limit is not None}
    # A field that is taken up lies there, whatever the supply once was.
    short = overlaps(scenario) or ([] if scenario.takes_up else _too_few(scenario, by_leg))
    return [*short, *_never_at_work(scenario, clocks), *unstated(scenario, asked, stated)]


def _too_few(scenario: Scenario, by_leg: float) -> list[Mistake]:
    """Return a mistake for pallets that do not come, or else for parts that are to come with loads that do not."""
    if fed_by_leg(scenario):
        return [not_alone()]
    return shortfall(scenario) or _loads_too_few(scenario, by_leg)


def _loads_too_few(scenario: Scenario, by_leg: float) -> list[Mistake]:
    """Return a mistake for parts that are to come with a load that may never come."""
    supply = scenario.supply
    most = max([*(carrier.pallets for carrier in supply.trucks), *(carrier.pallets for carrier in supply.flights)], default=0)
    to_come = take_off(scenario).comes - supply.on_hand
    sure = [shipment for shipment in supply.shipments if shipment.chance == 1.0 or shipment.again is not None]
    loads = by_leg + sum(-(-shipment.pallets // shipment.lot) for shipment in sure)
    others = to_come - sum(shipment.pallets for shipment in supply.shipments)
    loads += -(-others // most) if most and others > 0 else 0
    mistakes: list[Mistake] = []
    for key, parts in (("key_strips", supply.key_strips), ("rail", supply.rail)):
        if parts is not None and parts.load is not None and parts.load > loads:
            right = f"write at most {loads:g}, or when it comes with from" if loads else "write when it comes with from"
            mistakes.append(Mistake(f"supply.{key}.load", f"only {loads:g} loads are sure to come", right))
    for task in scenario.task:
        for number, need in enumerate(task.after, 1):
            if need.load is not None and need.load > loads:
                right = f"write at most {loads:g}, or when it comes with comes" if loads else "write when it comes with comes"
                key = f"task.{step_name(task.name)}.after.{number}.load"
                mistakes.append(Mistake(key, f"only {loads:g} loads are sure to come, so it would never begin", right))
    return mistakes


def _never_at_work(scenario: Scenario, clocks: dict[str, ClockPlan]) -> list[Mistake]:
    needed = {
        "laying": True,
        "forklift": True,
        "haul": bool(scenario.supply.trucks),
        "port": bool(scenario.take_up.shipments if scenario.takes_up else scenario.supply.shipments),
        "grading": any(area.end_ramps for area in scenario.area) if scenario.takes_up else scenario.grading.needed,
    }
    dark: dict[str, list[str]] = {}
    for kind, is_needed in needed.items():
        if is_needed and not any(rate for _, _, rate, _ in clocks[kind].calendar):
            dark.setdefault(kind if getattr(scenario.shifts, kind) else "all", []).append(kind)
    mistakes = [
        Mistake(
            f"shifts.{shift}.hours",
            f"every hour up to the last day simulated is in the dark, so {' and '.join(kinds)} would never begin",
            "write hours of daylight, or lighting = true",
        )
        for shift, kinds in dark.items()
    ]
    for number, crew in enumerate(scenario.crew):
        if crew.shift and not any(rate for _, _, rate, _ in clocks[crew_clock(scenario, number)].calendar):
            wrong = "every hour up to the last day simulated is in the dark, so it would never begin"
            mistakes.append(Mistake(f"crew.{crew.name}.shift.hours", wrong, "write hours of daylight, or lighting = true"))
    for number, task in enumerate(scenario.task):
        gang = next((gang for gang in scenario.gang if gang.name == task.gang and gang.shift is not None), None)
        if gang is not None and not any(rate for _, _, rate, _ in clocks[task_clock(scenario, number)].calendar):
            wrong = f"every hour up to the last day simulated is in the dark, so {task.name} would never begin"
            key = f"gang.{step_name(gang.name)}.shift.hours"
            mistakes.append(Mistake(key, wrong, "write hours of daylight, or lighting = true"))
    return mistakes
