"""Is what was stored there again, whole, or refused with what to do?"""

import math
import sqlite3
import struct
from dataclasses import replace

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from little_field import TEXT, little_field

from simulation.replicate import Builds, Store, StoreError, Workshop, batches, run_builds
from simulation.replicate.identity import Identity
from simulation.replicate.store import FILE
from simulation.scenario import parse_scenario

COLUMNS = ("milestone.ready", "laying hours")


def record(*numbers):
    return struct.pack(f"<{len(numbers)}d", *numbers)


def identity(**other):
    return replace(Identity.of(little_field(), 31, "random"), **other)


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path) as opened:
        yield opened


def begun(store, **other):
    return store.run_of(identity(**other), little_field(), COLUMNS)


@settings(deadline=None)  # the first one looks the versions of the libraries up
@given(st.dictionaries(st.integers(0, 10**6), st.lists(st.floats(), min_size=2, max_size=2), max_size=20))
def test_builds_come_back_to_the_bit_and_in_order(found):
    with Store(None) as memory:
        run = begun(memory)
        memory.add(run, list(found), [record(*numbers) for numbers in found.values()], 1.0)
        assert list(memory.records(run)) == [(number, record(*found[number])) for number in sorted(found)]


def test_what_one_process_stored_another_reads(store, tmp_path):
    run = begun(store)
    store.add(run, [3, 1], [record(math.inf, 1.0), record(math.nan, 2.0)], 0.5)
    with Store(tmp_path, reading=True) as other:
        assert other.numbers(run) == [1, 3]
        assert [number for number, _ in other.records(run, first=2)] == [3]
        (kept,) = other.manifests()
        assert (kept.builds, kept.seconds, kept.title, kept.columns) == (2, 0.5, "Little field", COLUMNS)
        assert kept.scenario() == little_field()


def test_a_build_that_is_there_stays_as_it_was(store):
    run = begun(store)
    store.add(run, [5], [record(1.0, 2.0)], 1.0)
    store.add(run, [5, 6], [record(9.0, 9.0), record(3.0, 4.0)], 1.0)
    assert list(store.records(run)) == [(5, record(1.0, 2.0)), (6, record(3.0, 4.0))]


def test_of_a_batch_that_cannot_be_stored_nothing_is(store):
    run = begun(store)
    with pytest.raises((StoreError, sqlite3.Error)):
        store.add(run, [1, None], [record(1.0, 2.0), record(3.0, 4.0)], 1.0)
    assert store.numbers(run) == []
    store.add(run, [1], [record(1.0, 2.0)], 1.0)
    assert store.numbers(run) == [1]


@pytest.mark.parametrize(
    "other",
    [
        {"scenario": "0" * 64},
        {"seed": 32},
        {"sampling": "lhs"},
        {"program": "f" * 64},
        {"versions": {"numpy": "0.1"}},
    ],
)
def test_whatever_makes_other_builds_begins_a_run_beside(store, other):
    assert begun(store) == begun(store) == 1
    assert begun(store, **other) == 2
    assert begun(store) == 1


@pytest.mark.parametrize(
    "content", [b"a planner's own notes", b"\x89PNG\r\n\x1a\n" + bytes(200), b"SQLite format 3\0" + b"\1" * 300]
)
def test_a_file_of_somebody_else_is_refused_and_left_alone(tmp_path, content):
    (tmp_path / FILE).write_bytes(content)
    for reading in (True, False):
        with pytest.raises(StoreError, match="move it elsewhere"):
            Store(tmp_path, reading)
    assert (tmp_path / FILE).read_bytes() == content


def test_a_database_of_somebody_else_is_refused_and_left_alone(tmp_path):
    base = sqlite3.connect(tmp_path / FILE)
    base.execute("CREATE TABLE run (number)")
    base.commit()
    base.close()
    content = (tmp_path / FILE).read_bytes()
    for reading in (True, False):
        with pytest.raises(StoreError, match="is not a store of builds"):
            Store(tmp_path, reading)
    assert (tmp_path / FILE).read_bytes() == content


def test_a_store_of_a_later_layout_is_refused_and_left_alone(tmp_path):
    Store(tmp_path).close()
    base = sqlite3.connect(tmp_path / FILE)
    base.execute("PRAGMA user_version = 99")
    base.close()
    content = (tmp_path / FILE).read_bytes()
    with pytest.raises(StoreError, match="another version"):
        Store(tmp_path)
    assert (tmp_path / FILE).read_bytes() == content


