"""Is the difference between two plans better known when both meet the same luck? That is what common random numbers are for."""

import numpy as np
import pytest
from fields import uneven
from small_runs import plan_of

from simulation.construction import simulate
from simulation.construction.plan.steps import END

RUNS = 120
#: Crews and forklifts by day only, and pallets enough: readiness hangs on the plan, not on five days of resupply.
DAYS = {
    "shifts.all": {"hours": ["06:00-12:00", "13:00-18:00"], "lighting": True},
    "supply": {"on_hand": 20, "spares": 0.3},
}
OTHERS = {
    "18 people in a crew instead of 12": {"crew": [{**crew, "people": 18} for crew in uneven()["crew"]]},
    "one crew instead of two": {"crew": uneven()["crew"][:1]},
    "one more forklift": {"forklifts": {"count": 3}},
    "from one end instead of the middle": {"area": [{**uneven()["area"][0], "start": "one-end"}, uneven()["area"][1]]},
}


def readiness(tables, seed):
    plan, hours = plan_of(tables), []
    for run_number in range(RUNS):
        run = simulate(plan, run_number, seed)
        hours.append(run.site.reached[plan.ready][END])
        run.dismiss()
    return np.array(hours)


@pytest.fixture(scope="module")
def as_it_is():
    return readiness(uneven(**DAYS), seed=1)


@pytest.mark.parametrize("other", OTHERS)
def test_the_difference_between_two_plans_varies_far_less_under_the_same_luck(as_it_is, other):
    # Measured: the variance of the paired difference is .07, .12, .10 and .12 of that under luck of its own; over 400
    # others .07, .11, .09 and .12. For normal differences the ratio has a standard error of 18 %, so .25 lies far outside.
    same, own = (readiness(uneven(**DAYS, **OTHERS[other]), seed) for seed in (1, 2))
    assert (same != as_it_is).mean() > 0.5  # another forklift changes nothing where the ground is what everybody waits for
    assert np.var(same - as_it_is, ddof=1) < 0.25 * np.var(own - as_it_is, ddof=1)
