"""Is what was stored there again, whole, or refused with what to do?"""

import json
import math
import os
import random
import shutil
import socket
import sqlite3
import struct
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from real_runs import forge_run
from scenarios import LITTLE, make_scenario

from simulation.replicate import Alternatives, Runs, Store, StoreError, Workshop, batches, do_runs
from simulation.replicate.batches import Wanted
from simulation.replicate.identity import Identity
from simulation.replicate.store import FILE
from simulation.scenario import ScenarioError, parse_scenario

COLUMNS = ("milestone.ready", "laying hours")


def record(*numbers):
    return struct.pack(f"<{len(numbers)}d", *numbers)


def identity(**other):
    return replace(Identity.of(make_scenario(LITTLE), 31, "random"), **other)


@pytest.fixture
def store(tmp_path):
    with Store(tmp_path) as opened:
        yield opened


def begun(store, **other):
    return store.study_of(identity(**other), make_scenario(LITTLE), COLUMNS)


@settings(deadline=None)  # the first one looks the versions of the libraries up
@given(st.dictionaries(st.integers(0, 10**6), st.lists(st.floats(), min_size=2, max_size=2), max_size=20))
def test_runs_come_back_to_the_bit_and_in_order(found):
    with Store(None) as memory:
        study = begun(memory)
        memory.add(study, list(found), [record(*numbers) for numbers in found.values()], 1.0)
        assert list(memory.records(study)) == [(number, record(*found[number])) for number in sorted(found)]


def test_what_one_process_stored_another_reads(store, tmp_path):
    study = begun(store)
    store.add(study, [3, 1], [record(math.inf, 1.0), record(math.nan, 2.0)], 0.5)
    with Store(tmp_path, reading=True) as other:
        assert other.numbers(study) == [1, 3]
        assert [number for number, _ in other.records(study, first=2)] == [3]
        (kept,) = other.manifests()
        assert (kept.runs, kept.seconds, kept.title, kept.columns) == (2, 0.5, "Little field", COLUMNS)
        assert kept.scenario() == make_scenario(LITTLE)


def test_a_run_that_is_there_stays_as_it_was(store):
    study = begun(store)
    store.add(study, [5], [record(1.0, 2.0)], 1.0)
    store.add(study, [5, 6], [record(9.0, 9.0), record(3.0, 4.0)], 1.0)
    assert list(store.records(study)) == [(5, record(1.0, 2.0)), (6, record(3.0, 4.0))]


def test_of_a_batch_that_cannot_be_stored_nothing_is(store):
    study = begun(store)
    with pytest.raises((StoreError, sqlite3.Error)):
        store.add(study, [1, None], [record(1.0, 2.0), record(3.0, 4.0)], 1.0)
    assert store.numbers(study) == []
    store.add(study, [1], [record(1.0, 2.0)], 1.0)
    assert store.numbers(study) == [1]


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
def test_whatever_makes_other_runs_begins_a_run_beside(store, other):
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
    base.execute("CREATE TABLE study (number)")
    base.commit()
    base.close()
    content = (tmp_path / FILE).read_bytes()
    for reading in (True, False):
        with pytest.raises(StoreError, match="is not a store of runs"):
            Store(tmp_path, reading)
    assert (tmp_path / FILE).read_bytes() == content


def test_a_store_of_a_later_layout_is_refused_and_left_alone(tmp_path):
    with Store(tmp_path) as opened:
        begun(opened)
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
        study = opened.study_of(identity(), make_scenario(LITTLE), [f"number {place}" for place in range(101)])
        opened.add(study, range(400), [record(float(number), *range(100)) for number in range(400)], 1.0)
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


def test_one_bit_that_turned_is_found_and_that_run_alone_goes(filled):
    content = bytearray(filled.read_bytes())
    place = content.index(record(250.0, 0.0, 1.0, 2.0))
    content[place + 100] ^= 1
    filled.write_bytes(content)
    refused(filled)
    with Store(filled.parent) as opened:
        assert opened.drop_damaged(1) == 1
        assert opened.numbers(1) == [*range(250), *range(251, 400)]
        assert opened.drop_damaged(1) == 0
        opened.add(1, [250], [record(250.0, *range(100))], 0.0)
        assert [number for number, _ in opened.records(1)] == list(range(400))


