"""Does every question that may take long say how long it takes before it has done more than it needs to know that?"""

import re

import pytest
from questions_asked import COMMANDS, asked, options_of, put_all_into
from scenarios import SHORT

from simulation.present import progress
from simulation.replicate import batches, worker
from simulation.session import lines

#: Questions that take no runs, or one; their longest is well below three seconds, whatever they are asked about.
AT_ONCE = {"new", "check", "takeoff", "log", "trace", "studies", "weather", "rates"}
#: What is said of the time that work takes, or of what is done of it.
OF_THE_TIME = re.compile(r"\bto (do|try)\b|\babout .+ for \d|^\S+ \d+ %, ")
DAMAGE = '\n[damage]\nper_day = 1\nstay = "90 day"\ntouchdown = "20 ft"\n'
#: Runs that tell the pace of a plan.
PACE = 4


class Told(Exception):
    """It was said how long it takes: no more of it is done."""


@pytest.mark.parametrize("question", sorted({*COMMANDS} - AT_ONCE))
def test_how_long_it_takes_is_said_before_more_runs_are_done_than_tell_the_pace(question, tmp_path, keystrip, monkeypatch):
    put_all_into(tmp_path)
    (tmp_path / "short.toml").write_text(SHORT + DAMAGE, encoding="utf-8")
    done: list[int] = []
    said: list[str] = []
    if question == "repeat":
        assert keystrip("forecast", "short.toml", "--runs", PACE + 2, "--workers", 1, "--out", "kept")[0] == 0
    # Everything counts as long, and is told as soon as it can be.
    monkeypatch.setattr(progress, "SHORT", -1.0)
    monkeypatch.setattr(progress, "LEARNT", 0.0)
    monkeypatch.setattr(batches, "BATCH_SECONDS", 0.0)
    do_run = worker._do_run
    monkeypatch.setattr(worker, "_do_run", lambda plan, number: done.append(number) or do_run(plan, number))

    def heard(line, **_):
        said.append(line)
        if OF_THE_TIME.search(line):
            raise Told

    monkeypatch.setattr(lines.typer, "echo", heard)
    words = asked(question, "short.toml" if question == "repair" else None)
    assert {"workers", "progress"} & options_of(question) or question in {"conditions", "repair"}
    keystrip(*words)
    assert any(map(OF_THE_TIME.search, said)), said
    assert len(done) <= PACE
