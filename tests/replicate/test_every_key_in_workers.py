"""Does the field in which every key differs come to the same digits in other processes, with a chain that sums to readiness?"""

import numpy as np
import pytest
from every_key_scenario import every_key

from simulation.construction import compile_plan
from simulation.replicate import do_runs


@pytest.fixture(scope="module")
def scenario():
    return every_key()


@pytest.fixture(scope="module")
def runs(scenario):
    return do_runs(scenario, 6, workers=1)


def test_its_digits_are_those_of_one_worker_for_two(scenario, runs):
    assert do_runs(scenario, 6, workers=2).equals(runs)


def test_the_causes_of_its_chain_sum_to_readiness_or_to_the_horizon(scenario, runs):
    plan = compile_plan(scenario)
    ready = runs[f"milestone.{plan.milestones[plan.ready].name}"]
    causes = runs[[name for name in runs if name.startswith("cause.")]]
    assert np.isfinite(ready).any()
    assert causes.sum(axis=1).to_numpy() == pytest.approx(np.minimum(ready, plan.horizon).to_numpy(), abs=1e-6)
