"""No run in vain: a change that is decided gets no more runs, what may be named goes on, and the answer is always the same."""

import pytest
from fields import by_rain

from simulation.questions.bottlenecks.idea import CAN_BE
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.stats.group_sequential import FEWEST_ALIKE, Effect, look_confidences
from simulation.stats.paired_difference import difference_of_quantiles
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


def test_what_can_be_made_ends_where_it_is_measurably_behind_the_best_and_what_cannot_be_does_not(result):
    best = result.best(*CAN_BE)
    behind = [row for row in result.rows if row.behind]
    assert behind
    for row in behind:
        assert row.trial.kind in CAN_BE and row.runs < RUNS
        confidence = look_confidences(result.looks)[result.looks.index(row.runs)]
        assert difference_of_quantiles(best.outcome.hours[: row.runs], row.outcome.hours, 0.8, confidence).low > 0.0


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
