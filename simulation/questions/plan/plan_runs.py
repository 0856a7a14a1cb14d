"""Runs of plans by their place in the space, done when they are asked for and read once."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from simulation.questions.plan.hand_bound import LEVELS
from simulation.study.runner import in_words

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.space import ChosenPlan
    from simulation.replicate import Manifest, Workshop
    from simulation.replicate.run_table import RunTable
    from simulation.replicate.runs import Runs
    from simulation.scenario import Scenario
    from simulation.study.run_context import RunContext


@contextmanager
def until_stopped(runs: PlanRuns) -> Iterator[None]:
    """End the block where somebody stops the program, wherever in it that strikes; what was done by then stays."""
    from simulation.replicate.in_turn import STOPPED, heed

    try:
        yield
    except KeyboardInterrupt as interrupt:
        heed(interrupt)
        runs.stopped = STOPPED


class PlanRuns:
    """Runs of plans, run k of each under the same luck.

    Parameters
    ----------
    objective : Objective
    workshop : Workshop
        Where they are done and kept.
    context : RunContext
        For the seed and the progress.
    budget : float
        Runs of all plans together at the most: the progress expects no more.

    Attributes
    ----------
    stopped : str
        Why runs are missing; empty where none are.
    expected : int
        Runs that it takes in all, as far as is known: for the progress; whoever asks sets it.
    """

    def __init__(self, objective: Objective, workshop: Workshop, context: RunContext, budget: float = math.inf) -> None:
        self.stopped, self.expected, self._budget = "", 0, budget
        self._objective, self._workshop, self._context = objective, workshop, context
        self._runs: dict[int, Runs] = {}
        self._plans: dict[int, ChosenPlan] = {}  # kept, so that no other plan gets the identity of one
        self._done: dict[int, int] = {}
        self._there: dict[int, int] = {}  # of each plan, as far as the progress was told of them
        self._hours: dict[int, NDArray[np.float64]] = {}

    def announce(self, scenario: Scenario, most: int) -> None:
        """Tell how many runs there are to do at the most, and about how long they take, by a run done here and now."""
        from simulation.construction import compile_plan
        from simulation.replicate.processes import cores
        from simulation.replicate.worker import do_batch_of_runs

        if self._context.tell is None:
            return
        plan, began = compile_plan(scenario), time.perf_counter()
        do_batch_of_runs(plan, [0])
        seconds = most * (time.perf_counter() - began) / (self._context.workers or cores())
        self._context.tell(f"to do: at most {in_words(most, seconds)}; --budget sets the most")

    def reach(self, plans: Sequence[ChosenPlan], count: int) -> bool:
        """Have runs 0 up to `count` of some plans done; return whether they are there."""
        from simulation.replicate.in_turn import reach_in_turn

        due = [] if self.stopped else [plan for plan in plans if self._done.get(id(plan), 0) < count]
        asked = [(self._of(plan), count) for plan in due]
        for place in reach_in_turn(asked):
            self._done[id(due[place])] = count
            with until_stopped(self):  # between two plans: what is done is kept as within one
                self._tell_of(id(due[place]), count)
            if self.stopped:
                return False
        self.stopped = self.stopped or next((runs.stopped for runs, _ in asked if runs.stopped), "")
        return not self.stopped

    def _of(self, plan: ChosenPlan) -> Runs:
        from simulation.replicate.runs import Runs

        if id(plan) not in self._runs:
            runs = Runs(plan.scenario, self._workshop, self._context.seed, progress=self._report_of(id(plan)))
            self._runs[id(plan)], self._plans[id(plan)] = runs, plan
        return self._runs[id(plan)]

    def _report_of(self, plan: int) -> Callable[[int, int], None]:
        def report(there: int, _: int) -> None:
            self._tell_of(plan, there)

        return report

    def _tell_of(self, plan: int, there: int) -> None:
        self._there[plan] = max(self._there.get(plan, 0), there)
        self._tell(sum(self._there.values()))

    def _tell(self, done: int) -> None:
        if self._context.progress is not None:
            self._context.progress(done, max(done, round(min(self.expected, self._budget))))

    @property
    def done(self) -> int:
        """Runs of all plans together."""
        return sum(self._done.values())

    def count(self, plan: ChosenPlan) -> int:
        """Return how many runs of a plan were asked for and done."""
        return self._done.get(id(plan), 0)

    def hours(self, plan: ChosenPlan, count: int) -> NDArray[np.float64]:
        """Return when runs that are done reach the milestone; infinite where one does not by the last day simulated."""
        import numpy as np

        there = self._hours.get(id(plan))
        if there is None or len(there) < count:
            known = 0 if there is None else len(there)
            read = self._of(plan).values((f"milestone.{self._objective.milestone}",), known, count)
            more = np.array(read, dtype=float).reshape(-1)
            there = self._hours[id(plan)] = more if there is None else np.concatenate([there, more])
        return there[:count]

    def capped(self, plan: ChosenPlan, count: int) -> NDArray[np.float64]:
        """Return the same, where one after the last day simulated counts as reached on it."""
        import numpy as np

        hours: NDArray[np.float64] = np.minimum(self.hours(plan, count), plan.scenario.horizon)
        return hours

    def levels(self, plan: ChosenPlan, count: int) -> dict[str, NDArray[np.float64]]:
        """Return the levels of runs that are done, which a run has in every plan, by name."""
        import numpy as np

        values = np.array(self._of(plan).values([f"level.{name}" for name in LEVELS], 0, count))
        return {name: values[:, index] for index, name in enumerate(LEVELS)}

    def table(self, plan: ChosenPlan) -> RunTable:
        """Return one row for each run of a plan that is done."""
        return self._of(plan).table(self.count(plan))

    def manifest(self, plan: ChosenPlan) -> Manifest:
        """Return what is known of the study of a plan by now."""
        return self._of(plan).manifest()
