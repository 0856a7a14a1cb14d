"""In a space that is tried whole, is the plan named that thousands of runs of every plan name, and with how many runs?"""

import numpy as np
import pytest
from fields import by_crew

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.objective import Objective
from simulation.questions.plan.search import find_best
from simulation.questions.plan.space import Space, read_choices
from simulation.replicate import do_runs

#: Sizes of a crew and forklifts: ten plans, some of them a tenth of an hour apart, some the same in nearly every run.
TEXTS = ["crew.red.people=8,10,14,18", "forklifts.count=3"]
UNCERTAIN = {"pick_up": "20 s", "place": {"p10": "30 s", "p90": "50 s", "scatter": 0.3}}
MATTERS = 0.05


class KeptRuns:
    """Runs that were done beforehand, in an order of their own, the same for all plans."""

    def __init__(self, hours, order):
        self.stopped, self.expected = "", 0
        self._hours, self._order, self._done = hours, order, {}

    def reach(self, plans, count):
        self._done.update({plan.name: max(count, self._done.get(plan.name, 0)) for plan in plans})
        return True

    @property
    def done(self):
        return sum(self._done.values())

    def capped(self, plan, count):
        return self._hours[plan.name][self._order[:count]]

    def levels(self, plan, count):
        from simulation.questions.plan.hand_bound import LEVELS

        return {name: np.full(count, 1.0 if "efficiency" in name else 1e-9) for name in LEVELS}  # nothing is ruled out by hand


def repeat(runs, repetitions):
    """Return how often the right plan is named, what part of all runs it took at most and on average, how often it was sure."""
    scenario = by_crew(UNCERTAIN)
    space = Space(scenario, Limits(), read_choices(scenario, TEXTS))
    plans = [plan for picks in space.combinations() if (plan := space.plan(picks)) is not None]
    hours = {plan.name: do_runs(plan.scenario, runs, workers=1)["milestone.ready"].to_numpy() for plan in plans}
    objective, luck = Objective("ready"), np.random.default_rng(1)
    whole = {name: float(objective.measure(values)) for name, values in hours.items()}
    assert len(plans) == 10
    right, taken, sure = 0, [], 0
    for _ in range(repetitions):
        kept = KeptRuns(hours, luck.permutation(runs))
        found = find_best(space, kept, objective, MATTERS, min(1600, runs))
        right += whole[space.plan(found.left[0]).name] <= min(whole.values()) + MATTERS
        sure += found.sure
        taken.append(kept.done / (runs * len(plans)))
    return right / repetitions, max(taken), float(np.mean(taken)), sure / repetitions


def test_a_small_space_is_decided_as_many_runs_decide_it():
    right, _, mean, _ = repeat(400, 10)
    assert right >= 0.9
    assert mean < 0.75


@pytest.mark.slow
def test_a_small_space_is_decided_as_4000_runs_of_every_plan_decide_it_with_a_seventh_of_them():
    right, most, mean, sure = repeat(4000, 40)
    print(f"right {right}, runs at most {most:.3f}, on average {mean:.3f}, sure {sure}")
    assert right >= 0.95
    assert most <= 0.15
