"""Does a stored study come out again, and is it said when it does not?"""

import struct

import pytest
from real_runs import forge_manifest, forge_record
from scenarios import LITTLE, make_scenario

from simulation.replicate import Store, StoreError, do_runs, repeating
from simulation.replicate.repeating import find_study, repeat
from simulation.replicate.store import FILE
from simulation.scenario import parse_scenario


@pytest.fixture
def kept(tmp_path):
    do_runs(make_scenario(LITTLE), 8, workers=1, folder=tmp_path)
    return tmp_path


def alter(folder, number, place, change):
    """Change one number of a stored record, checksum and all."""

    def changed(record):
        numbers = list(struct.unpack(f"<{len(record) // 8}d", record))
        numbers[place] = change(numbers[place])
        return struct.pack(f"<{len(numbers)}d", *numbers)

    forge_record(folder / FILE, number, changed)


def test_a_run_that_is_left_alone_agrees_to_the_bit(kept):
    before = (kept / FILE).read_bytes()
    found = repeat(kept, workers=1)
    assert found.agrees
    assert (found.runs, found.differing, found.largest, found.changed) == (8, (), 0.0, ())
    assert (kept / FILE).read_bytes() == before


def test_a_number_that_was_changed_is_found(kept):
    alter(kept, 5, 0, lambda hours: hours * (1 + 1e-6))
    found = repeat(kept, workers=1)
    assert not found.agrees
    assert found.differing == (5,)
    assert found.largest == pytest.approx(1e-6, rel=1e-5)
    assert not found.agrees_across_processors


def test_a_last_bit_is_forgiven_only_to_another_processor(kept, monkeypatch):
    alter(kept, 2, 0, lambda hours: hours * (1 + 3e-16))
    assert not repeat(kept, workers=1).agrees_across_processors
    monkeypatch.setattr(repeating, "processor", lambda: "another kind")
    found = repeat(kept, workers=1)
    assert found.differing == (2,)
    assert found.agrees_across_processors
    assert found.changed == ("processor",)


def test_what_has_changed_since_is_named(kept, monkeypatch):
    def elsewhere(manifest):
        identity = manifest["identity"]
        versions = {**identity["versions"], "numpy": "1." + identity["versions"]["numpy"]}
        return {**manifest, "identity": {**identity, "program": "0" + identity["program"], "versions": versions}}

    forge_manifest(kept / FILE, elsewhere)
    found = repeat(kept, workers=1)
    assert found.agrees
    program, numpy = found.changed
    assert program == "program"
    assert "numpy" in numpy


def test_scenario_and_data_files_are_read_from_the_store(tmp_path):
    (tmp_path / "places.csv").write_text("s\n40\n50\n")
    measured = LITTLE.replace("[weather]", '[laying]\nplace = { data = "places.csv", unit = "s" }\n[weather]')
    do_runs(parse_scenario(measured, folder=tmp_path), 3, seed=9, sampling="lhs", workers=1, folder=tmp_path)
    (tmp_path / "places.csv").unlink()
    assert repeat(tmp_path, workers=1).agrees


def test_a_run_that_a_program_changed_is_said_to_have_another_scenario(tmp_path):
    changed = make_scenario(LITTLE).model_copy(update={"horizon": 900.0})
    do_runs(changed, 2, workers=1, folder=tmp_path)
    assert "scenario" in repeat(tmp_path, workers=1).changed


def test_runs_are_found_by_folder_and_number(kept):
    do_runs(make_scenario(LITTLE), 2, seed=7, workers=1, folder=kept)
    assert find_study(str(kept)) == (kept, None)
    assert find_study(f"{kept}/1") == (kept, 1)
    assert repeat(kept, workers=1).manifest.identity.seed == 7
    assert repeat(kept, 1, workers=1).manifest.identity.seed == 31
    with pytest.raises(StoreError, match="no study 3"):
        repeat(kept, 3)
    with pytest.raises(StoreError, match="there is no study"):
        find_study(str(kept / "elsewhere"))
    begun = Store(kept / "empty")  # by another process, which keeps nothing yet: closed, it would be gone
    with pytest.raises(StoreError, match="no study yet"):
        repeat(kept / "empty")
    begun.close()
