"""What if a worker dies, batches are done out of order, or somebody presses Ctrl-C?"""

import multiprocessing
import os
import random
import signal
import subprocess
import sys
import threading
import time
from collections import namedtuple
from concurrent.futures import Executor, Future, wait
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from pathlib import Path

import pandas as pd
import pytest
from scenarios import LITTLE, make_scenario

from simulation.replicate import Alternatives, Runs, Workshop, batches, do_runs, executors, processes
from simulation.replicate.executors import Team

RUNS = 60
Waited = namedtuple("Waited", "done not_done")


@pytest.fixture(scope="module")
def alone():
    return do_runs(make_scenario(LITTLE), RUNS, workers=1)


@pytest.fixture
def small_batches(monkeypatch):
    """Have batches of a run or two, so that a few runs make many of them."""
    monkeypatch.setattr(batches, "BATCH_SECONDS", 1e-4)


class Pool(Executor):
    """A pool without processes: it does one of the batches it was sent, any one, whenever it is waited for."""

    made = 0
    breaks_after = ()  # batches done by the first, second, ... pool before it breaks

    def __init__(self):
        self.left = type(self).breaks_after[type(self).made] if type(self).made < len(type(self).breaks_after) else None
        type(self).made += 1
        self.sent = {}
        self.luck = random.Random(type(self).made)
        type(self).now = self

    def submit(self, do, *given):
        if self.left == 0:
            raise BrokenProcessPool
        future = Future()
        self.sent[future] = do, given
        return future

    def wait(self, futures, timeout, return_when):
        future = self.luck.choice(sorted(futures, key=lambda one: self.sent[one][1][1]))
        do, given = self.sent[future]
        future.set_result(do(*given))
        if self.left is not None:
            self.left -= 1
            if self.left == 0:
                for other in futures - {future}:
                    other.set_exception(BrokenProcessPool())
        return Waited({future}, futures - {future})


@pytest.fixture
def pool(monkeypatch, small_batches):
    def team(workers):
        return Team(Pool(), lambda: 2 * workers, lambda: None, (BrokenProcessPool,))

    plainly = batches.wait
    monkeypatch.setattr(executors, "pool", team)
    monkeypatch.setattr(batches, "wait", lambda futures, *how: (Pool.now.wait if Pool.made else plainly)(set(futures), *how))
    monkeypatch.setattr(Pool, "made", 0)
    return Pool


def test_batches_that_are_done_in_any_order_are_put_in_order(alone, pool):
    done = []
    table = do_runs(make_scenario(LITTLE), RUNS, workers=8, progress=lambda number, _: done.append(number))
    assert pool.made == 1
    assert len(done) > RUNS / 2
    pd.testing.assert_frame_equal(alone, table, check_exact=True)


@pytest.mark.parametrize("breaks_after", [(1,), (5, 3), (1, 1, 1, 1, 1)])
def test_a_pool_that_breaks_is_made_anew_and_no_batch_is_lost(alone, pool, monkeypatch, breaks_after):
    monkeypatch.setattr(pool, "breaks_after", breaks_after)
    table = do_runs(make_scenario(LITTLE), RUNS, workers=3)
    assert pool.made == len(breaks_after) + 1
    pd.testing.assert_frame_equal(alone, table, check_exact=True)


def test_a_pool_that_breaks_again_and_again_without_a_batch_done_is_given_up_and_what_is_done_is_kept(alone, pool, monkeypatch):
    monkeypatch.setattr(pool, "breaks_after", (1,) + (0,) * 10)
    with Workshop(workers=3) as workshop:
        runs = Runs(make_scenario(LITTLE), workshop)
        assert not runs.reach(RUNS)
        kept = runs.table(RUNS).to_pandas()
    assert "ended 3 times" in runs.stopped
    assert "--workers 1" in runs.stopped
    assert 0 < len(kept) < RUNS
    pd.testing.assert_frame_equal(kept, alone[alone["run"].isin(kept["run"])].reset_index(drop=True), check_exact=True)
    assert pool.made == batches.BREAKS


@pytest.mark.parametrize(("workers", "runs", "started"), [(10**9, RUNS, RUNS - 1), (60, 4, 3), (3, RUNS, 3)])
def test_there_are_no_more_workers_than_batches(pool, monkeypatch, workers, runs, started):
    """The pace of the first run makes a batch of one; those that are left are as many batches as runs at the most."""
    asked = []
    monkeypatch.setattr(batches, "BATCH_SECONDS", 0.0)
    made = batches.executors.pool
    monkeypatch.setattr(batches.executors, "pool", lambda number: asked.append(number) or made(number))
    do_runs(make_scenario(LITTLE), runs, workers=workers)
    assert asked == [started]


