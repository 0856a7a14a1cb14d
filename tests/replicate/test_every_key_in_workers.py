"""Does the field in which every key differs come to the same digits in other processes, with a chain that sums to readiness?"""

import numpy as np
import pytest
from every_key_scenario import every_key

from simulation.construction import compile_plan
from simulation.replicate import run_builds


@pytest.fixture(scope="module")
def scenario():
    return every_key()


@pytest.fixture(scope="module")
def builds(scenario):
    return run_builds(scenario, 6, workers=1)


def test_its_digits_are_those_of_one_worker_for_two(scenario, builds):
    assert run_builds(scenario, 6, workers=2).equals(builds)


def test_the_causes_of_its_chain_sum_to_readiness_or_to_the_horizon(scenario, builds):
    plan = compile_plan(scenario)
    ready = builds[f"milestone.{plan.milestones[plan.ready].name}"]
    causes = builds[[name for name in builds if name.startswith("driver.")]]
    assert np.isfinite(ready).any()
    assert causes.sum(axis=1).to_numpy() == pytest.approx(np.minimum(ready, plan.horizon).to_numpy(), abs=1e-6)