def rows_changed(path, *statements):
    base = sqlite3.connect(path)
    for statement in statements:
        base.execute(statement)
    base.commit()
    base.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE run SET run = 900 WHERE run = 7",
        "UPDATE run SET run = 'seven' WHERE run = 7",
        "UPDATE run SET record = 'text' WHERE run = 7",
        "UPDATE run SET record = x'00' WHERE run = 7",
        "UPDATE run SET record = (SELECT record FROM run WHERE run = 8) WHERE run = 7",
        "UPDATE run SET checksum = 'none' WHERE run = 7",
    ],
)
def test_a_run_that_is_another_s_or_no_run_is_done_again(filled, statement):
    rows_changed(filled, statement)
    with Store(filled.parent) as opened:
        assert opened.drop_damaged(1) == 1
        assert opened.numbers(1) == [*range(7), *range(8, 400)]


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM run WHERE run > 200",
        "UPDATE run SET study = 2 WHERE run = 7",
        "INSERT INTO run VALUES (1, 400, 0, x'00')",
        "UPDATE standing SET runs = 399",
        "UPDATE standing SET seconds = 'long'",
        "UPDATE standing SET seconds = 9e999",
        "UPDATE standing SET process = 1099511627776",
        "UPDATE standing SET process = -1",
        "UPDATE standing SET host = x'00ff'",
        "UPDATE standing SET last = '2031-04-02T06:00:00'",
        "UPDATE standing SET last = 'yesterday'",
        "UPDATE study SET key = substr(key, 2) || 'g'",
        "UPDATE study SET number = 2",
        "UPDATE standing SET study = 2",
        "DELETE FROM standing",
        "INSERT INTO data_file VALUES ('one', 'text')",
        "UPDATE study SET manifest = ''",
        "UPDATE study SET manifest = replace(manifest, 'Little', 'Big')",
        "UPDATE study SET manifest = cast(x'ff' AS TEXT)",
        "ALTER TABLE standing RENAME COLUMN last TO latest",
        "CREATE TRIGGER more AFTER INSERT ON run BEGIN DELETE FROM run; END",
    ],
)
def test_a_store_that_says_what_was_not_written_is_refused_and_left_alone(filled, statement):
    rows_changed(filled, statement)
    refused(filled)
    with pytest.raises(StoreError, match="is damaged"):
        Store(filled.parent, reading=True)


def test_no_bit_of_a_store_of_three_studies_makes_one_of_them_answer_for_another(tmp_path):
    path = tmp_path / "runs.sqlite"
    seeds = (31, 32, 33)
    for seed in seeds:
        with Store(tmp_path) as opened:
            study = begun(opened, seed=seed)
            opened.add(study, range(3), [record(float(seed), float(number)) for number in range(3)], 1.0)
    whole = path.read_bytes()
    places = [at for at in range(len(whole)) if whole[at]]
    others = []
    for at in random.Random(4).sample(places, 300):
        spoilt = bytearray(whole)
        spoilt[at] ^= 1 << at % 8
        path.write_bytes(spoilt)
        for seed in seeds:
            try:
                with Store(tmp_path) as opened:
                    study = begun(opened, seed=seed)
                    opened.drop_damaged(study)
                    found = [struct.unpack("<2d", one)[0] for _, one in opened.records(study)]
            except StoreError:
                continue
            others += [(at, seed)] * any(value != seed for value in found)
    assert others == []
    path.write_bytes(whole)
    indices = sqlite3.connect(path).execute("SELECT name FROM sqlite_master WHERE type = 'index' AND rootpage").fetchall()
    assert [name for (name,) in indices if "study" in name] == []


