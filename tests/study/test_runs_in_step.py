"""Runs of several scenarios done in step: after a stop each has the same ones, and the same question goes on from there."""

import pandas as pd
import pytest
from scenarios import SHORT, make_scenario

from simulation.study.in_step import ROUND, do_in_step
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished

PLANS = [make_scenario(SHORT, forklifts={"count": count}) for count in (1, 2)]


def stopping_after(runs):
    def advance(done, _):
        if done >= runs:
            raise KeyboardInterrupt

    return advance


def test_after_a_stop_every_scenario_has_the_same_runs_and_the_rest_is_done_when_it_is_asked_again(tmp_path):
    count = ROUND + 4
    stopped = do_in_step(PLANS, RunContext(runs=count, workers=1, folder=tmp_path, progress=stopping_after(2 * ROUND + 1)))
    assert stopped.stopped
    assert stopped.asked == count
    assert ROUND <= stopped.runs < count
    assert [table["run"].tolist() for table in stopped.tables] == [list(range(stopped.runs))] * 2
    said: list[str] = []
    whole = do_in_step(PLANS, RunContext(runs=count, workers=1, folder=tmp_path, tell=said.append))
    assert (whole.stopped, whole.runs) == ("", count)
    assert any("are kept" in line for line in said)
    for table, other in zip(whole.tables, do_in_step(PLANS, RunContext(runs=count, workers=1)).tables, strict=True):
        pd.testing.assert_frame_equal(table.to_pandas(), other.to_pandas())


def test_a_stop_before_every_scenario_has_a_run_leaves_nothing_to_say():
    with pytest.raises(NothingFinished):
        do_in_step(PLANS, RunContext(runs=4, workers=1, progress=stopping_after(1)))