def test_nobody_waits_for_the_last_runs_of_a_plan_while_others_are_left(pool, monkeypatch):
    """Each plan for itself, workers stood idle at the end of each: a quarter of the time of a question of twenty plans."""
    at_once, read = [], []
    monkeypatch.setattr(batches, "BATCH_SECONDS", 0.0)
    plainly = pool.wait
    monkeypatch.setattr(pool, "wait", lambda self, futures, *how: at_once.append(len(futures)) or plainly(self, futures, *how))
    plans = [make_scenario(LITTLE.replace("people = 14", f"people = {people}")) for people in (12, 14, 16)]
    with Workshop(workers=2) as workshop:
        together = Alternatives(plans, workshop)
        for place in together.reach_in_turn([(0, 9), (1, 5), (2, 5), (1, 7)]):
            read.append((place, together.runs[place].stored(20)))
        assert [one.stored(20) for one in together.runs] == [9, 7, 5]
    assert at_once == [4] * (len(at_once) - 3) + [3, 2, 1]
    assert len(at_once) == 9 + 7 + 5 - 1  # no run twice; the first one tells the pace in this process
    assert [place for place, _ in read] == [0, 1, 2, 1]
    assert read[0][1] == 9


def kill_a_worker():
    children = multiprocessing.active_children()
    if children:
        os.kill(children[0].pid, signal.SIGKILL)
    return bool(children)


@pytest.mark.slow
def test_a_worker_that_is_killed_between_two_batches_changes_no_number(alone, small_batches):
    killed = []

    def told(done, asked):
        if not killed and kill_a_worker():
            killed.append(done)
            time.sleep(0.5)  # until the pool has noticed

    table = do_runs(make_scenario(LITTLE), RUNS, workers=2, progress=told)
    assert killed
    pd.testing.assert_frame_equal(alone, table, check_exact=True)


def test_a_worker_that_is_killed_at_any_moment_changes_no_number(small_batches):
    reference = do_runs(make_scenario(LITTLE), 160, workers=1)
    over, killed = threading.Event(), []

    def killer():
        while not over.wait(0.05):
            if len(killed) < 2 and kill_a_worker():
                killed.append(time.monotonic())
                over.wait(0.5)

    thread = threading.Thread(target=killer)
    thread.start()
    try:
        table = do_runs(make_scenario(LITTLE), 160, workers=2)
    finally:
        over.set()
        thread.join()
    assert killed
    pd.testing.assert_frame_equal(reference, table, check_exact=True)


def die_half_way_through_an_answer():
    """Begin to send an answer as a worker does, and be killed before its end."""
    frame = sys._getframe()
    while "result_queue" not in frame.f_locals:
        frame = frame.f_back
    answers = frame.f_locals["result_queue"]
    answers._wlock.acquire()
    os.write(answers._writer.fileno(), (1 << 20).to_bytes(4) + b"the beginning of a megabyte")
    os.kill(os.getpid(), signal.SIGKILL)


def test_a_worker_that_is_killed_while_it_answers_breaks_the_pool_like_any_other():
    team = executors.pool(2)
    try:
        lost = [team.executor.submit(die_half_way_through_an_answer), team.executor.submit(os.getpid)]
        for _ in range(60):  # a worker takes its time to start
            if wait(lost[:1], 0.5).done:
                break
            team.look_after()
        with pytest.raises(team.broken):
            lost[0].result(0.0)
    finally:
        team.close()


def test_workers_that_have_begun_have_loaded_what_a_run_needs_and_are_taken_by_who_wants_as_many():
    processes.begin_pool(2)
    assert not processes.is_one_free()  # nobody would end it
    with processes.pools_kept():
        processes.begin_pool(2)
        begun = processes._free[0]
        other = executors.pool(3)
        assert other.executor is not begun
        team = executors.pool(2)
        assert team.executor is begun
        assert not processes.is_one_free()
        asked = [team.executor.submit(eval, "'simulation.construction.running' in __import__('sys').modules") for _ in range(4)]
        assert [one.result(60.0) for one in asked] == [True] * 4
        team.close()


