"""Which plans are tried? All of a small space; in a larger one each choice in turn is set to what is best for it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.questions.plan.hand_bound import bound_hours
from simulation.stats.selection.by_intervals import PairedLooks

if TYPE_CHECKING:
    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.plan_runs import PlanRuns
    from simulation.questions.plan.space import ChosenPlan, Picks, Space

#: Combinations up to which all plans are tried. Planning value.
LISTED = 60
#: Runs of a plan that is proposed. Planning value: of two plans a day apart they show the better one in nearly all cases.
SCREEN = 25
#: Times that every choice is gone through, at most. Planning value: hardly any climb takes more than three.
SWEEPS = 4
#: Deviations of a difference from which on a plan is far behind another one. Planning value.
FAR = 3.0
#: A plan is as good as another that is ahead of it by no more than this part of what matters, and of a date by no more than this
#: part of the time to it. Planning values: half an hour of three weeks.
TIED, TIED_TIME = 0.1, 0.002
#: Confidence that the plan named is the best of those tried, or within the margin of it. Common practice.
CONFIDENCE = 0.95


class Proposing:
    """Finds the plans that are tried.

    Attributes
    ----------
    whole : bool
        Whether every plan of the space is.
    bounded : set of Picks
    looks : tuple of int
    cut : bool
        Whether the budget ended the proposing.
    """

    def __init__(
        self, space: Space, runs: PlanRuns, objective: Objective, looks: Sequence[int], margin: float, budget: int | None
    ) -> None:
        self.bounded: set[Picks]
        self.whole, self.bounded, self.looks = space.size <= LISTED, set(), tuple(looks)
        self._space, self._runs, self._objective, self._margin = space, runs, objective, margin
        self.cut, self._at_most = False, math.inf if budget is None or self.whole else budget // 2
        self._values: dict[Picks, float] = {}
        self._intervals: PairedLooks | None = None

    @property
    def least(self) -> float:
        """What the best plan comes to by its first runs."""
        return min(self._values.values())

    @property
    def tie(self) -> float:
        """How near to the best plan another one is as good."""
        near = TIED * self._margin
        return near if self._objective.is_chance else min(near, TIED_TIME * self.least)

    def plan(self, picks: Picks) -> ChosenPlan:
        """Return the plan at a place that was tried."""
        plan = self._space.plan(picks)
        assert plan is not None
        return plan

    @property
    def among(self) -> int:
        """How many plans the guarantee is to hold among: those left out by their hand bound are counted."""
        return len(self._values) + len(self.bounded)

    @property
    def tried(self) -> list[Picks]:
        """The plans that are tried, the best by a few runs first; of two as quick the one of fewer people."""
        return sorted(self._values, key=self._rank)

    def propose(self) -> None:
        """Have the first runs done of the plans that are tried."""
        if self.whole:
            self._runs.expected = self._space.size * self.looks[0]
            self._measure(list(self._space.combinations()))
        else:
            self._runs.expected = 3 * sum(map(len, self._space.choices)) * self.looks[0]  # about three sweeps
            starts = self._measure(self._space.starts())
            for start in sorted(self._leave_hopeless(starts), key=self._rank):
                for backwards in (False, True):
                    self._climb(start, backwards)

    def _rank(self, picks: Picks) -> tuple[float, int, Picks]:
        return self._values[picks], self.plan(picks).people, picks

    def _measure(self, combinations: Sequence[Picks]) -> list[Picks]:
        """Have the first runs of some plans done; return those that there are."""
        measured: dict[Picks, None] = {}
        for asked in combinations:
            sound = self._space.plan(asked) is not None
            picks = self._space.stands_for(asked)
            if picks not in self._values:
                if not sound or picks in self.bounded or self._is_too_late(picks):
                    continue
                if len(self._values) * self.looks[0] >= self._at_most:
                    self.cut = True
                    continue
                if not self._runs.reach([self.plan(picks)], self.looks[0]):
                    continue
                values = self._runs.capped(self.plan(picks), self.looks[0])
                self._values[picks] = float(self._objective.weigh(values))
            measured[picks] = None
        return list(measured)

    def _is_too_late(self, picks: Picks) -> bool:
        """Return whether the hand bound of a plan is measurably behind the plan in front; it is then never simulated."""
        import numpy as np

        if not self._values:
            return False
        front, count, plan = self.plan(min(self._values, key=self._rank)), self.looks[0], self.plan(picks)
        levels = self._runs.levels(front, count)
        bound = bound_hours(plan.scenario, self._space.compiled(picks), self._objective.milestone, levels)
        if self._objective.weigh(bound) <= min(self._values.values()):
            return False
        if self._intervals is None:
            self._intervals = PairedLooks(self._objective.weigh, self._space.size, self.looks, 1.0 - CONFIDENCE)
        (pair,) = self._intervals.pairs(self._runs.capped(front, count), np.array([bound]), 0)
        if pair.behind > pair.reach:
            self.bounded.add(picks)
        return picks in self.bounded

    def _climb(self, picks: Picks, backwards: bool) -> None:
        """Set each choice in turn to what is best for it, until nothing changes.

        What is far behind where it is tried first is not tried again in the same climb: a second sweep is of what may yet matter.
        """
        choices = list(enumerate(self._space.choices))
        worth = [list(range(len(options))) for options in self._space.choices]
        for _ in range(SWEEPS):
            before = picks
            for choice, _ in reversed(choices) if backwards else choices:
                row = [(*picks[:choice], number, *picks[choice + 1 :]) for number in worth[choice]]
                if there := self._measure(row):
                    picks = self._pick(there)
                    kept = {self._space.stands_for(other) for other in self._leave_hopeless(there)}
                    worth[choice] = [
                        number for number, other in zip(worth[choice], row, strict=True) if self._may_be(other, kept)
                    ]
            if picks == before:
                break

    def _pick(self, combinations: Sequence[Picks]) -> Picks:
        """Return the best of some plans; of those that are as good, the one with the fewest changes."""
        least = min(self._values[picks] for picks in combinations)
        return min(
            (picks for picks in combinations if self._values[picks] <= least + self.tie),
            key=lambda picks: (count_changes(picks), *self._rank(picks)),
        )

    def _may_be(self, picks: Picks, kept: set[Picks]) -> bool:
        """Return whether a plan is worth a second try: none that is far behind; one that cannot be here may be elsewhere."""
        return self._space.stands_for(picks) in kept or self._space.stands_for(picks) not in self._values

    def _leave_hopeless(self, combinations: Sequence[Picks]) -> list[Picks]:
        """Return those of some plans that are not far behind the best of them, as luck goes; the promise does not rest on it."""
        import numpy as np

        if len(combinations) < 2 or self.looks[0] < SCREEN:
            return list(combinations)
        first, *others = sorted(combinations, key=self._rank)
        front, *values = (self._runs.capped(self.plan(picks), self.looks[0]) for picks in (first, *others))
        intervals = PairedLooks(self._objective.weigh, 2, self.looks, 1.0 - CONFIDENCE)
        pairs = intervals.pairs(front, np.array(values), 0)
        near = {picks for picks, pair in zip(others, pairs, strict=True) if pair.behind <= FAR * pair.deviation}
        return [picks for picks in combinations if picks == first or picks in near]


def count_changes(picks: Picks) -> int:
    """Return how many choices of a plan are otherwise than as written."""
    return sum(number > 0 for number in picks)
