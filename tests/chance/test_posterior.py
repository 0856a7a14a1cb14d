"""What do a scenario's level and what was seen make of each other? Exact answers first, then what must hold of any."""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from simulation.chance import LevelPlan, Streams, draw_levels
from simulation.chance.posterior import Impossible, learn
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain

RUNS = 1500


@dataclass(frozen=True)
class Measured:
    """Normal observations of a level, their standard deviation known: their mean says all that they say."""

    key: str
    mean: float
    sd: float
    count: int
    of: object = staticmethod(lambda value: value)

    @property
    def keys(self):
        return frozenset({self.key})

    def log(self, levels):
        return -0.5 * self.count * ((self.mean - self.of(levels[self.key])) / self.sd) ** 2


def drawn(plans, likelihood, runs=RUNS, sampling="random"):
    learned = learn(plans, likelihood, 1)
    return [learned.draw(plans, Streams(1, run), sampling) for run in range(runs)]


def test_draws_are_those_of_a_level_whose_posterior_can_be_added_up():
    # A share between 0 and 1 with 3 of 10 found: the PERT prior is a beta distribution, so the posterior is one.
    @dataclass(frozen=True)
    class Found:
        keys = frozenset({"share"})

        def log(self, levels):
            with np.errstate(divide="ignore"):
                return 3 * np.log(levels["share"]) + 7 * np.log1p(-levels["share"])

    plans = [LevelPlan.of("share", Uncertain(Pert(0.0, 0.5, 1.0)))]  # Beta(3, 3)
    share = np.array([one["share"] for one in drawn(plans, Found())])
    assert share.mean() == pytest.approx(6 / 16, abs=0.009)
    assert share.var() == pytest.approx(6 * 10 / (16**2 * 17), rel=0.1)


def test_records_are_weighed_by_what_was_seen():
    plans = [LevelPlan.of("time", Uncertain(Records((1.0, 2.0, 3.0, 4.0), "f.csv")))]
    times = [one["time"] for one in drawn(plans, Measured("time", 2.4, 0.6, 1))]
    weights = np.exp(-0.5 * ((2.4 - np.arange(1, 5)) / 0.6) ** 2)
    for time, weight in zip((1.0, 2.0, 3.0, 4.0), weights / weights.sum(), strict=True):
        assert times.count(time) / RUNS == pytest.approx(weight, abs=0.0365)


def test_what_moves_together_is_learned_together_by_its_correlation():
    low, high = math.exp(-1.2815515655446004), math.exp(1.2815515655446004)
    plans = [LevelPlan.of(key, Uncertain(Lognormal(low, high), 0.0, "crews", 0.5)) for key in ("seen", "other")]
    both = drawn(plans, Measured("seen", 2.0, 1e-3, 1, of=np.log))
    other = np.log([one["other"] for one in both])
    assert np.log([one["seen"] for one in both]) == pytest.approx(2.0, abs=0.01)
    assert other.mean() == pytest.approx(0.5 * 2.0, abs=0.07)
    assert other.std() == pytest.approx(math.sqrt(1 - 0.5**2), rel=0.06)


@pytest.mark.parametrize("sampling", ["random", "lhs"])
def test_what_was_not_seen_stays_as_every_run_had_it(sampling):
    plans = [LevelPlan.of(key, Uncertain(Lognormal(1.0, 3.0))) for key in ("seen", "other")]
    for run, levels in enumerate(drawn(plans, Measured("seen", 0.1, 0.3, 5, of=np.log), 120, sampling)):
        assert levels["other"] == draw_levels(plans, Streams(1, run), sampling)["other"]


def test_a_run_has_the_same_draw_whoever_does_it_and_whatever_else_is_done():
    plans = [LevelPlan.of(key, Uncertain(Lognormal(1.0, 3.0), 0.0, "crews", 0.3)) for key in ("seen", "other")]
    likelihood = Measured("seen", 0.1, 0.3, 5, of=np.log)
    whole = learn(plans, likelihood, 1).chains([Streams(7, run) for run in range(250)], "random")[-1]
    for some in ([249], [3, 17, 200], range(30, 60)):
        again = learn(plans, likelihood, 1).chains([Streams(7, run) for run in some], "random")[-1]
        assert (again == whole[list(some)]).all()


def test_what_cannot_be_is_refused_and_what_is_known_is_not_learned():
    @dataclass(frozen=True)
    class Never:
        keys = frozenset({"seen"})

        def log(self, levels):
            return np.full(len(levels["seen"]), -np.inf)

    with pytest.raises(Impossible):
        learn([LevelPlan.of("seen", Uncertain(Lognormal(1.0, 3.0)))], Never(), 1)
    assert learn([LevelPlan.of("seen", Uncertain(Constant(1.0)))], Measured("seen", 2.0, 1.0, 1), 1) is None