@pytest.fixture
def filled(tmp_path):
    with Store(tmp_path) as opened:
        run = begun(opened)
        opened.add(run, range(400), [record(float(number), *range(100)) for number in range(400)], 1.0)
    return tmp_path / FILE


def refused(path):
    before = path.read_bytes()
    with pytest.raises(StoreError, match="is damaged"), Store(path.parent) as opened:
        list(opened.records(1))
    assert path.read_bytes() == before


def test_a_store_cut_short_is_refused_and_left_alone(filled):
    content = filled.read_bytes()
    filled.write_bytes(content[: len(content) // 2])
    refused(filled)


def test_one_bit_that_turned_is_found(filled):
    content = bytearray(filled.read_bytes())
    place = content.index(record(250.0, 0.0, 1.0, 2.0))
    content[place + 100] ^= 1
    filled.write_bytes(content)
    refused(filled)


def test_pages_of_nothing_are_found(filled):
    content = bytearray(filled.read_bytes())
    content[20480:24576] = bytes(4096)
    filled.write_bytes(content)
    refused(filled)


def test_an_empty_file_holds_nothing_to_lose(tmp_path):
    (tmp_path / FILE).touch()
    with Store(tmp_path) as opened:
        assert opened.manifests() == []


def test_reading_where_nothing_is_says_so_and_makes_nothing(tmp_path):
    with pytest.raises(StoreError, match="there is none"):
        Store(tmp_path / "nowhere", reading=True)
    assert not (tmp_path / "nowhere").exists()


def test_two_that_store_at_once_wait_for_each_other(tmp_path):
    with Store(tmp_path) as one, Store(tmp_path) as other:
        run = begun(one)
        assert begun(other) == run
        for number in range(40):
            (one, other)[number % 2].add(run, [number, number + 1], [record(number, 0.0), record(number + 1, 0.0)], 0.1)
        assert one.numbers(run) == other.numbers(run) == list(range(41))


@pytest.fixture
def nobody_builds(monkeypatch):
    def nobody(*_):
        raise AssertionError("a build was done that was there already")

    monkeypatch.setattr(batches, "do_batch", nobody)


def test_kept_builds_are_not_done_again(tmp_path, request):
    whole = run_builds(little_field(), 30, workers=1)
    first = run_builds(little_field(), 12, workers=1, folder=tmp_path)
    more = run_builds(little_field(), 30, workers=1, folder=tmp_path)
    pd.testing.assert_frame_equal(first, whole.head(12), check_exact=True)
    pd.testing.assert_frame_equal(more, whole, check_exact=True)
    request.getfixturevalue("nobody_builds")
    pd.testing.assert_frame_equal(run_builds(little_field(), 30, folder=tmp_path), whole, check_exact=True)
    pd.testing.assert_frame_equal(run_builds(little_field(), 7, folder=tmp_path), whole.head(7), check_exact=True)


def test_gaps_that_an_interrupt_left_are_filled(tmp_path):
    whole = run_builds(little_field(), 20, workers=1)
    with Workshop(tmp_path, workers=1) as workshop:
        builds = Builds(little_field(), workshop)
        for batch in builds._batches.do(builds._order, [0, 1, 2, 9, 14]):
            builds._store.add(builds.run, batch.numbers, batch.records, batch.seconds)
    pd.testing.assert_frame_equal(run_builds(little_field(), 20, workers=1, folder=tmp_path), whole, check_exact=True)


def test_a_changed_scenario_or_data_file_begins_a_run_beside(tmp_path):
    measured = TEXT.replace("[weather]", '[laying]\nplace = { data = "places.csv", unit = "s" }\n[weather]')
    for content, text in (("s\n40\n50\n", measured), ("s\n40\n51\n", measured), ("s\n40\n51\n", TEXT)):
        (tmp_path / "places.csv").write_text(content)
        run_builds(parse_scenario(text, folder=tmp_path), 2, workers=1, folder=tmp_path)
    with Store(tmp_path, reading=True) as kept:
        runs = kept.manifests()
    assert [run.builds for run in runs] == [2, 2, 2]
    assert [dict(run.data) for run in runs] == [{"places.csv": "s\n40\n50\n"}, {"places.csv": "s\n40\n51\n"}, {}]
