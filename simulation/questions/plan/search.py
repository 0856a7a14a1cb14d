"""Which plans are tried, and which of them is the best? A few runs of each propose, and more runs of the best few select.

A space small enough is tried whole. In a larger one each choice in turn is set to what is best for it, again and again until
nothing changes, from every start and in both orders of choices. What was tried is then selected from by a procedure with a
guarantee, which holds for the plans that were tried. All plans share their luck, and all numbers are read of runs 0 up to a fixed
one, so the answer is the same for any workers and after any stop.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.plan.plan_runs import until_stopped
from simulation.questions.plan.proposing import CONFIDENCE, SCREEN, Proposing, count_changes
from simulation.stats.group_sequential import FEWEST_ALIKE, planned_looks
from simulation.stats.paired_difference import Difference
from simulation.stats.selection.by_intervals import PairedLooks, Standing, select_by_intervals

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.plan_runs import PlanRuns
    from simulation.questions.plan.space import ChosenPlan, Picks, Space

#: With fewer runs nothing is settled: resampling so few covers too seldom. Measured, as `compare` has it.
FEWEST = 20
#: Of plans as good that of fewer people is named; of as many people, that of fewer changes: a change costs so much of one.
COST_OF_CHANGE = 0.001


@dataclass(frozen=True)
class Search:
    """What a search has come to.

    Attributes
    ----------
    tried : tuple of Picks
        The best first: those that may be the best, then the others by their first runs.
    left : tuple of Picks
        Those that may be the best, the one in front first.
    settled : tuple of Picks
        Those of `left` that are not better than the one in front by more than the margin.
    runs : int
        Of the plan in front.
    ahead : float
        By how much any of the others may be better than the one in front, at most.
    sure : bool
        Whether the one in front is the best of those tried, or within the margin of it, with the confidence promised.
    whole : bool
        Whether every plan of the space was tried.
    bounded : int
        Plans that are too late even by their hand bound, and were never simulated.
    stopped : str
        Why it ended before it was sure; empty where it did not.
    done : int
        Runs of all plans together.
    looks : tuple of int
        Runs of a plan at which it was looked at.
    among : int
        Of how many plans the one in front is to be the best: pairs of each with it hold together.
    alike : int
        How many others of `left` are neither better nor worse than the one in front by more than the margin.
    budget : int or None
        Runs of all plans together at the most.
    spent : bool
        Whether it ended because these were used.
    cut : bool
        Whether no more plans were proposed because half of these were used.
    """

    tried: tuple[Picks, ...]
    left: tuple[Picks, ...]
    settled: tuple[Picks, ...]
    runs: int
    ahead: float
    sure: bool
    whole: bool
    bounded: int
    stopped: str
    done: int
    looks: tuple[int, ...]
    among: int
    alike: int
    budget: int | None
    spent: bool
    cut: bool


def find_best(space: Space, runs: PlanRuns, objective: Objective, margin: float, most: int, budget: int | None = None) -> Search:
    """Return the best plan of a space, and how sure that is.

    Parameters
    ----------
    space : Space
    runs : PlanRuns
    objective : Objective
        What is made small.
    margin : float
        What makes no difference that matters.
    most : int
        Runs of one plan at the most.
    budget : int, optional
        Runs of all plans together at the most: half of them propose. Default: as many as it takes.
    """
    looks = planned_looks(most, min(SCREEN, most))
    proposing = Proposing(space, runs, objective, looks, margin, budget)
    standings: list[Standing] = []
    with until_stopped(runs):
        proposing.propose()
        if proposing.tried and not runs.stopped:
            _select(proposing, runs, objective, margin, standings, budget)
    tried = proposing.tried
    # Before the first look at all of them none is dropped yet.
    standing = standings[-1] if standings else Standing(looks[0], tuple(range(len(tried))), (math.inf,) * len(tried))
    ahead = max(standing.ahead, default=math.inf)
    left = tuple(tried[row] for row in standing.left)
    settled = tuple(tried[row] for row, by in zip(standing.left, standing.ahead, strict=True) if by <= margin)
    fewest = FEWEST_ALIKE if looks[-1] >= FEWEST_ALIKE else 0  # fewer call nothing alike
    is_open = ahead > margin or any(standing.observations[row] < fewest for row in standing.left[1:])
    only = proposing.whole and len(tried) == 1
    return Search(
        tried=(*left, *(picks for picks in tried if picks not in set(left))),
        left=left,
        settled=settled,
        runs=standing.runs,
        ahead=ahead,
        sure=not is_open and not runs.stopped and (standing.runs >= FEWEST or only),
        whole=proposing.whole,
        bounded=len(proposing.bounded),
        stopped=runs.stopped,
        done=runs.done,
        looks=looks,
        among=proposing.among,
        alike=sum(by <= margin for by in standing.apart[1:]) if standing.runs >= FEWEST_ALIKE else 0,
        budget=budget,
        spent=is_open and not runs.stopped and any(standing.observations[row] < looks[-1] for row in standing.left[1:]),
        cut=proposing.cut,
    )


def _select(
    proposing: Proposing, runs: PlanRuns, objective: Objective, margin: float, standings: list[Standing], budget: int | None
) -> None:
    """Select from the plans that are tried, and note how they stand after each round."""
    import numpy as np

    tried, looks = proposing.tried, proposing.looks
    plans = [proposing.plan(picks) for picks in tried]

    def observe(rows: Sequence[int], count: int) -> NDArray[np.float64]:
        several = [plans[row] for row in rows]
        if not runs.reach(several, count):
            raise _StoppedError
        return np.array([runs.capped(plan, count) for plan in several])

    if proposing.whole and len(tried) == 1 and runs.reach(plans, looks[-1]):  # nothing to choose from: its own numbers
        standings.append(Standing(looks[-1], (0,), (0.0,)))
        return

    def note(standing: Standing) -> bool:
        standings.append(standing)
        ahead = zip(standing.left, standing.ahead, strict=True)
        runs.expected = runs.done + sum(standing.observations[row] for row, by in ahead if by > margin)
        return True

    with suppress(_StoppedError):
        select_by_intervals(
            observe,
            len(tried),
            objective.weigh,
            margin,
            looks,
            1.0 - CONFIDENCE,
            note,
            among=proposing.among,
            tie=(
                proposing.tie,
                [plan.people + COST_OF_CHANGE * count_changes(picks) for plan, picks in zip(plans, tried, strict=True)],
            ),
            budget=budget,
        )


def stand_against(
    search: Search, runs: PlanRuns, objective: Objective, best: ChosenPlan, plan: ChosenPlan
) -> tuple[Difference, int] | None:
    """Return what a plan that was tried has more than the one in front, by the runs that both have; None where it has none.

    The interval holds over all looks and all pairs: the one in front was picked by the very runs that it is held against.
    """
    import numpy as np

    has = [look for look in search.looks if look <= min(runs.count(best), runs.count(plan))]
    if not has:
        return None
    intervals = PairedLooks(objective.weigh, search.among, search.looks, 1.0 - CONFIDENCE)
    front, other = runs.capped(best, has[-1]), runs.capped(plan, has[-1])
    (pair,) = intervals.pairs(front, np.array([other]), len(has) - 1)
    return Difference(pair.behind, pair.behind - pair.reach, pair.behind + pair.reach), has[-1]


class _StoppedError(Exception):
    """Somebody stopped the runs."""
