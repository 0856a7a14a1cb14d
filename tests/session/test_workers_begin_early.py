"""Do workers start while a command still reads its scenario, and only where there is much for them to do?"""

import pytest
from scenarios import SHORT

from simulation.replicate import processes
from simulation.session import session

MANY = ("--runs", "200")


@pytest.fixture
def begun(monkeypatch):
    """Return what happens in turn: workers that begin, and a scenario that is read."""
    events, load = [], session.load
    monkeypatch.setattr(processes, "cores", lambda: 2)
    monkeypatch.setattr(processes, "begin_pool", lambda workers: events.append(f"{workers} begin"))
    monkeypatch.setattr(session, "load", lambda *given: events.append("read") or load(*given))
    monkeypatch.setattr("simulation.replicate.batches.cores", lambda: 1)  # so that runs are done here
    return events


@pytest.fixture(autouse=True)
def field(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")


@pytest.mark.parametrize("command", ["forecast", "bottlenecks"])
def test_workers_begin_before_the_scenario_is_read(keystrip, field, begun, command):
    keystrip(command, "short.toml", *MANY, "--deadline", "nonsense")
    assert begun == ["2 begin", "read"]


@pytest.mark.parametrize(
    "words",
    [
        ("short.toml", "--runs", "20"),
        ("short.toml", *MANY, "--workers", "1"),
        ("short.toml", *MANY, "--workers", "9"),
        ("none.toml",),
    ],
)
def test_none_begins_where_there_is_little_to_do_or_nothing_to_read(keystrip, field, begun, words):
    keystrip("forecast", *words, "--deadline", "nonsense")
    assert begun == ["read"]


def test_none_begins_where_runs_may_be_kept(keystrip, begun, tmp_path):
    (tmp_path / "reports" / "short").mkdir(parents=True)
    keystrip("forecast", "short.toml", *MANY, "--deadline", "nonsense")
    assert begun == ["read"]


def test_workers_that_nobody_asked_for_a_run_are_ended_with_the_command(keystrip, monkeypatch):
    taken = []
    monkeypatch.setattr(processes, "cores", lambda: 2)
    monkeypatch.setattr(session, "begin_by_log", lambda loaded, *_: taken.append(processes._free[0]) or loaded)
    code, _, _ = keystrip("forecast", "short.toml", *MANY, "--deadline", "nonsense")
    assert code == 2
    assert not processes.is_one_free()
    started = list(taken[0]._processes.values()) if taken[0]._processes else []
    for process in started:
        process.join(10.0)
    assert not any(process.is_alive() for process in started)
