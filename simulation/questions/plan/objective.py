"""What is a plan to be best in? A quantile, the mean, or the chance of the deadline, of any milestone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.present.words.job_words import ready_word
from simulation.stats.paired_difference import (
    Difference,
    difference_of_chances,
    difference_of_means,
)
from simulation.stats.quantiles import order_statistics
from simulation.stats.selection.smooth_quantile import difference_of_smooth_quantiles, smooth_quantiles
from simulation.study.outcomes import find_margin

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from simulation.scenario import Scenario
    from simulation.study.deadline import Deadline

#: Chances of the deadline this near make no difference that matters. Planning value: less is no reason to change a plan.
POINTS_THAT_MATTER = 0.05
_QUANTILE = re.compile(r"[pP](\d{1,2})")
_RIGHT = "write P80 or another quantile from P1 to P99, mean, or chance"


@dataclass(frozen=True)
class Objective:
    """What is made as small as can be.

    Attributes
    ----------
    milestone : str
    goal : str
        ``"P80"`` or another quantile, ``"mean"``, or ``"chance"``: of missing the deadline.
    deadline : Deadline or None
        Of a chance.
    done : str
        What a run is that has reached the milestone.
    """

    milestone: str
    goal: str = "P80"
    deadline: Deadline | None = None
    done: str = "ready"

    @property
    def share(self) -> float | None:
        """Of a quantile; None where it is none."""
        match = _QUANTILE.fullmatch(self.goal)
        return int(match[1]) / 100.0 if match else None

    @property
    def is_chance(self) -> bool:
        """Whether it is the chance of the deadline."""
        return self.goal == "chance"

    @property
    def name(self) -> str:
        """What it is called in a sentence, such as ``80 % date``."""
        if self.is_chance:
            return f"chance of being {self.done} by {self.deadline.text if self.deadline else 'the deadline'}"
        return "mean date" if self.share is None else f"{self.goal[1:]} % date"

    def measure(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return what is made small, of hours along the last axis: quantile as the program has it everywhere, mean or share."""
        if self.is_chance:
            assert self.deadline is not None
            late: NDArray[np.float64] = (values > self.deadline.hours + 1e-9).mean(axis=-1)
            return late
        if self.share is None:
            mean: NDArray[np.float64] = values.mean(axis=-1)
            return mean
        return order_statistics(values, self.share)

    def weigh(self, values: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return by what plans are selected: the same, but a quantile read of all runs around it, since it varies far less."""
        return self.measure(values) if self.share is None else smooth_quantiles(values, self.share)

    def compare(self, first: Sequence[float], second: Sequence[float], confidence: float) -> Difference:
        """Return what a second plan has more than a first, hours or a share of runs that are late, with its paired interval."""
        if self.is_chance:
            assert self.deadline is not None
            late = [[hours > self.deadline.hours + 1e-9 for hours in values] for values in (first, second)]
            return difference_of_chances(late[0], late[1], confidence)
        if self.share is None:
            return difference_of_means(first, second, confidence)
        return difference_of_smooth_quantiles(first, second, self.share, confidence)

    def find_margin(self, scenario: Scenario) -> float:
        """Return what makes no difference that matters."""
        return POINTS_THAT_MATTER if self.is_chance else find_margin(scenario)


def read_objective(scenario: Scenario, goal: str | None, milestone: str | None, deadline: Deadline | None) -> Objective:
    """Return what is sought, as a planner writes it; what is not given, as the scenario says.

    Parameters
    ----------
    scenario : Scenario
    goal : str or None
        ``"P80"``, ``"mean"`` or ``"chance"``. Default: `choose.goal` of the scenario.
    milestone : str or None
        Default: `choose.milestone` of the scenario, else that of readiness.
    deadline : Deadline or None

    Raises
    ------
    ScenarioError
        If one of them cannot be.
    """
    from simulation.scenario import Mistake, ScenarioError
    from simulation.scenario.types.mistakes import did_you_mean, shown

    goal_key, milestone_key = ("choose.goal", "choose.milestone")
    said = goal or scenario.choose.goal
    where = goal_key if goal is None else "--goal"
    goal = said.upper() if _QUANTILE.fullmatch(said) else said
    if goal not in ("mean", "chance") and (not _QUANTILE.fullmatch(goal) or int(goal[1:]) == 0):
        raise ScenarioError(scenario.title, [Mistake(where, f"{shown(said)} is no goal", _RIGHT)])
    if goal == "chance" and deadline is None:
        raise ScenarioError(
            scenario.title,
            [Mistake(where, f"a chance needs a date to be {ready_word(scenario)} by", "add --deadline, such as --deadline 9d")],
        )
    names = [each.name for each in scenario.milestones]
    name = milestone or scenario.choose.milestone or next(each.name for each in scenario.milestones if each.ready)
    if name not in names:
        where = milestone_key if milestone is None else "--milestone"
        raise ScenarioError(scenario.title, [Mistake(where, f"there is no {shown(name)}", did_you_mean(name, names))])
    return Objective(name, goal, deadline if goal == "chance" else None, ready_word(scenario))
