"""Find the plan with the smallest quantile, chance or mean: look by look, drop what is measurably behind the one in front.

It holds for a mean, a quantile and a chance: every pair with the plan in front has an interval that holds over all looks, and
the error is split over the pairs, so plans may share their luck or not. A plan of
which it is known that it is not better by what matters gets no more observations: they go where they decide.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import FEWEST_ALIKE, boundaries
from simulation.stats.selection.allocation import budget_shares
from simulation.stats.selection.paired_bootstrap import resample_pairs, student_score

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.stats.selection.paired_bootstrap import Statistic

    #: Given plans and a number, returns the first so many observations of each: plans × observations.
    ObserveFirst = Callable[[Sequence[int], int], NDArray[np.float64]]

#: How late the error is spent, as in `group_sequential`: by the share of the runs, so that early looks drop many. Planning value.
_POWER = 1.0
#: A plan goes on in a round that may be better by at least this part of what the foremost rival may be. Planning value.
_RIVAL = 0.5


@dataclass(frozen=True)
class Selected:
    """What a selection has come to.

    Attributes
    ----------
    best : int
        The plan that is named.
    left : tuple of int
        Plans that were not dropped, the best first.
    observations : tuple of int
        Of each plan.
    """

    best: int
    left: tuple[int, ...]
    observations: tuple[int, ...]


@dataclass(frozen=True)
class Standing:
    """How plans stand to the one in front.

    Attributes
    ----------
    runs : int
        Of the one in front.
    left : tuple of int
        Plans that are not dropped, the one in front first.
    ahead : tuple of float
        By how much each of these may be better than the one in front, at most; 0 for itself.
    observations : tuple of int
        Of each plan, those that are dropped included.
    apart : tuple of float
        By how much each of `left` may be better or worse than the one in front, at most.
    """

    runs: int
    left: tuple[int, ...]
    ahead: tuple[float, ...]
    observations: tuple[int, ...] = ()
    apart: tuple[float, ...] = ()


@dataclass(frozen=True)
class Pair:
    """How a plan stands to the one in front, by as many observations as both have.

    Attributes
    ----------
    behind : float
    deviation : float
        By how much that differs from sample to sample.
    reach : float
        To either side of `behind`, so that the interval holds over all looks.
    """

    behind: float
    deviation: float
    reach: float

    @property
    def ahead(self) -> float:
        """By how much the plan may be better than the one in front, at most."""
        return max(self.reach - self.behind, 0.0)

    @property
    def apart(self) -> float:
        """By how much the two may differ, at most."""
        return self.reach + abs(self.behind)


class PairedLooks:
    """Intervals of pairs of plans at numbers of observations fixed beforehand, which hold together.

    Parameters
    ----------
    statistic : callable
        Of observations along the last axis, such as their order statistic at P80.
    plans : int
        Of all of which one is sought: the error is split over the pairs of each with the best.
    looks : sequence of int
    error : float
        That any interval of a pair with the best misses.
    """

    def __init__(self, statistic: Statistic, plans: int, looks: Sequence[int], error: float = 0.05) -> None:
        self.statistic, self.looks = statistic, tuple(looks)
        spent = [(look / looks[-1]) ** _POWER for look in looks]
        self._bounds = [
            student_score(bound, look)
            for look, bound in zip(looks, boundaries(looks, spent, 1.0 - error / max(1, plans - 1)), strict=True)
        ]

    def pairs(self, front: NDArray[np.float64], others: NDArray[np.float64], look: int) -> list[Pair]:
        """Return how other plans stand to the one in front, by as many observations of each as the look has."""
        several = resample_pairs(self.statistic, front, others)
        return [Pair(behind, deviation, self._bounds[look] * deviation) for behind, deviation in several]


def select_by_intervals(
    observe: ObserveFirst,
    plans: int,
    statistic: Statistic,
    indifference: float,
    looks: Sequence[int],
    error: float = 0.05,
    note: Callable[[Standing], bool] = lambda standing: True,
    among: int | None = None,
    tie: tuple[float, Sequence[float]] = (0.0, ()),
    budget: int | None = None,
) -> Selected:
    """Return the plan whose statistic is the smallest.

    Parameters
    ----------
    observe : callable
        Given plans and a number, returns the first so many observations of each; under common luck the k-th of all share it.
    plans : int
    statistic : callable
        Of observations along the last axis, such as their order statistic at P80.
    indifference : float
        Two statistics this near make no difference that matters.
    looks : sequence of int
        Numbers of observations, rising; after the last one it ends undecided.
    error : float
        Chance that the plan named is worse than the best by more than the indifference, at most.
    note : callable, optional
        Told how plans stand after each round; where it returns False, it ends there.
    among : int, optional
        Of how many plans the best is sought, those included that were left out before by a pair of their own. Default: `plans`.
    tie : (float, sequence of float), optional
        Of plans so near to the smallest statistic, the one that costs least comes in front: how near, and what each costs.
        The promise holds for it as for any that comes in front. Default: the first of equal ones.
    budget : int, optional
        Observations of all plans together, at the most. Default: as many as it takes.

    Notes
    -----
    The true best is dropped, or called no better than the one in front by more than the indifference when it is, only where an
    interval of its pair with that one misses: each other plan makes one pair with it, and each pair bears error/(plans − 1)
    over all looks (Bonferroni). Intervals are repeated ones (`group_sequential`), with the standard error of the paired bootstrap
    and Student's tail in place of the normal one; so each pair may be ended after any look, for whatever reason. Dropping as in
    the screening of Nelson, Swann, Goldsman & Song 2001, Operations Research 49 (from memory), whose pairs are of means at a
    single look. The one in front goes on with whichever of the others may be better than it by most, as the leader and its
    foremost rivals do in Kalyanakrishnan, Tewari, Auer & Stone 2012, International Conference on Machine Learning 29 (from
    memory): so whenever it ends, what may still be missed is as little as it can be. Of those that a budget has no room for, the
    shares of `budget_shares` say who waits, by the deviation of each pair, so that luck that is shared counts. Both rules guide,
    and the promise does not rest on them.
    """
    intervals, last = PairedLooks(statistic, among or plans, looks, error), len(looks) - 1
    reached, left, front = dict.fromkeys(range(plans), 0), set(range(plans)), 0
    while True:
        top = max(reached[plan] for plan in left)
        foremost = [plan for plan in sorted(left) if reached[plan] == top]
        front = _find_front(foremost, statistic(observe(foremost, looks[top])).tolist(), tie)
        pairs = _stand(observe, intervals, front, {plan: reached[plan] for plan in left if plan != front})
        left -= {plan for plan, pair in pairs.items() if pair.behind > pair.reach}
        order = sorted((plan for plan in left if plan != front), key=lambda plan: (pairs[plan].behind, plan))
        counts = tuple(looks[reached[plan]] for plan in range(plans))
        ahead = (0.0, *(pairs[plan].ahead for plan in order))
        apart = (0.0, *(pairs[plan].apart for plan in order))
        standing = Standing(looks[reached[front]], (front, *order), ahead, counts, apart)
        open_ones = [
            plan
            for plan in order
            if reached[plan] < last
            and (pairs[plan].ahead > indifference or (looks[reached[plan]] < FEWEST_ALIKE and looks[-1] >= FEWEST_ALIKE))
        ]
        if not note(standing) or not open_ones:
            return Selected(front, standing.left, counts)
        rivals = _find_rivals(open_ones, pairs, {plan: looks[reached[plan]] for plan in open_ones}, indifference)
        if budget is not None:
            rivals = _keep_within(budget - sum(counts), rivals, looks, reached, front)
            if not rivals:
                return Selected(front, standing.left, counts)
        for plan in rivals:
            reached[plan] += 1
        reached[front] = max(reached[front], *(reached[plan] for plan in rivals))


def _find_front(plans: Sequence[int], results: Sequence[float], tie: tuple[float, Sequence[float]]) -> int:
    near, costs = tie
    least = min(results)
    tied = {plan: value for plan, value in zip(plans, results, strict=True) if value <= least + near}
    return min(tied, key=lambda plan: (costs[plan] if costs else 0.0, tied[plan]))


def _stand(observe: ObserveFirst, intervals: PairedLooks, front: int, reached: dict[int, int]) -> dict[int, Pair]:
    """Return how each other plan stands to the one in front, by the observations that it has itself."""
    pairs: dict[int, Pair] = {}
    for look in sorted(set(reached.values())):
        others = [plan for plan, its in reached.items() if its == look]
        values = observe([front, *others], intervals.looks[look])
        pairs.update(zip(others, intervals.pairs(values[0], values[1:], look), strict=True))
    return pairs


def _find_rivals(plans: Sequence[int], pairs: dict[int, Pair], has: dict[int, int], indifference: float) -> list[int]:
    """Return the plans that get more observations in the next round, those first that have least of what they should have."""
    deviations = [max(pairs[plan].deviation * has[plan] ** 0.5, 1e-9) for plan in plans]
    # What is to be known of a plan is whether it is better by more than the indifference.
    distances = [max(pairs[plan].behind + indifference, indifference / 2, 1e-9) for plan in plans]
    shares = budget_shares([0.0, *distances], [max(deviations), *deviations])[1:]
    needs = {plan: share / has[plan] for plan, share in zip(plans, shares, strict=True)}
    most = max(pairs[plan].ahead for plan in plans)
    return sorted((plan for plan in plans if pairs[plan].ahead >= _RIVAL * most), key=lambda plan: (-needs[plan], plan))


def _keep_within(free: int, plans: Sequence[int], looks: Sequence[int], reached: dict[int, int], front: int) -> list[int]:
    """Return the first of some plans that can go on by a look each, the one in front with them, in so many observations."""
    kept: list[int] = []
    top = reached[front]
    for plan in plans:
        after = reached[plan] + 1
        needs = looks[after] - looks[reached[plan]] + max(0, looks[after] - looks[top])
        if needs <= free:
            kept.append(plan)
            free -= needs
            top = max(top, after)
    return kept
