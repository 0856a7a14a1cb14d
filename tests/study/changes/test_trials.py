"""No run in vain: a change that is decided gets no more runs, what may be named goes on, and the answer is always the same."""

from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest
from fields import by_rain

from simulation.present.words.trial_words import deny_effect, name_effect, rule_notes
from simulation.questions.bottlenecks.idea import CAN_BE
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.stats.group_sequential import FEWEST_ALIKE, Effect
from simulation.stats.paired_difference import difference_of_quantiles
from simulation.stats.quantiles import order_statistic
from simulation.study.changes.trials import FEWEST_BEHIND, try_changes
from simulation.study.run_context import RunContext

RUNS = 200


@pytest.fixture(scope="module")
def result():
    return bottlenecks(by_rain(), RunContext(runs=RUNS, workers=1))


def known(result):
    return [(row.trial.name, row.outcome.hours, row.against, row.effect) for row in result.rows]


def test_runs_end_where_a_change_is_decided_and_not_before(result):
    assert result.looks == (50, 100, 200)
    assert {row.runs for row in result.rows} <= set(result.looks)
    assert min(row.runs for row in result.rows) < RUNS
    for row in result.rows:
        assert row.effect is not Effect.OPEN
        if row.runs < RUNS:
            assert row.effect in (Effect.MEASURABLE, Effect.NO_MATTER, Effect.BEHIND)
        if row.effect is Effect.NO_MATTER:
            assert row.runs >= FEWEST_ALIKE and row.against.p80.lies_within(result.margin)
        if row.effect is Effect.TOO_CLOSE:
            assert not row.against.p80.measurable and not row.against.p80.lies_within(result.margin)


def test_the_change_that_a_sentence_names_has_every_run_that_was_asked_for(result):
    best = result.best(*CAN_BE)
    assert best is None or best.runs == RUNS


class HoursKnown:
    """Stands in for runs: the hours of each plan are known beforehand."""

    stopped, seed, expected = "", 1, 0
    runs = (SimpleNamespace(manifest=lambda: None),)

    def __init__(self, scenarios, *_):
        luck = np.random.default_rng(3)
        plain = luck.gamma(20.0, 10.0, 400)
        noisy = plain + luck.choice([-26.0, 0.0, 26.0], 400)  # some runs jump two nights either way
        self.hours = [plain, plain - 80.0 + luck.normal(0.0, 1.0, 400), noisy, noisy]

    def reach_in_turn(self, asked):
        return (place for place, _ in asked)

    def table(self, place, count):
        return pd.DataFrame({"milestone.ready": self.hours[place][:count]})


def test_what_competes_ends_where_it_is_measurably_behind_the_best_and_what_does_not_goes_on(monkeypatch):
    monkeypatch.setattr("simulation.replicate.Alternatives", HoursKnown)
    trials = [SimpleNamespace(name=name, changes=(), scenario=by_rain()) for name in ("best", "rival", "trouble")]

    def competes(trial):
        return trial.name != "trouble"

    def gain(row):
        return row.earlier_p80.value if row.earns and competes(row.trial) else None

    tried, _ = try_changes(by_rain(), trials, RunContext(runs=400), may_be_named=gain, competes=competes)
    best, rival, trouble = tried.rows
    assert [row.runs for row in (best, rival, trouble)] == [400, FEWEST_BEHIND, 400]
    assert (rival.behind, rival.effect, name_effect(rival)) == (True, Effect.BEHIND, "less than the best")
    assert not trouble.behind  # the same hours, but more is asked of it
    assert difference_of_quantiles(best.outcome.hours[:FEWEST_BEHIND], rival.outcome.hours, 0.8).low > 0.0
    assert deny_effect([rival]) == "less of a difference to the 80 % date than the best change"
    for row in (best, rival, trouble):  # what else it changes is told of the runs that it had
        assert row.against.p50.value == pytest.approx(
            order_statistic(row.outcome.hours, 0.5) - order_statistic(tried.outcome.hours[: row.runs], 0.5)
        )
    assert any("less than the best" in note for note in rule_notes(tried))


def test_a_plan_of_fewer_runs_is_read_as_the_current_plan_and_its_change_unless_it_hardly_moves_with_it(result):
    told_apart = [row for row in result.rows if row.runs < RUNS and not row.outcome.by_change]
    assert {row.trial.name for row in told_apart} <= {"no rain"}  # which is ready at the same hour in every run
    for row in told_apart:
        assert min(row.outcome.hours) <= row.outcome.p80.value <= max(row.outcome.hours)
    for row in (row for row in result.rows if row not in told_apart):
        assert row.outcome.p80.value == pytest.approx(result.outcome.p80.value + row.against.p80.value)


def test_it_is_the_same_after_a_stop_and_where_more_runs_are_kept(tmp_path, result):
    def stop(done, _):
        if done > RUNS + 170:
            raise KeyboardInterrupt

    part = bottlenecks(by_rain(), RunContext(runs=RUNS, workers=1, folder=tmp_path, progress=stop))
    assert part.stopped and len(known(part)) < len(known(result))
    assert known(bottlenecks(by_rain(), RunContext(runs=RUNS, workers=1, folder=tmp_path))) == known(result)
    again = bottlenecks(by_rain(), RunContext(runs=RUNS, workers=2, folder=tmp_path))
    assert known(again) == known(result)
