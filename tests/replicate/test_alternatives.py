"""Do several scenarios in one workshop meet the same luck, go on where they were stopped, and say how far they are?"""

import numpy as np
import pandas as pd
import pytest
from scenarios import LITTLE, make_scenario

from simulation.replicate import Alternatives, StoreError, Workshop, do_runs
from simulation.scenario import ScenarioError, read_variation, vary

RUNS = 12
READY = "milestone.operational readiness"


def plans(*texts):
    field = make_scenario(LITTLE)
    return [field, *(vary(field, [read_variation(text)[0]]) for text in texts)]


@pytest.fixture(scope="module")
def three():
    return plans("forklifts.count=3", "crew.red.people=20")


class Interrupted:
    """A progress that stops everything after so many calls, as Ctrl-C would."""

    def __init__(self, after):
        self.left, self.told = after, []

    def __call__(self, done, expected):
        self.told.append((done, expected))
        self.left -= 1
        if self.left == 0:
            raise KeyboardInterrupt


def test_each_has_the_runs_that_it_has_alone(three):
    with Workshop(workers=1) as workshop:
        together = Alternatives(three, workshop)
        assert together.reach(RUNS)
        for place, scenario in enumerate(three):
            shared, alone = together.table(place, RUNS).to_pandas(), do_runs(scenario, RUNS, workers=1)
            pd.testing.assert_frame_equal(shared, alone, check_exact=True)


def test_run_by_run_all_have_the_same_luck(three):
    with Workshop(workers=1) as workshop:
        together = Alternatives(three, workshop)
        together.reach(RUNS)
        first, *others = (table.to_pandas() for table in together.common(RUNS))
    levels = [column for column in first if column.startswith("level.")]
    assert levels
    for other in others:
        assert first[levels].equals(other[levels])
        assert not first[READY].equals(other[READY])


def test_the_seed_is_the_first_ones_for_all_unless_another_is_given():
    field, other = plans("seed=77")
    with Workshop(workers=1) as workshop:
        both = Alternatives([field, other], workshop)
        both.reach(3)
        assert (both.seed, both.table(0, 3).to_pandas().equals(both.table(1, 3).to_pandas())) == (31, True)
        third = Alternatives([other, field], workshop)
        third.reach(3)
        assert third.seed == 77
        assert not np.array_equal(third.table(0, 3)[READY], both.table(0, 3)[READY])
        assert Alternatives([field], workshop, seed=5).seed == 5


def test_some_may_be_taken_further_than_others(three):
    with Workshop(workers=1) as workshop:
        some = Alternatives(three, workshop)
        assert some.reach(4)
        assert some.reach(9, places=[1])
        assert [len(some.table(place, 20)) for place in range(3)] == [4, 9, 4]
        assert [len(table) for table in some.common(20)] == [4, 4, 4]


def test_what_is_missing_is_counted_and_what_is_kept_is_not(three, tmp_path):
    with Workshop(tmp_path, workers=1) as workshop:
        before = Alternatives(three, workshop)
        missing, seconds = before.estimate(RUNS)
        assert (missing, seconds > 0) == (3 * RUNS, True)
        before.reach(5)
        before.reach(RUNS, places=[2])
    with Workshop(tmp_path, workers=1) as workshop:
        after = Alternatives(three, workshop)
        assert after.estimate(RUNS)[0] == 2 * (RUNS - 5)
        after.reach(RUNS)
        assert after.estimate(RUNS) == (0, 0.0)
        assert after.estimate(3) == (0, 0.0)


def test_the_estimate_does_no_runs_that_are_kept(three):
    with Workshop(workers=1) as workshop:
        asked = Alternatives(three, workshop)
        asked.estimate(RUNS)
        assert [one.stored(RUNS) for one in asked.runs] == [0, 0, 0]


@pytest.mark.parametrize("workers", [1, 2])
def test_progress_adds_up_to_what_is_expected_of_all_together(three, workers):
    told = []
    with Workshop(workers=workers) as workshop:
        counted = Alternatives(three, workshop, progress=lambda done, expected: told.append((done, expected)))
        counted.expected = 3 * RUNS
        counted.reach(5)
        counted.reach(RUNS)
    done = [number for number, _ in told]
    assert done == sorted(set(done))
    assert told[-1] == (3 * RUNS, 3 * RUNS)
    assert {expected for _, expected in told} == {3 * RUNS}


def test_progress_begins_with_what_is_kept_and_never_exceeds_what_is_expected(three, tmp_path):
    with Workshop(tmp_path, workers=1) as workshop:
        Alternatives(three, workshop).reach(RUNS, places=[0, 1])
    told = []
    with Workshop(tmp_path, workers=1) as workshop:
        more = Alternatives(three, workshop, progress=lambda done, expected: told.append((done, expected)))
        more.reach(RUNS)  # nobody said how many are expected
    assert told[0][0] > 2 * RUNS
    assert told[-1] == (3 * RUNS, 3 * RUNS)
    assert all(done <= expected for done, expected in told)


def test_an_interrupt_keeps_what_is_done_says_why_and_the_next_time_goes_on(three, tmp_path):
    many = 300  # several batches each
    stop = Interrupted(after=1)
    with Workshop(tmp_path, workers=1) as workshop:
        stopped = Alternatives(three, workshop, progress=stop)
        assert not stopped.reach(many)
        assert stopped.stopped == "stopped early"
        done = [one.stored(many) for one in stopped.runs]
        assert 0 < done[0] < many
        assert done[1:] == [0, 0]
        assert all(table.empty for table in stopped.common(many))
    with Workshop(tmp_path, workers=1) as workshop:
        again = Alternatives(three, workshop)
        assert [one.stored(many) for one in again.runs] == done
        assert again.reach(RUNS)
        assert again.stopped == ""
        assert [table["run"].tolist() for table in again.common(RUNS)] == [list(range(RUNS))] * 3


def test_after_a_stop_the_common_runs_are_those_that_all_have(three):
    with Workshop(workers=1) as workshop:
        uneven = Alternatives(three, workshop)
        uneven.reach(7)
        uneven.reach(3, places=[0])
        tables = uneven.common(RUNS)
    assert [table["run"].tolist() for table in tables] == [list(range(7))] * 3


def test_one_that_cannot_finish_is_refused_before_any_run(tmp_path):
    field, short = plans("supply.total=12")  # legal, but the field needs more pallets than that
    with Workshop(tmp_path, workers=1) as workshop, pytest.raises(ScenarioError, match="too few"):
        Alternatives([field, short], workshop)


def test_a_folder_that_cannot_be_used_is_refused_at_once(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError):
        Workshop(tmp_path / "file", workers=1)


def test_a_workshop_leaves_its_folder_to_the_next_one(three, tmp_path):
    with Workshop(tmp_path, workers=1) as first:
        Alternatives(three, first).reach(2)
    with Workshop(tmp_path, workers=1) as second:
        again = Alternatives(three, second)
        assert [one.news for one in again.runs] == [f"2 runs of this study are kept in {tmp_path} already"] * 3
