"""Which shares are more than the whole, alone or together?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.take_up import TakeUp
from simulation.scenario.tables.used_mats import UsedMats
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain
from simulation.scenario.types.unreadable import apply_rule


def shares_whole(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each share that can rise above what it is a share of, or above what can be laid with."""
    yield from apply_rule(_share, "laying.efficiency", scenario.laying.efficiency, 1)
    yield from apply_rule(_share, "laying.damaged_mats", scenario.laying.damaged_mats, 0.5)
    if scenario.used_mats is not None:
        for key in ("bent", "scrap"):
            yield from apply_rule(_share, f"used_mats.{key}", getattr(scenario.used_mats, key), 0.5)
        yield from apply_rule(_together, "used_mats", scenario.used_mats, ("bent", "scrap"), 0.5)
    for key in ("bent", "sticking", "to_repair", "scrap"):
        yield from apply_rule(_share, f"take_up.{key}", getattr(scenario.take_up, key), 1)
    yield from apply_rule(_together, "take_up", scenario.take_up, ("to_repair", "scrap"), 1)
    yield from apply_rule(_share, "repair.stuck", scenario.repair.stuck, 1)
    yield from apply_rule(_share, "laying.absence", scenario.laying.absence, 0.5)
    yield from apply_rule(_share, "grading.undone", scenario.grading.undone, 1)
    yield from apply_rule(_share, "grading.efficiency", scenario.grading.efficiency, 1)
    yield from apply_rule(_share, "forklifts.efficiency", scenario.forklifts.efficiency, 1)


def _share(key: str, share: Uncertain, most: float) -> Iterator[Mistake]:
    if highest(share) > most:
        yield Mistake(key, f"can rise above {most}", f"write a number, or low, mode and high, up to {most}")
    if share.scatter:
        yield Mistake(f"{key}.scatter", "a share has no scatter here", "leave it out")


def _together(table: str, mats: TakeUp | UsedMats, keys: tuple[str, str], most: float) -> Iterator[Mistake]:
    """Yield a mistake where two states, of which a mat has one, could leave too few mats, or less than none, in the others."""
    shares = [highest(getattr(mats, key)) for key in keys]
    if max(shares) <= most < sum(shares) - 1e-9:
        wrong = f"can rise above {most} together with {keys[1]}, up to {shares[0]:g} and {shares[1]:g}, and no mat is both"
        yield Mistake(f"{table}.{keys[0]}", wrong, f"write shares that come to {most} at most")


def highest(quantity: Uncertain) -> float:
    """Return what the level of a quantity can rise to."""
    match quantity.level:
        case Constant(value):
            return value
        case Pert(high=high):
            return high
        case Lognormal():
            return math.inf
        case Records(values):
            return values[-1]
