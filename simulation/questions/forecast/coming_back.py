"""What comes back of a field that is taken up: mats by state, pallets, pounds, loads; means over the runs of a forecast."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.construction.take_up.mat_luck import STATES
from simulation.present.answer import Table
from simulation.present.words import wording
from simulation.questions.forecast.yard_room import YardRoom

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class CameBack:
    """What came up by the end of runs, on average: by state of the mats full ones, half ones and pallets; and loads out.

    `yard` is how much of it stood in the yard at once.
    """

    by_state: tuple[tuple[str, float, float, float], ...]
    loads: float
    yard: YardRoom


def summarise_coming_back(scenario: Scenario, runs: RunTable) -> CameBack | None:
    """Return what comes back on average over some runs; None where the field is laid."""
    if not scenario.takes_up:
        return None

    def mean(name: str) -> float:
        return math.fsum(runs[f"up.{name}"]) / len(runs)

    rows = [(state, mean(f"{state}.full mats"), mean(f"{state}.half mats"), mean(f"{state}.pallets")) for state in STATES]
    return CameBack(tuple(rows), mean("loads"), YardRoom.of_runs(runs, scenario.leaves))


def came_back_table(scenario: Scenario, came_back: CameBack) -> Table:
    """Return what comes back by the state of the mats."""
    rows = [
        (
            state,
            f"{full:,.0f}",
            f"{half:,.0f}",
            f"{pallets:,.0f}",
            scenario.measures.mass.number(_mass(scenario, full, half, pallets)),
        )
        for state, full, half, pallets in came_back.by_state
    ]
    note = "Means over the runs. Full and half mats, and each state, have pallets of their own."
    if scenario.leaves:
        note += f" {came_back.loads:,.0f} loads leave the yard."
    columns = ("", "full mats", "half mats", "pallets", f"{scenario.measures.mass.name} gross")
    return Table("What comes back", columns, tuple(rows), notes=(note,))


def say_what_came_back(scenario: Scenario, came_back: CameBack) -> str:
    """Return what comes back in a sentence."""
    all_full, all_half, all_pallets = (math.fsum(each) for each in list(zip(*came_back.by_state, strict=True))[1:])
    shares = {state: (full + half) / max(all_full + all_half, 1.0) for state, full, half, _ in came_back.by_state}
    mass = math.fsum(_mass(scenario, *row[1:]) for row in came_back.by_state)
    loads = f" in {came_back.loads:,.0f} loads" if scenario.leaves else ""
    return (
        f"What comes back on average: {all_full:,.0f} full and {all_half:,.0f} half mats on {all_pallets:,.0f} pallets{loads}, "
        f"{scenario.measures.mass.rounded(mass)} gross; {wording.percent(shares['to be repaired'])} of the mats are to be "
        f"repaired, {wording.percent(shares['scrap'])} are scrap."
    )


def _mass(scenario: Scenario, full: float, half: float, pallets: float) -> float:
    return (full + 0.5 * half) * scenario.mat.mass + pallets * scenario.mat.dunnage
