"""Reads a scenario, does one run of it, and notes every mistake and warning."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from simulation.construction import find_warnings, trial_warnings
from simulation.construction.plan.compiling import plan_from_start
from simulation.field import fed_by_leg, with_all_on_hand
from simulation.scenario import Mistake, ScenarioError, load_scenario
from simulation.scenario.types.change import Change
from simulation.scenario.types.quantities.measures import System


@dataclass(frozen=True)
class CheckResult:
    """What was found in a scenario.

    Attributes
    ----------
    file : str
        The scenario's.
    title : str
        The scenario's; that of its file where it cannot be read.
    mistakes, warnings : tuple of Mistake
    read_as : tuple of (str, str)
        Key of each length that is read as a whole number of rows or mats, and how.
    ready_hours : float
        From the start until one drawn run is ready; infinite where it is not, or was not drawn.
    by_leg : bool
        Whether it has a [leg]: a run of it, where one can be drawn, is of its own supply alone.
    takes_up : bool
        Whether its job is to take the field up.
    """

    file: str
    title: str
    mistakes: tuple[Mistake, ...] = ()
    warnings: tuple[Mistake, ...] = ()
    read_as: tuple[tuple[str, str], ...] = ()
    ready_hours: float = math.inf
    by_leg: bool = False
    takes_up: bool = False


def check_scenario(
    file: Path,
    units: System | None = None,
    folders: Sequence[Path] = (),
    changes: Sequence[Change] = (),
    progress: Callable[[int, int, str], None] | None = None,
) -> CheckResult:
    """Return what is found in the scenario of a file with `changes`, told in `units`; its data may lie in `folders` besides.

    How far a long data file is read is told to `progress`.
    """
    title = file.stem
    warnings: list[Mistake] = []
    read_as: tuple[tuple[str, str], ...] = ()
    try:
        scenario = load_scenario(file, units, folders, changes, progress)
        title = scenario.title
        read_as = tuple((length.key, length.read_as(scenario.measures)) for length in scenario.snapped)
        if fed_by_leg(scenario):
            fed = with_all_on_hand(scenario)
            warnings += find_warnings(fed)
            plan_from_start(fed, math.inf)
            return CheckResult(str(file), title, (), tuple(warnings), read_as, by_leg=True)
        warnings += find_warnings(scenario)
        hours, more = trial_warnings(scenario)
    except ScenarioError as error:
        return CheckResult(str(file), title, tuple(error.mistakes), tuple(warnings), read_as)
    by_leg = "leg" in scenario.model_fields_set
    return CheckResult(str(file), title, (), (*warnings, *more), read_as, hours, by_leg, scenario.takes_up)
