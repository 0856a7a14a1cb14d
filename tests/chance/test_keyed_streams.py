"""Where luck comes from: streams keyed by seed, run, purpose and owner, and by nothing else."""

from itertools import islice
from zlib import crc32

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from simulation.chance import Streams

keys = st.tuples(
    st.integers(0, 2**63), st.integers(0, 100_000), st.sampled_from(["place", "repair", "weather"]), st.text(max_size=8)
)


def first(key, count=4):
    seed, run_number, purpose, owner = key
    return Streams(seed, run_number).stream(purpose, owner).random(count).tolist()


@given(keys)
def test_the_same_key_has_the_same_luck_every_time_it_is_asked(key):
    assert first(key) == first(key)


@given(keys, keys)
def test_two_keys_that_differ_anywhere_have_different_luck(one, other):
    assert (first(one) == first(other)) == (one == other)


@pytest.mark.parametrize(
    "other", [(8, 0, "place", "runway"), (7, 1, "place", "runway"), (7, 0, "haul", "runway"), (7, 0, "place", "apron")]
)
def test_each_part_of_the_key_counts(other):
    assert first(other) != first((7, 0, "place", "runway"))


@given(
    st.integers(0, 2**200) | st.sampled_from([0, 2**32 - 1, 2**32, 2**64, 2**128 - 1, 2**128]), st.integers(0, 2**31), st.text()
)
def test_the_key_is_the_agreed_one_so_that_other_machines_draw_the_same(seed, run_number, owner):
    agreed = np.random.SeedSequence(seed, spawn_key=(run_number, crc32(b"repair"), crc32(owner.encode())))
    expected = np.random.default_rng(agreed).random(5)
    assert Streams(seed, run_number).stream("repair", owner).random(5).tolist() == expected.tolist()


@given(st.integers(0, 2**200), st.integers(0, 2**31), st.sets(st.text(max_size=5), min_size=1, max_size=40))
def test_streams_that_runs_have_asked_for_before_begin_as_each_does_alone(seed, run_number, owners):
    for run in (run_number, run_number + 1):  # the later run works out at once what the one before it asked for
        luck = Streams(seed, run)
        for owner in owners:
            agreed = np.random.SeedSequence(seed, spawn_key=(run, crc32(b"haul"), crc32(owner.encode())))
            assert luck.stream("haul", owner).random(3).tolist() == np.random.default_rng(agreed).random(3).tolist()


def test_streams_of_another_scenario_are_begun_no_longer_once_a_block_of_runs_has_not_asked_for_them():
    for owner in range(400):
        Streams(77, 0).stream("haul", f"truck {owner}")
    begun = []
    for run in range(8, 32):
        luck = Streams(77, run)
        for owner in ("runway", "apron"):
            luck.stream("place", owner)
        begun.append(len(luck._begins))
    assert max(begun[:8]) > 400
    assert set(begun[16:]) == {2}


def test_luck_does_not_depend_on_what_was_drawn_before():
    luck = Streams(5, 9)
    untouched = luck.stream("haul", "truck 1").random(20).tolist()
    busy = Streams(5, 9)
    for truck in range(2, 6):
        busy.stream("haul", f"truck {truck}").random(1000)
    assert busy.stream("haul", "truck 1").random(20).tolist() == untouched


@pytest.mark.parametrize("differs", ["run", "purpose", "owner", "seed"])
def test_streams_whose_keys_differ_in_one_part_are_uncorrelated(differs):
    # 60 streams of 500 draws: n r² of a pair is chi-square with 1 degree of freedom under independence, and pairs are nearly
    # independent, so the sum over 1,770 pairs lies within 4.5 of its sd √(2 × 1,770); the largest |r| under 5/√500 (p < .002).
    streams, draws = 60, 500
    keyed = {
        "seed": lambda n: Streams(n, 0).stream("place", "runway"),
        "run": lambda n: Streams(1, n).stream("place", "runway"),
        "purpose": lambda n: Streams(1, 0).stream(f"purpose {n}", "runway"),
        "owner": lambda n: Streams(1, 0).stream("repair", str(n)),
    }[differs]
    table = np.array([keyed(n).standard_normal(draws) for n in range(streams)])
    correlation = np.corrcoef(table)[np.triu_indices(streams, 1)]
    assert np.abs(correlation).max() < 5 / np.sqrt(draws)
    pairs = len(correlation)
    assert abs((draws * correlation**2).sum() - pairs) < 4.5 * np.sqrt(2 * pairs)


def test_first_draws_of_successive_run_count_are_uniform_and_uncorrelated():
    # 4,000 first draws: mean within 4.5 standard errors of 1/2, lag-1 correlation within 4.5/√4000 of 0.
    draws = np.array([Streams(20310402, n).stream("level", "laying.place").random() for n in range(4000)])
    assert abs(draws.mean() - 0.5) < 4.5 / np.sqrt(12 * len(draws))
    assert abs(np.corrcoef(draws[:-1], draws[1:])[0, 1]) < 4.5 / np.sqrt(len(draws))


NEIGHBOURS = {
    "two purposes": lambda n: (Streams(1, n).stream("place", "runway"), Streams(1, n).stream("pick_up", "runway")),
    "two owners": lambda n: (Streams(1, n).stream("repair", "0"), Streams(1, n).stream("repair", "1")),
    "two runs": lambda n: (Streams(1, 2 * n).stream("haul", "0"), Streams(1, 2 * n + 1).stream("haul", "0")),
    "two seeds": lambda n: (Streams(2 * n, 0).stream("haul", "0"), Streams(2 * n + 1, 0).stream("haul", "0")),
    "seed and run exchanged": lambda n: (Streams(n, n + 1).stream("haul"), Streams(n + 1, n).stream("haul")),
}


@pytest.mark.parametrize("pair", NEIGHBOURS)
def test_draws_of_neighbouring_streams_fall_evenly_over_all_combinations(pair):
    # 500 pairs of streams, 40 draws of each, in 10 × 10 cells of 200 expected: chi-square with 99 degrees of freedom if both
    # are uniform and neither tells anything of the other. Beyond either bound with a chance of 1 in 10,000.
    draws = np.array([[one.random(40) for one in NEIGHBOURS[pair](n)] for n in range(500)])
    one, other = (10 * draws).astype(int).transpose(1, 0, 2).reshape(2, -1)
    cells = np.bincount(10 * one + other, minlength=100)
    chi_square = ((cells - 200.0) ** 2 / 200.0).sum()
    assert stats.chi2.ppf(1e-4, 99) < chi_square < stats.chi2.ppf(1 - 1e-4, 99)


@given(keys, st.integers(1, 300), st.integers(0, 300))
def test_a_longer_block_begins_with_the_shorter_one(key, count, more):
    assert first(key, count + more)[:count] == first(key, count)


@given(st.integers(1, 1000))
def test_draws_taken_one_by_one_are_those_of_one_large_block(count):
    luck = Streams(3, 4)
    one_by_one = luck.endless("haul", "truck 1", lambda generator, size: generator.standard_normal(size))
    assert list(islice(one_by_one, count)) == luck.stream("haul", "truck 1").standard_normal(count).tolist()


def test_two_readers_of_one_endless_stream_do_not_take_from_each_other():
    luck = Streams(3, 4)
    one, other = (luck.endless("haul", "truck 1", lambda generator, size: generator.random(size)) for _ in range(2))
    assert list(islice(one, 100)) == list(islice(other, 100))
