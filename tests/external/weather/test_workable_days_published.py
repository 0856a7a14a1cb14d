"""Days of the calendar that workable days take: W14 of the checks."""

import numpy as np
import pytest

from simulation.questions.conditions.workable_days import calendar_days, drawn_days


def test_w14_sixty_workable_days_at_three_in_four_take_80_on_average_84_at_p80_and_87_at_p90():
    """Negative binomial, recomputed (R)."""
    found = calendar_days(60, 0.75)
    assert (found.mean, found.p80, found.p90) == (80.0, 84, 87)


def test_w14_drawn_days_that_are_workable_apart_from_each_other_come_to_the_same():
    # 4,000 seasons: the standard error of the mean is .09 days, that of P80 about .1.
    workable = np.random.default_rng(14).random((4000, 160)) < 0.75
    found = drawn_days(60, workable, np.ones_like(workable))
    assert found.mean == pytest.approx(80.0, abs=0.36)
    assert abs(found.p80 - 84) <= 1
    assert abs(found.p90 - 87) <= 1
