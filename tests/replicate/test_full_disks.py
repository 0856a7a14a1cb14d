"""What does a forecast do on a disk that is full, or that cannot be written, and once there is room again?"""

import pytest
from noted_batches import __file__ as noted_batches
from real_runs import (
    FEW,
    MANY,
    REPORT,
    Disk,
    Run,
    forecast,
    here,
    kept,
    names_in,
    numbers_of,
    scenario_in,
    undisturbed,
    whole_reports,
)

from simulation.replicate.store import FILE


@pytest.fixture
def disk(tmp_path):
    """Return a function that gives a disk of some size."""
    mounted = []

    def mount(size):
        mounted.append(Disk(tmp_path / "disk", size))
        return mounted[-1]

    yield mount
    for one in mounted:
        one.close()


def on(disk, tmp_path, *words, **how):
    ended = Run(tmp_path, *words, inside=disk.inside, **how).end()
    assert "Traceback" not in "\n".join(ended.said)
    return ended


def finished(ended, folder, runs):
    """Check that a run came to what it would have come to with room from its beginning."""
    assert ended.code == 0, ended
    assert numbers_of(ended.out) == undisturbed(runs).numbers
    assert names_in(folder) == {FILE, *REPORT}
    assert kept(folder) == undisturbed(runs).records


def finishes_elsewhere(disk, tmp_path, runs):
    """Check that what a full disk was left with is as good a beginning as any, once it lies where there is room."""
    folder = disk.copy(tmp_path / "elsewhere")
    finished(here(*forecast(scenario_in(tmp_path), folder, runs)), folder, runs)


def test_runs_that_do_not_fit_are_said_and_the_others_kept_until_there_is_room(tmp_path, disk):
    small = disk("800k")
    words = forecast(scenario_in(tmp_path), small.folder, MANY)
    ended = on(small, tmp_path, *words)
    copy = small.copy(tmp_path / "then")
    records, reference = kept(copy), undisturbed(MANY).records
    assert 0 < len(records) < MANY
    assert all(reference[number] == record for number, record in records.items())
    whole_reports(copy, len(records))
    assert ended.code == 3, ended
    (said,) = (line for line in ended.said if "the same command goes on" in line)
    assert "the disk is full" in said
    assert f"{len(records)} runs are kept in {small.folder}" in said
    assert numbers_of(ended.out)["runs"] == len(records)
    small.remount("size=16m")
    ended = on(small, tmp_path, *words)
    assert names_in(small.seen) == {FILE, *REPORT}
    finished(ended, small.copy(tmp_path / "finished"), MANY)


@pytest.mark.parametrize("size", ["4k", pytest.param("64k", marks=pytest.mark.slow)])
def test_no_room_for_a_single_run_is_said_in_a_line(tmp_path, disk, size):
    full = disk(size)
    ended = on(full, tmp_path, *forecast(scenario_in(tmp_path), full.folder, FEW))
    assert ended.code in ((2,) if size == "4k" else (2, 130)), ended
    assert ended.out == ""
    (said,) = ended.said
    assert "the disk is full" in said
    assert names_in(full.seen) <= {FILE}
    finishes_elsewhere(full, tmp_path, FEW)


def test_a_report_that_does_not_fit_is_said_and_nothing_of_it_left(tmp_path, disk):
    small = disk("480k")
    ended = on(small, tmp_path, *forecast(scenario_in(tmp_path), small.folder, FEW))
    assert ended.code in (2, 3), ended
    (said,) = ended.said
    assert "the report cannot be written (No space left on device); make room" in said
    assert said.endswith(f"; {FEW} runs are kept in {small.folder}: run the same again then")
    assert numbers_of(ended.out) == undisturbed(FEW).numbers
    assert names_in(small.seen) == {FILE}
    finishes_elsewhere(small, tmp_path, FEW)


def test_a_folder_that_cannot_be_written_is_refused_before_the_first_run(tmp_path, disk):
    shut = disk("16m")
    shut.remount("ro")
    noted = (tmp_path / "notes", 1, tmp_path, *forecast(scenario_in(tmp_path), shut.folder, FEW))
    ended = on(shut, tmp_path, *noted, script=noted_batches)
    assert (ended.code, ended.out) == (2, "")
    (said,) = ended.said
    assert f"{shut.folder / FILE}: cannot be used" in said
    assert said.endswith("; name a folder that can be written")
    assert not (tmp_path / "notes").exists()


def test_what_a_folder_that_cannot_be_written_keeps_can_be_read_and_done_again(tmp_path, disk):
    shut = disk("16m")
    words = forecast(scenario_in(tmp_path), shut.folder, FEW)
    (shut.seen / FILE).write_bytes(undisturbed(FEW).store)
    shut.remount("ro")
    ended = on(shut, tmp_path, *words)  # no run is missing, so nothing need be written to answer
    assert (ended.code, numbers_of(ended.out)) == (2, undisturbed(FEW).numbers)
    assert "the report cannot be written" in ended.said[-1]
    more = on(shut, tmp_path, *forecast(scenario_in(tmp_path), shut.folder, FEW + 1))
    assert (more.code, more.out, len(more.said)) == (2, "", 2)
    assert "name a folder that can be written" in more.said[-1]
    listed = on(shut, tmp_path, "studies", shut.folder)
    assert (listed.code, listed.said) == (0, [])
    assert "keeps 1 study with" in listed.out
    again = on(shut, tmp_path, "repeat", shut.folder, "--workers", 1)
    assert (again.code, again.said) == (0, [])
    assert f"{FEW} runs done again, all the same to the bit." in again.out
    assert (shut.seen / FILE).read_bytes() == undisturbed(FEW).store
