"""Work that has begun, B1 and B2, and unit learning, H4, by the product's own posterior and its own likelihood."""

import math

import numpy as np
import pytest
from scenarios import strip
from small_runs import plan_of

from simulation.chance import LevelPlan, Streams
from simulation.chance.posterior import learn
from simulation.construction.learning.hours_at_work import ShiftHours
from simulation.construction.learning.likelihood import LogLikelihood
from simulation.construction.learning.observed import RowsDone, Spent
from simulation.construction.learning.stretches import stretch_of
from simulation.scenario.types.uncertainty.distributions import Lognormal, Tabulated
from simulation.scenario.types.uncertainty.uncertain import Uncertain

RUNS, Z90 = 1250, 1.2815515655446004


def draws(learned, plans):
    return [learned.draw(plans, Streams(1, run), "random") for run in range(RUNS)]


class Measured:
    """Eight observations of mean 12 and known standard deviation 3."""

    keys = frozenset({"rows"})

    def log(self, levels):
        return -0.5 * 8 * ((12.0 - levels["rows"]) / 3.0) ** 2


def test_a_normal_level_and_eight_observations_give_the_conjugate_answer():
    # B1: conjugate normal, R.
    plans = [LevelPlan("rows", Tabulated(tuple(np.linspace(0.0, 20.0, 1025).tolist())), None, 1.0)]  # 10 ± 5 sd of 2
    rows = np.array([one["rows"] for one in draws(learn(plans, Measured(), 1), plans)])
    assert rows.mean() == pytest.approx(11.561, abs=0.075)
    assert rows.std() == pytest.approx(0.937, rel=0.06)
    left = 12 * rows + np.random.default_rng(1).normal(0.0, 3.0 * math.sqrt(12), RUNS)
    assert left.mean() == pytest.approx(138.73, abs=1.225)
    assert left.std() == pytest.approx(15.31, rel=0.06)
    assert np.quantile(left, 0.8) == pytest.approx(151.62, abs=1.8)


def test_hauls_of_a_road_teach_as_the_conjugate_answer_says():
    # B2: log-multiplier prior N(0, 0.25²), observation sd 0.3, actual against plan, R.
    sd, scatter = 0.3, math.sqrt(math.expm1(0.3**2))
    ends = [math.exp(sd**2 / 2 + side * 0.25 * Z90) for side in (-1, 1)]  # a factor of mean 1 has its median below it
    plans = [LevelPlan.of("haul", Uncertain(Lognormal(*ends), scatter))]
    actual, planned = (9, 11, 7, 14, 10, 12), (8, 9, 8, 10, 9, 9)
    seen = tuple(Spent(("haul",), 1, one / other) for one, other in zip(actual, planned, strict=True))
    learned = learn(plans, LogLikelihood((), seen, (), (), {"haul": scatter}), 1)
    levels = [one["haul"] for one in draws(learned, plans)]
    logs = np.log(levels) - sd**2 / 2
    assert logs.mean() == pytest.approx(0.122908, abs=0.0088)
    assert logs.std() == pytest.approx(0.109985, rel=0.05)
    following = 10 * np.array(levels) * np.random.default_rng(2).lognormal(-(sd**2) / 2, sd, RUNS)
    assert np.quantile(following, 0.5) == pytest.approx(11.308, rel=0.02)
    assert np.quantile(following, 0.8) == pytest.approx(14.797, rel=0.025)


def test_unit_learning_counts_where_crews_learn():
    # H4: first 812 h, 75 %: units 2, 10, 20, 100 and 250 (Kerzner table 18-1, inputs T, answers R).
    area = [{"name": "strip", "length": "600 ft", "width": "72 ft"}]
    learning = {"learning": 0.75, "learning_reference": 1, "learning_floor": 0.01}
    plan = plan_of(strip(area=area, laying=learning, supply={"on_hand": 1000}))

    def worth(upto):
        done = RowsDone(0, 0, upto, 0, 12, 0.0, 24.0, hours=8.0)
        return sum(stretch_of(plan, done, ShiftHours(plan)).weights)

    for unit, hours in ((2, 609.0), (10, 312.3), (20, 234.2), (100, 120.1), (250, 82.1)):
        assert 812 * (worth(unit) - worth(unit - 1)) == pytest.approx(hours, abs=0.05)
