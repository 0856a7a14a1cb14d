"""How long does a step still last that is known to be under way?"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.chance import factors, outlasting

SHAPES = st.sampled_from([0.0, 0.1, 0.3, 0.8, 2.0, "exponential", "erlang-2"])


def test_a_step_still_under_way_after_eight_hours_ends_when_the_published_figures_say():
    # methods.md, "Work that has begun", check B3: lognormal, median 10, s .4, still running at 8 (recomputed).
    s, median = 0.4, 10.0
    scatter, level = math.sqrt(math.expm1(s * s)), median * math.exp(s * s / 2)
    z80 = 0.8416212335729143
    ends = [level * outlasting(scatter, math.exp(s * z - s * s / 2), 8.0 / level) for z in (0.0, z80)]
    assert ends == pytest.approx([11.594, 15.342], abs=6e-4)
    luck = factors(scatter, np.random.default_rng(5), 200_000)
    assert np.mean([level * outlasting(scatter, one, 8.0 / level) for one in luck.tolist()]) == pytest.approx(12.651, abs=0.03)


@given(SHAPES, st.floats(1e-3, 20.0), st.floats(0.0, 30.0))
def test_a_step_under_way_lasts_at_least_as_long_as_it_has(scatter, factor, spent):
    assert outlasting(scatter, factor, spent) >= spent


@given(SHAPES, st.floats(1e-3, 20.0), st.floats(1e-3, 20.0), st.floats(0.0, 10.0))
def test_what_would_have_been_the_longer_step_remains_the_longer_one(scatter, one, other, spent):
    short, long = sorted((one, other))
    assert outlasting(scatter, short, spent) <= outlasting(scatter, long, spent) * (1 + 1e-9)


@pytest.mark.parametrize("scatter", [0.3, "exponential", "erlang-2"])
def test_steps_under_way_end_as_those_do_that_outlasted_the_same_hours(scatter):
    luck = factors(scatter, np.random.default_rng(3), 40_000)
    known = np.array([outlasting(scatter, one, 1.1) for one in luck.tolist()])
    outlasted = luck[luck > 1.1]
    assert np.quantile(known, [0.2, 0.5, 0.8]) == pytest.approx(np.quantile(outlasted, [0.2, 0.5, 0.8]), rel=0.02)


def test_a_step_without_scatter_that_has_outlasted_its_level_is_due_now():
    assert outlasting(0.0, 1.0, 1.2) == 1.2
    assert outlasting(0.0, 1.0, 0.4) == 1.0