@pytest.mark.parametrize(
    "manifest",
    [
        "{}",
        "[" * 100_000,
        "null",
        lambda kept: {**kept, "columns": []},
        lambda kept: {**kept, "columns": ["one", "one"]},
        lambda kept: {**kept, "title": 7},
        lambda kept: {**kept, "data": {"file.csv": 7}},
        lambda kept: {**kept, "data": {"file.csv": "0" * 64}},
        lambda kept: {**kept, "changes": [["crew"]]},
        lambda kept: {**kept, "began": "2031-04-02"},
        lambda kept: {**kept, "began": "soon"},
        lambda kept: {**kept, "identity": {**kept["identity"], "seed": -1}},
        lambda kept: {**kept, "identity": {**kept["identity"], "seed": "9" * 5000}},
        lambda kept: {**kept, "identity": {**kept["identity"], "sampling": "none"}},
        lambda kept: {**kept, "identity": {**kept["identity"], "scenario": "another"}},
    ],
)
def test_a_forged_manifest_is_refused_in_one_line_and_left_alone(filled, manifest):
    base = sqlite3.connect(filled)
    (kept,) = base.execute("SELECT manifest FROM study").fetchone()
    base.close()
    forge_run(filled, manifest=manifest if isinstance(manifest, str) else json.dumps(manifest(json.loads(kept))))
    refused(filled)


def test_runs_that_are_all_there_are_read_without_a_write_and_many_new_studies_are_begun_in_one(tmp_path, monkeypatch):
    do_runs(make_scenario(LITTLE), 3, folder=tmp_path)
    statements = []

    class Heard(sqlite3.Connection):
        def execute(self, sql, *given):
            statements.append(sql.split()[0])
            return super().execute(sql, *given)

    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda *given, **named: connect(*given, factory=Heard, **named))
    do_runs(make_scenario(LITTLE), 3, folder=tmp_path)
    assert "SELECT" in statements and "INSERT" not in statements
    statements.clear()
    plans = [make_scenario(LITTLE), *(make_scenario(LITTLE.replace("people = 14", f"people = {people}")) for people in (12, 16))]
    with Workshop(tmp_path) as workshop:
        statements.clear()
        Alternatives(plans, workshop)
    assert statements.count("INSERT") >= 4  # two studies that are new, and two notes of who is at work on them
    assert statements.count("BEGIN") == 2  # one to begin, one to end


def test_a_batch_writes_its_runs_and_not_what_the_study_is(tmp_path):
    """A station's record is a megabyte: 17 ms of every batch, when it was written again with each."""
    with Workshop(tmp_path, workers=1) as workshop:
        runs = Runs(with_places(tmp_path, "s\n40\n50\n"), workshop)
        statements = []
        workshop.store._base.set_trace_callback(statements.append)
        runs.reach(2)
    written = [statement for statement in statements if statement.startswith(("INSERT", "UPDATE"))]
    assert written
    assert not [statement for statement in written if "INTO study" in statement or "INTO data_file" in statement]


def with_places(folder, content, text=LITTLE):
    (folder / "places.csv").write_text(content)
    measured = text.replace("[weather]", '[laying]\nplace = { data = "places.csv", unit = "s" }\n[weather]')
    return parse_scenario(measured, folder=folder)


def test_plans_that_share_a_data_file_keep_it_once_and_one_that_turned_is_found(tmp_path):
    content = "s\n40\n50\n"
    for people in (12, 14):
        text = LITTLE.replace("people = 14", f"people = {people}")
        do_runs(with_places(tmp_path, content, text), 1, workers=1, folder=tmp_path)
    assert (tmp_path / FILE).read_bytes().count(content.encode()) == 1
    with Store(tmp_path, reading=True) as kept:
        assert [dict(study.data) for study in kept.manifests()] == [{"places.csv": content}] * 2
    rows_changed(tmp_path / FILE, "UPDATE data_file SET text = replace(text, '50', '51')")
    refused(tmp_path / FILE)


