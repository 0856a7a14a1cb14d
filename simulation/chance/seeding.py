"""What do streams begin with? The words that numpy's `SeedSequence` makes of an entropy, for all streams of some runs at once.

`SeedSequence` takes longer over one stream than most streams take to be drawn from. All streams of a study share their first
words, and its runs ask for the same streams; so the rest is worked out in one go for some runs, to the same bits. The algorithm
and its numbers are those of numpy (`numpy.random.SeedSequence`, which follows M. E. O'Neill's `seed_seq_fe128`).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

import numpy as np
from numpy import uint32, uint64
from numpy.random.bit_generator import ISeedSequence
from numpy.typing import NDArray

_LANES = 4
_WORDS = 8
_MASK = 0xFFFFFFFF
_HASH_A, _TIMES_A = 0x43B0D7E5, 0x931E8875
_HASH_B, _TIMES_B = 0x8B51F9DD, 0x58F38DED
_LEFT, _RIGHT = 0xCA01F9DD, 0x4973F715


def _hashes(first: int, times: int, count: int) -> list[int]:
    hashes = [first]
    while len(hashes) < count:
        hashes.append(hashes[-1] * times & _MASK)
    return hashes


_OUT = np.array(_hashes(_HASH_B, _TIMES_B, _WORDS + 1), dtype=uint32)
_SHIFT, _L, _R = uint32(16), uint32(_LEFT), uint32(_RIGHT)


class Beginning(ISeedSequence):
    """The words that one generator begins with."""

    __slots__ = ("_words",)

    def __init__(self, words: NDArray[uint64]) -> None:
        self._words = words

    def generate_state(self, n_words: int, dtype: Any = uint32) -> NDArray[uint64]:
        """Return the words; a `PCG64` asks for four of 64 bits."""
        return self._words


def begin(shared: Iterable[int], *own: NDArray[uint32]) -> NDArray[uint64]:
    """Return what generators begin with whose entropy is some shared words and then words of their own.

    Parameters
    ----------
    shared : iterable of int
        At least four words of 32 bits.
    own : array
        The first, second, … word of each generator's own; their shapes are broadcast.

    Returns
    -------
    array, of the broadcast shape and then 4
        Of each generator what ``SeedSequence([*shared, *own]).generate_state(4, uint64)`` gives.
    """
    words = list(shared)
    hashes = _hashes(_HASH_A, _TIMES_A, _LANES * (len(words) + len(own)) + 1)
    turn = pairwise(hashes)

    def hashed(value: int) -> int:
        before, after = next(turn)
        value = (value ^ before) * after & _MASK
        return value ^ value >> 16

    def mix(first: int, other: int) -> int:
        value = (_LEFT * first - _RIGHT * other) & _MASK
        return value ^ value >> 16

    pool = [hashed(word) for word in words[:_LANES]]
    for source in range(_LANES):
        for lane in range(_LANES):
            if lane != source:
                pool[lane] = mix(pool[lane], hashed(pool[source]))
    for word in words[_LANES:]:
        pool = [mix(mixed, hashed(word)) for mixed in pool]
    lanes = np.array(pool, dtype=uint32)
    used = _LANES * len(words)
    for word_of_each in own:
        here = np.array(hashes[used : used + _LANES + 1], dtype=uint32)
        value = (word_of_each[..., None] ^ here[:-1]) * here[1:]
        value ^= value >> _SHIFT
        lanes = _L * lanes - _R * value
        lanes ^= lanes >> _SHIFT
        used += _LANES
    value = (np.concatenate((lanes, lanes), axis=-1) ^ _OUT[:-1]) * _OUT[1:]
    value ^= value >> _SHIFT
    return value[..., ::2].astype(uint64) | value[..., 1::2].astype(uint64) << uint64(32)
