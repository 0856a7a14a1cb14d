"""Where does a run's luck come from? From streams keyed by what they belong to, never by the order of events.

A stream belongs to a run, a purpose ("place", "repair", …) and an owner (an area, a trade, a forklift's number, a
block of weather days); inside it draws are indexed (row 812, trip 377, failure 3). So the same run has the same luck under
every plan: a larger crew or another forklift leaves rain, hauls and each row's luck as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import chain
from typing import Any
from zlib import crc32

import numpy as np
from numpy import uint64
from numpy.random import PCG64, Generator, SeedSequence
from numpy.typing import NDArray

from simulation.chance.seeding import Beginning, begin

#: Draws that a list of unknown length grows by: a block costs little more than a single draw.
BLOCK = 64
#: The first of these blocks: most trucks and forklifts need no more.
FIRST_BLOCK = 16
#: Streams that runs have asked for, purpose and owner: what the next run will ask for as well, as a rule.
_ASKED: dict[tuple[str, str], None] = {}
#: Those of them that runs of the block at hand have asked for, and that block with its seed: others belong to other scenarios.
_ASKED_NOW: dict[tuple[str, str], None] = {}
_now: tuple[int, int] | None = None
#: More than one scenario's runs ask for; from there on it is begun anew.
_MANY = 1000
#: Runs whose streams are begun at once: whoever does one run does its neighbours, as a rule.
_RUNS = 8


class Streams:
    """The streams of one run.

    Parameters
    ----------
    seed : int
        The scenario's seed.
    run_number : int
        Number of the run, from 0.

    Examples
    --------
    >>> luck = Streams(1, 0)
    >>> luck.stream("place", "runway").random(2).tolist() == luck.stream("place", "runway").random(2).tolist()
    True
    """

    __slots__ = ("_begins", "run_number", "seed")

    def __init__(self, seed: int, run_number: int) -> None:
        self.seed = seed
        self.run_number = run_number
        self._begins: dict[tuple[str, str], NDArray[uint64]] = {}

    def stream(self, purpose: str, owner: str = "") -> Generator:
        """Return a new generator at the beginning of one stream.

        Notes
        -----
        The same as ``default_rng(SeedSequence(seed, spawn_key=(run, crc32(purpose), crc32(owner))))`` to the bit.
        """
        key = purpose, owner
        words = self._begins.get(key)
        if words is None:
            words = self._begin(key)
        _ASKED_NOW[key] = None
        beginning: Any = Beginning(words)  # numpy's stubs know of `SeedSequence` alone
        return Generator(PCG64(beginning))

    def _begin(self, key: tuple[str, str]) -> NDArray[uint64]:
        """Return what a stream begins with; with the first one, what all begin with that runs have asked for is looked up."""
        block, column = divmod(self.run_number, _RUNS)
        if (self.seed, block) != _now:
            _go_on_to(self.seed, block)
        if not self._begins and key in _ASKED:
            keys = tuple(_ASKED)
            self._begins = dict(zip(keys, _begun(self.seed, block, keys)[column], strict=True))
            return self._begins[key]
        if len(_ASKED) >= _MANY:
            _ASKED.clear()
        _ASKED[key] = None
        words = SeedSequence([*_words(self.seed), self.run_number, *map(_number, key)]).generate_state(4, uint64)
        return words.view(uint64)

    def endless(self, purpose: str, owner: str, draw: Callable[[Generator, int], Any]) -> Iterator[float]:
        """Return the stream's draws one by one, drawn in blocks; the n-th is the same however many are taken."""

        def blocks() -> Iterator[list[float]]:
            generator = self.stream(purpose, owner)  # many a stream is never drawn from
            yield draw(generator, FIRST_BLOCK).tolist()
            while True:
                yield draw(generator, BLOCK).tolist()

        return chain.from_iterable(blocks())


def _go_on_to(seed: int, block: int) -> None:
    """Begin another block of runs, and drop what was asked for once where the last block asked for less than half of it."""
    global _now
    if len(_ASKED) > 2 * len(_ASKED_NOW):
        _ASKED.clear()
        _ASKED.update(_ASKED_NOW)
    _ASKED_NOW.clear()
    _now = seed, block


@cache
def _number(text: str) -> int:
    return crc32(text.encode())


def _words(seed: int) -> list[int]:
    return [seed >> shift & 0xFFFFFFFF for shift in range(0, max(128, seed.bit_length()), 32)]


@lru_cache(maxsize=4)
def _begun(seed: int, block: int, keys: tuple[tuple[str, str], ...]) -> NDArray[uint64]:
    """Return what streams begin with in each run of a block: shape (runs, streams, 4)."""
    runs = np.arange(block * _RUNS, (block + 1) * _RUNS, dtype=np.uint32)
    purposes, owners = np.array([[_number(text) for text in key] for key in keys], dtype=np.uint32).T
    return begin(_words(seed), runs[:, None], purposes, owners)