def test_what_was_stored_in_the_future_was_not_stored_just_now(filled):
    for hours, at_work in ((-24.0, False), (24.0, False), (0.0, True)):
        last = (datetime.now(UTC) + timedelta(hours=hours)).isoformat(timespec="milliseconds")
        forge_run(filled, last=last, host="another machine", process=4)
        with Store(filled.parent) as opened:
            assert opened.begin_work(1) is at_work


def test_no_process_has_a_number_that_no_system_counts_to(filled):
    forge_run(filled, host=socket.gethostname(), process=2**40)
    with Store(filled.parent) as opened:
        assert not opened.begin_work(1)


def test_tables_whose_text_is_no_text_are_refused(filled):
    content = bytearray(filled.read_bytes())
    content[content.index(b"CREATE TABLE study") + 8] |= 0x80
    filled.write_bytes(content)
    refused(filled)


def test_a_device_or_a_pipe_is_no_store(tmp_path):
    os.mkfifo(tmp_path / FILE)
    for reading in (True, False):
        with pytest.raises(StoreError, match=r"there is none|a pipe, a device"):
            Store(tmp_path, reading)


def test_a_journal_that_is_a_pipe_is_not_waited_for(filled):
    os.mkfifo(filled.parent / f"{FILE}-journal")
    for reading in (True, False):
        with pytest.raises(StoreError, match="a pipe, a device"):
            Store(filled.parent, reading)


def test_a_killed_writer_s_half_is_undone_only_in_a_store_that_is_whole(filled):
    """The journal of a transaction that was not ended stands beside the store, as after a kill."""
    taken, journal = (filled.parent / name for name in ("taken.sqlite", "taken.sqlite-journal"))
    base = sqlite3.connect(filled, isolation_level=None)
    base.execute("PRAGMA cache_size = 1")
    base.execute("BEGIN IMMEDIATE")
    base.execute("UPDATE run SET record = x'00'")  # does not fit into the cache, so that it is on disk half done
    shutil.copy(filled, taken)
    shutil.copy(f"{filled}-journal", journal)
    base.close()
    for whole in (True, False):
        content = bytearray(taken.read_bytes())
        if not whole:
            content[18] = 2
        filled.write_bytes(content)
        (filled.parent / f"{FILE}-journal").write_bytes(journal.read_bytes())
        if whole:
            with Store(filled.parent, reading=True) as opened:
                assert [number for number, _ in opened.records(1)] == list(range(400))
        else:
            with pytest.raises(StoreError):
                Store(filled.parent)
            assert filled.read_bytes() == content


