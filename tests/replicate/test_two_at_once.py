"""What if two forecasts share a folder, if it holds something else, or if the number of workers differs?"""

import json

import pytest
from noted_batches import __file__ as noted_batches
from noted_batches import read_notes
from real_runs import FEW, MANY, REPORT, Run, forecast, here, kept, names_in, numbers_of, scenario_in, undisturbed
from scenarios import LITTLE

from simulation.replicate import Store
from simulation.replicate.store import FILE


@pytest.mark.slow
@pytest.mark.parametrize("workers", [2, 5])
def test_the_digits_are_those_of_one_worker_for_any_number_of_them(tmp_path, workers):
    ended = Run(tmp_path, *forecast(scenario_in(tmp_path), tmp_path / "out", FEW, workers)).end()
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == undisturbed(FEW).numbers
    assert kept(tmp_path / "out") == undisturbed(FEW).records


def test_two_on_the_same_run_share_the_work_and_come_to_the_same(tmp_path):
    many = 3 * MANY  # many batches: a run takes two milliseconds, and each of the two may do its last batch in vain
    out, go = tmp_path / "out", tmp_path / "go"
    words = forecast(scenario_in(tmp_path), out, many)
    notes = [tmp_path / "first", tmp_path / "second"]
    first = Run(tmp_path, notes[0], 3, go, *words, script=noted_batches)
    first.until(lambda: len(read_notes(notes[0])) == 3)  # it waits with the third batch
    second = Run(tmp_path, notes[1], 3, go, *words, script=noted_batches)
    second.until(second.said)
    assert second.said() == [
        f"keystrip: another process is at work on the same study in {out}: both go on, and each takes what the other stored"
    ]
    go.touch()
    for run in (first, second):
        ended = run.end()
        assert ended.code == 0, ended
        assert numbers_of(ended.out) == undisturbed(many).numbers
    assert len(first.said()) == 1
    assert kept(out) == undisturbed(many).records
    done = [[number for _, numbers in read_notes(one) for number in numbers] for one in notes]
    assert all(done)
    assert len(done[0]) + len(done[1]) < 1.5 * many
    assert names_in(out) == {FILE, *REPORT}


@pytest.mark.slow
def test_two_scenarios_at_once_are_two_runs_in_one_folder(tmp_path):
    other = LITTLE.replace("people = 14", "people = 16")
    out = tmp_path / "out"
    runs = [
        Run(tmp_path, *forecast(scenario_in(tmp_path, text, name), out, FEW))
        for text, name in ((LITTLE, "one.toml"), (other, "other.toml"))
    ]
    reference = [undisturbed(FEW), undisturbed(FEW, other)]
    for run, alone in zip(runs, reference, strict=True):
        ended = run.end()
        assert ended.code == 0, ended
        assert numbers_of(ended.out) == alone.numbers
        number = json.loads(ended.out)["study"]["study"]
        assert kept(out, number) == alone.records
        assert "at work" not in "\n".join(ended.said)
    with Store(out, reading=True) as store:
        assert [(one.number, one.runs) for one in store.manifests()] == [(1, FEW), (2, FEW)]
    assert names_in(out) == {FILE, *REPORT}
    assert numbers_of((out / "forecast.json").read_text()) in [alone.numbers for alone in reference]


def somebodys_notes(path):
    path.write_text("a planner's own notes\n" * 9)


def half_a_store(path):
    path.write_bytes(undisturbed(FEW).store[: len(undisturbed(FEW).store) // 2])


@pytest.mark.parametrize("content", [somebodys_notes, half_a_store])
def test_a_foreign_or_damaged_store_is_refused_and_left_alone(tmp_path, content):
    out = tmp_path / "out"
    scenario, store = scenario_in(tmp_path), out / FILE
    out.mkdir()
    content(store)
    before = store.read_bytes()
    ended = here(*forecast(scenario, out, FEW))
    assert (ended.code, ended.out) == (2, "")
    (said,) = ended.said
    assert str(store) in said
    assert "move it elsewhere" in said
    assert store.read_bytes() == before
    assert names_in(out) == {FILE}
