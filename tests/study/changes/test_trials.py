"""No run in vain: a change that is decided gets no more runs, what may be named goes on, and the answer is always the same."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest
from fields import bound, by_rain

from simulation.present.words.trial_words import deny_effect, name_effect, rule_notes
from simulation.questions.bottlenecks.idea import CAN_BE
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.stats.around_quantile import difference_around_quantile
from simulation.stats.group_sequential import FIRST, Effect, is_sized
from simulation.stats.paired_difference import Difference
from simulation.stats.quantiles import order_statistic
from simulation.study.changes.foremost import Foremost, Standing
from simulation.study.changes.trials import try_changes
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
            assert row.runs >= FIRST and row.against.around_p80.lies_within(result.margin)
        if row.effect is Effect.TOO_CLOSE:
            assert not row.against.around_p80.measurable and not row.against.around_p80.lies_within(result.margin)


def test_the_change_that_a_sentence_names_has_every_run_that_was_asked_for(result):
    best = result.best(*CAN_BE)
    assert best is None or best.runs == RUNS


def known_hours(monkeypatch, make):
    """Have the hours of each plan known beforehand, the current one's first: what `make` makes of some hours."""

    class HoursKnown:
        stopped, seed, expected = "", 1, 0
        runs = (SimpleNamespace(manifest=lambda: None),)

        def __init__(self, scenarios, *_):
            luck = np.random.default_rng(3)
            plain = luck.gamma(20.0, 10.0, 400)
            self.hours = make(plain, luck)

        def reach_in_turn(self, asked):
            return (place for place, _ in asked)

        def table(self, place, count):
            return pd.DataFrame({"milestone.ready": self.hours[place][:count]})

    monkeypatch.setattr("simulation.replicate.Alternatives", HoursKnown)


def tried_by_name(scenario, names, **asked):
    trials = [SimpleNamespace(name=name, changes=(), scenario=scenario) for name in names]
    return try_changes(scenario, trials, RunContext(runs=400), **asked)[0]


def gain(row):
    return row.earlier_around_p80.value if row.earns and row.trial.name != "trouble" else None


def test_what_competes_ends_where_it_is_measurably_behind_the_best_and_what_does_not_goes_on(monkeypatch):
    def make(plain, luck):
        noisy = plain + luck.choice([-60.0, 0.0, 60.0], 400)
        return [plain, plain - 120.0 + luck.normal(0.0, 1.0, 400), noisy, noisy]

    known_hours(monkeypatch, make)
    names = ("best", "rival", "trouble")
    tried = tried_by_name(by_rain(), names, may_be_named=gain, competes=lambda trial: trial.name != "trouble")
    best, rival, trouble = tried.rows
    assert [row.runs for row in (best, rival, trouble)] == [400, FIRST, 400]
    assert (best.standing, rival.standing) == (Standing.FOREMOST, Standing.BEHIND)
    assert (rival.effect, name_effect(rival)) == (Effect.BEHIND, "less than the best")
    assert trouble.standing is not Standing.BEHIND  # the same hours, but more is asked of it
    assert difference_around_quantile(best.outcome.hours[:FIRST], rival.outcome.hours, 0.8).low > 0.0
    assert deny_effect([rival]) == "less of a difference to the 80 % date than the best change"
    for row in (best, rival, trouble):  # what else it changes is told of the runs that it had
        for share, change in ((0.5, row.against.p50), (0.8, row.against.p80)):
            now, before = (order_statistic(hours, share) for hours in (row.outcome.hours, tried.outcome.hours[: row.runs]))
            assert change.value == pytest.approx(now - before)
    assert any("less than the best" in note for note in rule_notes(tried))


def test_what_gains_as_much_as_the_best_to_within_half_a_shift_ends_and_the_best_alone_goes_on(monkeypatch):
    # Round the clock half a shift is 12 hours: 41 and 42 hours earlier are alike, 10 is not.
    def make(plain, luck):
        return [plain, *(plain - by + luck.normal(0.0, 12.0, 400) for by in (42.0, 41.0, 10.0))]

    known_hours(monkeypatch, make)
    tried = tried_by_name(by_rain(), ("best", "as good", "less"), may_be_named=gain, competes=lambda trial: True)
    first, alike, less = sorted(tried.rows, key=lambda row: row.runs, reverse=True)  # chance says which of the two is ahead
    assert (first.standing, alike.standing, less.standing) == (Standing.FOREMOST, Standing.ALIKE, Standing.BEHIND)
    assert first.runs == 400 and alike.runs < 400 and alike.effect is Effect.MEASURABLE
    assert less.trial.name == "less"
    assert any("as large as the best to within half a shift" in note for note in rule_notes(tried))


def by_day():
    """Return a strip that is laid from 06:00 to 17:00."""
    return bound(shifts__all={"hours": ["06:00-17:00"]})


def worked(hours):
    """Return when so many hours of work are done by day: 11 hours, then a night of 13."""
    return 24.0 * np.floor(hours / 11.0) + hours % 11.0


def test_what_moves_a_run_by_minutes_of_work_and_now_and_then_by_a_night_is_none_that_matters_at_the_first_look(monkeypatch):
    known_hours(monkeypatch, lambda plain, luck: [worked(plain), worked(plain - 0.5 + luck.normal(0.0, 0.5, 400))])
    tried = tried_by_name(by_day(), ("minutes",))
    (row,) = tried.rows
    assert tried.margin == 5.5
    assert (row.effect, row.runs) == (Effect.NO_MATTER, FIRST)
    assert row.against.around_p80.lies_within(1.5)
    assert not row.against.p80.lies_within(tried.margin)  # which jumps by a night from sample to sample


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


def test_of_two_delays_that_cost_as_much_each_goes_on_until_its_own_cost_is_known(monkeypatch):
    # Nothing competes: half a day more or less between two is no matter, how much each costs is.
    known_hours(monkeypatch, lambda plain, luck: [plain, *(plain + 30.0 + luck.normal(0.0, 45.0, 400) for _ in range(2))])
    tried = tried_by_name(
        by_rain(), ("one", "other"), may_be_named=lambda row: row.against.around_p80.value if row.costs else None
    )
    for row in tried.rows:
        assert row.known is not Effect.OPEN
        assert row.last or row.against.around_p80.lies_within(tried.margin) or is_sized(row.against.around_p80)


def test_what_is_as_good_as_one_that_is_overtaken_is_too_close_to_call_and_not_left_open(result):
    row = next(row for row in result.rows if row.against.around_p80.measurable)
    wide = replace(row.against, around_p80=Difference(-40.0, -79.0, -1.0))
    assert replace(row, last=False, against=wide, standing=Standing.APART).effect is Effect.OPEN
    assert replace(row, last=False, against=wide, standing=Standing.RIVAL).effect is Effect.MEASURABLE


def test_a_rival_goes_on_unless_it_surely_gains_less_than_half_a_shift(result):
    foremost = Foremost(gain, lambda trial: True, result.margin)

    def goes_on(value, low, high):
        against = replace(result.rows[0].against, around_p80=Difference(value, low, high))
        return foremost.goes_on(replace(result.rows[0], against=against, standing=Standing.RIVAL))

    assert result.margin == 12.0
    assert goes_on(-20.0, -35.0, -5.0)
    assert not goes_on(-4.0, -6.0, -2.0)
