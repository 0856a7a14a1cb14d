"""Are the runs of a cluster the same to the bit, whatever becomes of its workers, and is one that cannot be used refused?"""

import json
import os
import random
import shutil
import signal
import subprocess
import sys
from importlib.util import find_spec

import pytest
from real_runs import FEW, MANY, ROOT, Run, forecast, here, kept, numbers_of, scenario_in, stored, undisturbed, within

# Asked for and not loaded: only one process of the suite needs it.
pytestmark = pytest.mark.skipif(find_spec("distributed") is None, reason="needs the library that runs a cluster")


class Cluster:
    """A scheduler, and workers that are added, as processes of their own."""

    def __init__(self, folder, root):
        self.folder = folder
        self.file = folder / "scheduler.json"
        self.workers = []
        self.scheduler, _ = self._starts("scheduler", root, "--port", 0, "--host", "127.0.0.1", "--no-dashboard")
        try:
            within(60, self._known)
        except BaseException:
            self.close()
            raise
        self.address = json.loads(self.file.read_text())["address"]

    def _known(self):
        return self.file.exists() and self.file.read_text().rstrip().endswith("}")

    def _starts(self, what, root, *words):
        log = self.folder / f"{what}{len(self.workers)}.log"
        program = [sys.executable, "-m", f"distributed.cli.dask_{what}", "--scheduler-file", str(self.file), *map(str, words)]
        with log.open("w") as said:
            environment = {**os.environ, "PYTHONPATH": str(root)}
            return subprocess.Popen(program, stdout=said, stderr=said, cwd=self.folder, env=environment), log

    def add(self, *roots):
        """Add a worker for each folder that its program is in, and wait until the scheduler knows them."""
        logs = []
        for root in roots:
            worker, log = self._starts("worker", root, "--host", "127.0.0.1", "--nthreads", 1, "--no-nanny", "--no-dashboard")
            self.workers.append(worker)
            logs.append(log)
        within(60, lambda: all("Registered to" in log.read_text() for log in logs))

    def close(self):
        for process in (*self.workers, self.scheduler):
            process.kill()
            process.wait()


@pytest.fixture(scope="module")
def without_keystrip(tmp_path_factory):
    """Return a folder from where nobody can import keystrip, be it installed or not."""
    folder = tmp_path_factory.mktemp("without")
    (folder / "simulation").mkdir()
    (folder / "simulation" / "__init__.py").write_text("raise ModuleNotFoundError(\"No module named 'simulation'\")\n")
    return folder


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """Return a function that starts a cluster, with a scheduler that finds its program in a folder."""
    started = []

    def cluster(root=ROOT):
        started.append(Cluster(tmp_path_factory.mktemp("cluster"), root))
        return started[-1]

    yield cluster
    for one in started:
        one.close()


@pytest.fixture(scope="module")
def refused(start, tmp_path_factory):
    """Return forecasts on clusters that cannot do them, started together since each waits a while for what does not come."""
    beside = tmp_path_factory.mktemp("refused")
    empty = start()

    def on(address):
        return Run(beside, *forecast(scenario_in(beside), beside / "out", FEW, 1, "--cluster", address))

    return {"nobody": on("tcp://127.0.0.1:1"), "no workers": on(empty.address)}


@pytest.fixture(scope="module")
def cluster(start, refused):
    two = start()
    two.add(ROOT, ROOT)
    return two


def test_a_cluster_comes_to_the_same_digits_as_one_worker(tmp_path, cluster):
    words = forecast(scenario_in(tmp_path), tmp_path / "out", FEW, 1, "--cluster", cluster.address)
    ended = here(*words)
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == undisturbed(FEW).numbers
    assert kept(tmp_path / "out") == undisturbed(FEW).records
    again = here("repeat", tmp_path / "out", "--cluster", cluster.address)
    assert (again.code, again.said) == (0, [])
    assert "all the same to the bit" in again.out


@pytest.mark.slow
def test_a_run_killed_on_a_cluster_goes_on_with_the_workers_of_this_machine(tmp_path, cluster):
    out = tmp_path / "out"
    words = forecast(scenario_in(tmp_path), out, MANY, 2)
    run = Run(tmp_path, *words, "--cluster", cluster.address)
    wanted = random.Random(40).randrange(100)
    run.until(lambda: stored(out) > wanted)
    run.signal_all(signal.SIGKILL)
    assert run.end().code == -signal.SIGKILL
    before = kept(out)
    ended = here(*words)
    assert ended.code == 0, ended
    assert wanted < len(before) < MANY
    assert numbers_of(ended.out) == undisturbed(MANY).numbers
    assert kept(out) == undisturbed(MANY).records


@pytest.mark.slow
def test_a_worker_of_a_cluster_that_is_killed_changes_no_number(tmp_path, cluster):
    out = tmp_path / "out"
    luck = random.Random(41)
    run = Run(tmp_path, *forecast(scenario_in(tmp_path), out, MANY, 1, "--cluster", cluster.address))
    wanted = luck.randrange(2, 200)
    run.until(lambda: stored(out) > wanted)
    assert stored(out) < MANY
    luck.choice(cluster.workers).kill()
    ended = run.end()
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == undisturbed(MANY).numbers
    assert kept(out) == undisturbed(MANY).records


def is_refused(run):
    ended = run.end(40)
    assert (ended.code, ended.out) == (2, ""), ended
    (said,) = ended.said
    return said


def test_a_worker_with_another_program_is_refused(tmp_path, start):
    shutil.copytree(ROOT / "simulation", tmp_path / "other" / "simulation", ignore=shutil.ignore_patterns("__pycache__"))
    changed = tmp_path / "other" / "simulation" / "construction" / "actors" / "closing.py"
    changed.write_text(changed.read_text(encoding="utf-8") + "# one line more\n", encoding="utf-8")
    others = start()
    others.add(tmp_path / "other")
    out = tmp_path / "out"
    said = is_refused(Run(tmp_path, *forecast(scenario_in(tmp_path), out, FEW, 1, "--cluster", others.address)))
    assert "a worker runs another keystrip; install the same keystrip and libraries on every machine" in said
    assert stored(out) == 0


@pytest.mark.slow
def test_a_worker_without_the_program_is_refused(tmp_path, start, without_keystrip):
    bare = start()
    bare.add(without_keystrip)
    said = is_refused(Run(tmp_path, *forecast(scenario_in(tmp_path), tmp_path / "out", FEW, 1, "--cluster", bare.address)))
    assert "install the same keystrip and libraries on every machine" in said


@pytest.mark.slow
def test_a_scheduler_without_the_program_passes_runs_on_or_is_named(tmp_path, start, without_keystrip):
    bare = start(without_keystrip)
    bare.add(ROOT)
    ended = Run(tmp_path, *forecast(scenario_in(tmp_path), tmp_path / "out", FEW, 1, "--cluster", bare.address)).end(40)
    if ended.code == 0:
        assert numbers_of(ended.out) == undisturbed(FEW).numbers
    else:
        assert (ended.code, ended.out) == (2, "")
        (said,) = ended.said
        assert "scheduler" in said
        assert "install the same keystrip and libraries on every machine" in said


def test_an_address_that_nobody_answers_at_is_refused(refused):
    assert "no scheduler answers at tcp://127.0.0.1:1" in is_refused(refused["nobody"])


def test_a_cluster_without_workers_is_refused(refused):
    assert "has no workers; start some" in is_refused(refused["no workers"])
