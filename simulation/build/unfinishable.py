"""Why could a scenario in which nothing contradicts itself still never finish? It is refused before the first build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.conditions import ClockPlan
from simulation.field import shortfall
from simulation.scenario.mistakes import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def unfinishable(scenario: Scenario, clocks: dict[str, ClockPlan]) -> list[Mistake]:
    """Return why a scenario cannot finish: too few pallets, or work that is needed and never begins."""
    return [*shortfall(scenario), *_never_at_work(scenario, clocks)]


def _never_at_work(scenario: Scenario, clocks: dict[str, ClockPlan]) -> list[Mistake]:
    needed = {
        "laying": True,
        "forklift": True,
        "haul": bool(scenario.supply.trucks),
        "grading": scenario.grading.done < 1,
    }
    dark: dict[str, list[str]] = {}
    for kind, is_needed in needed.items():
        if is_needed and not any(rate for _, _, rate, _ in clocks[kind].calendar):
            dark.setdefault(kind if getattr(scenario.shifts, kind) else "all", []).append(kind)
    return [
        Mistake(
            f"shifts.{shift}.hours",
            f"every hour up to the horizon is in the dark, so {' and '.join(kinds)} would never begin",
            "write hours of daylight, or lighting = true",
        )
        for shift, kinds in dark.items()
    ]
