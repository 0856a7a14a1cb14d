"""How did the forecast go from shift to shift, and was what came true inside?"""

from dataclasses import replace

import pytest
from scenarios import SHORT
from test_update import FEW, begun_at, truth

from simulation.questions.update.history import history
from simulation.questions.update.history_answer import history_answer, say_history
from simulation.scenario import parse_scenario


@pytest.fixture(scope="module")
def finished():
    scenario = parse_scenario(SHORT)
    return history(begun_at(scenario, 3, truth(scenario, 3) + 1.0), FEW), truth(scenario, 3)


def test_the_first_forecast_is_that_of_the_start_and_the_last_one_is_the_truth(finished):
    result, ready = finished
    assert result.rows[0].moment == 0.0
    assert [row.moment for row in result.rows] == sorted(row.moment for row in result.rows)
    assert result.truth == pytest.approx(ready, abs=1 / 3600)
    assert result.rows[-1].left == 0.0
    assert result.rows[-1].quantiles[0.5] == result.truth


def test_hits_are_counted_over_the_forecasts_before_readiness_alone(finished):
    result, _ = finished
    before = sum(row.moment < result.truth for row in result.rows)
    assert result.inside(0.1, 0.9)[1] == result.covered(0.8)[1] == before < len(result.rows)
    assert result.covered(0.9)[0] >= result.covered(0.8)[0]


def test_what_is_not_known_yet_is_no_hit_and_no_miss(finished):
    result = replace(finished[0], truth=None)
    assert result.inside(0.1, 0.9) is None
    assert "not known yet" in say_history(result)
    assert history_answer(result).record["reached_days"] is None


def test_the_picture_draws_what_came_true(finished):
    (figure,) = history_answer(finished[0]).figures
    (axes, *_) = figure.drawn().axes
    assert "came true" in axes.get_legend_handles_labels()[1]