def test_no_bit_that_turns_gives_other_runs_without_a_word(filled):
    """Each bit of every page's head and of every tenth byte else is turned once over many tries."""
    content = filled.read_bytes()
    with Store(filled.parent, reading=True) as opened:
        right, told = dict(opened.records(1)), opened.manifest(1)
    chance = random.Random(7)
    for _ in range(150):
        page = chance.randrange(len(content) // 4096) * 4096
        place = page + chance.choice([chance.randrange(4096), chance.randrange(160)])
        turned = bytearray(content)
        turned[place] ^= 1 << chance.randrange(8)
        filled.write_bytes(turned)
        try:
            with Store(filled.parent) as opened:
                before = filled.read_bytes()
                again = opened.drop_damaged(1)
                found = dict(opened.records(1))
                assert opened.manifest(1).runs == len(found) == len(right) - again
                assert found.items() <= right.items()
                assert replace(opened.manifest(1), runs=len(right)) == told
        except StoreError:
            assert filled.read_bytes() in (bytes(turned), before)


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
        study = begun(one)
        assert begun(other) == study
        for number in range(40):
            (one, other)[number % 2].add(study, [number, number + 1], [record(number, 0.0), record(number + 1, 0.0)], 0.1)
        assert one.numbers(study) == other.numbers(study) == list(range(41))


@pytest.fixture
def nobody_runs(monkeypatch):
    def nobody(*_):
        raise AssertionError("a run was done that was there already")

    monkeypatch.setattr(batches, "do_batch", nobody)


def test_kept_runs_are_not_done_again(tmp_path, request):
    whole = do_runs(make_scenario(LITTLE), 30, workers=1)
    first = do_runs(make_scenario(LITTLE), 12, workers=1, folder=tmp_path)
    more = do_runs(make_scenario(LITTLE), 30, workers=1, folder=tmp_path)
    pd.testing.assert_frame_equal(first, whole.head(12), check_exact=True)
    pd.testing.assert_frame_equal(more, whole, check_exact=True)
    request.getfixturevalue("nobody_runs")
    pd.testing.assert_frame_equal(do_runs(make_scenario(LITTLE), 30, folder=tmp_path), whole, check_exact=True)
    pd.testing.assert_frame_equal(do_runs(make_scenario(LITTLE), 7, folder=tmp_path), whole.head(7), check_exact=True)


def test_a_clock_that_runs_backwards_changes_no_number(tmp_path, monkeypatch):
    whole = do_runs(make_scenario(LITTLE), 20, workers=1)
    hours = iter(range(1000))

    def earlier():
        return (datetime.now(UTC) - timedelta(hours=next(hours))).isoformat(timespec="milliseconds")

    monkeypatch.setattr("simulation.replicate.store.moment", earlier)
    monkeypatch.setattr("simulation.replicate.manifest.moment", earlier)
    for count in (8, 20):
        found = do_runs(make_scenario(LITTLE), count, workers=1, folder=tmp_path)
        pd.testing.assert_frame_equal(found, whole.head(count), check_exact=True)


def test_gaps_that_an_interrupt_left_are_filled(tmp_path):
    whole = do_runs(make_scenario(LITTLE), 20, workers=1)
    with Workshop(tmp_path, workers=1) as workshop:
        runs = Runs(make_scenario(LITTLE), workshop)
        for _, batch in runs.batches.do([Wanted(runs.order, [0, 1, 2, 9, 14])]):
            runs.keep(batch)
    pd.testing.assert_frame_equal(do_runs(make_scenario(LITTLE), 20, workers=1, folder=tmp_path), whole, check_exact=True)


def test_a_changed_scenario_or_data_file_begins_a_run_beside(tmp_path):
    measured = LITTLE.replace("[weather]", '[laying]\nplace = { data = "places.csv", unit = "s" }\n[weather]')
    for content, text in (("s\n40\n50\n", measured), ("s\n40\n51\n", measured), ("s\n40\n51\n", LITTLE)):
        (tmp_path / "places.csv").write_text(content)
        do_runs(parse_scenario(text, folder=tmp_path), 2, workers=1, folder=tmp_path)
    with Store(tmp_path, reading=True) as kept:
        studies = kept.manifests()
    assert [study.runs for study in studies] == [2, 2, 2]
    assert [dict(study.data) for study in studies] == [{"places.csv": "s\n40\n50\n"}, {"places.csv": "s\n40\n51\n"}, {}]


def test_a_store_that_was_made_for_nothing_goes_with_the_folders_made_for_it_and_no_other_does(tmp_path):
    with Store(tmp_path / "reports" / "new"):
        pass
    assert list(tmp_path.iterdir()) == []
    kept = tmp_path / "reports" / "kept"
    kept.mkdir(parents=True)
    (kept / "own.txt").write_text("mine", encoding="utf-8")
    with Store(kept):
        pass
    assert [file.name for file in kept.iterdir()] == ["own.txt"]
    with Store(tmp_path / "filled") as store:
        begun(store)
    with Store(tmp_path / "filled"):
        pass
    assert (tmp_path / "filled" / FILE).is_file()


def test_a_scenario_that_is_refused_leaves_no_folder(tmp_path):
    asks = parse_scenario(LITTLE + "[stops.laying]\n")
    with pytest.raises(ScenarioError), Workshop(tmp_path / "out", 1) as workshop:
        Runs(asks, workshop)
    assert not (tmp_path / "out").exists()
