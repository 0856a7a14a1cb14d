"""What a known level would change, on a line whose readiness can be written down."""

import pytest
from fields import ROWS, summing

from simulation.questions.sensitivity.study import sensitivity
from simulation.replicate import do_runs
from simulation.scenario import Change
from simulation.stats.quantiles import order_statistic
from simulation.study.run_context import RunContext

PLACE = {"p10": "1 h", "p90": "3 h"}


def bars(scenario, count=120, **how):
    return sensitivity(scenario, RunContext(runs=count, workers=1, **how), tornado=True).bars


def test_on_a_line_without_luck_the_bar_is_the_closed_form():
    scenario = summing(place=PLACE)
    levels = do_runs(scenario, 120, workers=1)["level.laying.place"].tolist()
    (bar,) = bars(scenario)
    for end, known in ((bar.low, 1.0), (bar.high, 3.0)):
        for share, change in ((0.5, end.against.p50), (0.8, end.against.p80)):
            # Four rows at the known level, less four at the quantile of the levels that were drawn.
            assert change.value == pytest.approx(ROWS * (known - order_statistic(levels[: end.runs], share)), abs=1e-6)
            assert change.low <= change.value <= change.high
    assert (bar.low.trial.name, bar.high.trial.name) == ("1 h", "3 h")
    assert bar.span == pytest.approx(ROWS * 2.0, abs=1e-6)


def test_levels_that_move_as_one_are_fixed_together_and_others_keep_their_luck():
    shared = {**PLACE, "shared_by": "crews"}
    scenario = summing(place=shared, pick_up=shared, starter=PLACE)
    runs = do_runs(scenario, 120, workers=1)
    both = next(bar for bar in bars(scenario) if bar.input.name == "crews")
    expected = runs["level.laying.starter_key_strip"] + ROWS * (3.0 + 3.0)
    assert both.high.outcome.hours == pytest.approx(expected.tolist()[: both.high.runs], abs=1e-6)


def test_a_fixed_level_keeps_its_scatter():
    scenario = summing(starter={"p10": "1 h", "p90": "3 h", "scatter": 0.5})
    (bar,) = bars(scenario)
    base = do_runs(scenario, 120, workers=1)
    luck = base["milestone.laid"] - ROWS * 1.0
    expected = ROWS * 1.0 + luck / base["level.laying.starter_key_strip"] * 3.0
    assert bar.high.outcome.hours == pytest.approx(expected.tolist()[: bar.high.runs], abs=1e-6)


def test_the_bar_that_matters_most_stands_first_and_one_without_effect_last():
    scenario = summing(place=PLACE, starter=PLACE, connect=PLACE)
    found = bars(scenario)
    assert [bar.input.name for bar in found] == ["laying.place", "laying.starter_key_strip", "laying.connect"]
    nothing = found[-1]
    assert nothing.span == 0.0
    assert not nothing.measurable
    assert not nothing.low.against.p80.measurable


def test_what_the_scenario_multiplies_is_made_up_for():
    # Twice the written place time is 2 to 6 h: fixed at its P90, a row takes 6 h, not 12.
    scenario = summing(changes=[Change("laying.place", "x2")], place=PLACE)
    (bar,) = bars(scenario, 20)
    assert bar.high.outcome.hours == pytest.approx([ROWS * 6.0] * 20, abs=1e-6)


def test_a_bar_beyond_the_horizon_is_not_known_and_stands_first():
    found = bars(summing(place={"p10": "1 h", "p90": "400 h"}, starter=PLACE, horizon="30 day"))
    assert found[0].input.name == "laying.place"
    assert found[0].high.against.p80.value is None
    assert found[0].span == float("inf")


def test_with_a_deadline_the_change_of_the_chance_is_counted():
    (bar,) = bars(summing(place=PLACE), deadline="8 h")
    base = [hours <= 8.0 for hours in do_runs(summing(place=PLACE), bar.low.runs, workers=1)["milestone.laid"]]
    assert bar.low.against.chance.value == pytest.approx(1.0 - sum(base) / bar.low.runs)  # 4 h is in time in every run
    assert bar.high.against.chance.value == pytest.approx(-sum(base) / bar.high.runs)


def test_a_stop_leaves_the_bars_of_what_matters_most_whole(tmp_path, monkeypatch):
    from simulation.replicate import batches

    whole, done = batches.do_batch, []

    def do(order, numbers):
        # Both ends of two levels at their first look; by runs, since a busy machine cuts batches smaller.
        if len(done) >= 4 * 50:
            raise KeyboardInterrupt
        done.extend(numbers)
        return whole(order, numbers)

    scenario = summing(place=PLACE, starter=PLACE, connect=PLACE)
    do_runs(scenario, 120, workers=1, folder=tmp_path)
    # The first ones are those of the level with the largest share.
    monkeypatch.setattr(batches, "do_batch", do)
    found = sensitivity(scenario, RunContext(runs=120, workers=1, folder=tmp_path), tornado=True)
    assert found.stopped
    assert 1 <= len(found.bars) < 3
    assert found.bars[0].input.name == found.rows[0].input.name == "laying.place"
    monkeypatch.setattr(batches, "do_batch", whole)
    again = sensitivity(scenario, RunContext(runs=120, workers=1, folder=tmp_path), tornado=True)
    assert len(again.bars) == 3
    assert again.bars == sensitivity(scenario, RunContext(runs=120, workers=1), tornado=True).bars