def test_a_pool_is_kept_from_one_workshop_to_the_next_only_where_it_is_at_rest_and_while_pools_are_kept(alone, small_batches):
    with processes.pools_kept():
        taken = []
        for _ in range(2):
            with Workshop(workers=2) as workshop:
                runs = Runs(make_scenario(LITTLE), workshop)
                runs.reach(RUNS)
                taken.append(workshop.batches._team.executor)
                pd.testing.assert_frame_equal(runs.table(RUNS).to_pandas(), alone, check_exact=True)
        assert taken[0] is taken[1]
        assert processes.is_one_free()
        busy = executors.pool(2)
        busy.executor.submit(time.sleep, 0.5)
        busy.close()
        assert not processes.is_one_free()
        executors.pool(2).close()
    assert not processes.is_one_free()


def test_runs_worth_no_start_of_a_pool_are_worth_one_that_is_one_free(alone, pool, monkeypatch):
    monkeypatch.setattr(batches, "WORTH_A_POOL", float("inf"))
    monkeypatch.setattr(batches, "WORTH_A_FREE_POOL", 0.0)
    do_runs(make_scenario(LITTLE), RUNS)
    assert pool.made == 0
    monkeypatch.setattr(batches, "cores", lambda: 2)
    monkeypatch.setattr(batches, "is_one_free", lambda: True)
    pd.testing.assert_frame_equal(do_runs(make_scenario(LITTLE), RUNS), alone, check_exact=True)
    assert pool.made == 1


def test_a_pool_that_is_at_work_is_left_alone_when_it_is_looked_after():
    team = executors.pool(1)
    try:
        slow = team.executor.submit(time.sleep, 0.5)
        team.look_after()
        assert slow.result(20.0) is None
    finally:
        team.close()


@pytest.mark.parametrize("others", [0, 1])
def test_ctrl_c_while_a_batch_is_sent_is_heard_when_it_is_sent(others):
    enough = threading.Event()
    threads = [threading.Thread(target=enough.wait) for _ in range(others)]
    for thread in threads:
        thread.start()
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    # As a terminal does it, to whichever thread takes it; elsewhere than on POSIX that would end the process.
    interrupt = partial(os.kill, os.getpid()) if os.name == "posix" else signal.raise_signal
    main, sent = sys.modules["__main__"], []
    named = dict(vars(main))
    try:
        with pytest.raises(KeyboardInterrupt), processes._worker_starts():
            interrupt(signal.SIGINT)
            sent.append("all of it")
    finally:
        signal.signal(signal.SIGINT, before)
        enough.set()
    assert sent == ["all of it"]
    assert dict(vars(main)) == named


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="POSIX only: a test elsewhere would send Ctrl-C to its own console")
@pytest.mark.parametrize("workers", [1, 2])
def test_ctrl_c_keeps_the_runs_that_are_done(tmp_path, workers):
    script = tmp_path / "many.py"
    script.write_text(
        "import sys\n"
        "from pathlib import Path\n"
        "from simulation.replicate import batches, do_runs\n"
        "from simulation.scenario import parse_scenario\n"
        "if __name__ == '__main__':\n"
        "    batches.BATCH_SECONDS = 0.05\n"
        "    scenario = parse_scenario(Path(sys.argv[1]).read_text())\n"
        "    told = lambda done, asked: print(done, flush=True)\n"
        "    table = do_runs(scenario, 1_000_000, workers=int(sys.argv[2]), progress=told)\n"
        "    table.to_pickle(sys.argv[3])\n"
        "    print('kept', len(table), flush=True)\n"
    )
    (tmp_path / "field.toml").write_text(LITTLE)
    root = str(Path(batches.__file__).parents[2])
    arguments = [sys.executable, str(script), str(tmp_path / "field.toml"), str(workers), str(tmp_path / "kept.pickle")]
    environment = {**os.environ, "PYTHONPATH": root}
    process = subprocess.Popen(
        arguments, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment, start_new_session=True
    )
    try:
        told = [int(process.stdout.readline()) for _ in range(4 + 2 * workers)]
        os.killpg(process.pid, signal.SIGINT)  # as a terminal does: to the workers as well
        out, complaints = process.communicate(timeout=60)
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
    assert process.returncode == 0
    assert complaints == ""
    kept = pd.read_pickle(tmp_path / "kept.pickle")
    assert told[-1] <= len(kept) < 1_000_000
    assert f"kept {len(kept)}" in out
    reference = do_runs(make_scenario(LITTLE), int(kept["run"].max()) + 1, workers=1)
    pd.testing.assert_frame_equal(reference[reference["run"].isin(kept["run"])].reset_index(drop=True), kept)
