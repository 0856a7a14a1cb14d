"""Where does a run's luck come from? From streams keyed by what they belong to, never by the order of events.

A stream belongs to a run, a purpose ("place", "repair", …) and an owner (an area, a trade, a forklift's number, a
block of weather days); inside it draws are indexed (row 812, trip 377, failure 3). So the same run has the same luck under
every plan: a larger crew or another forklift leaves rain, hauls and each row's luck as they were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from itertools import chain
from typing import Any
from zlib import crc32

import numpy as np
from numpy.random import PCG64, Generator, SeedSequence

#: Draws that a list of unknown length grows by: a block costs little more than a single draw.
BLOCK = 64


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

    __slots__ = ("_entropy", "run_number", "seed")

    def __init__(self, seed: int, run_number: int) -> None:
        self.seed = seed
        self.run_number = run_number
        words = [seed >> shift & 0xFFFFFFFF for shift in range(0, max(128, seed.bit_length()), 32)]
        self._entropy = np.array([*words, run_number, 0, 0], dtype=np.uint32)

    def stream(self, purpose: str, owner: str = "") -> Generator:
        """Return a new generator at the beginning of one stream.

        Notes
        -----
        The same as ``default_rng(SeedSequence(seed, spawn_key=(run, crc32(purpose), crc32(owner))))`` to the bit: the
        words are laid out here as `SeedSequence` would lay them out, which takes half the time.
        """
        entropy = self._entropy.copy()
        entropy[-2], entropy[-1] = _number(purpose), _number(owner)
        return Generator(PCG64(SeedSequence(entropy)))

    def endless(self, purpose: str, owner: str, draw: Callable[[Generator, int], Any]) -> Iterator[float]:
        """Return the stream's draws one by one, drawn in blocks; the n-th is the same however many are taken."""
        generator = self.stream(purpose, owner)
        return chain.from_iterable(iter(lambda: draw(generator, BLOCK).tolist(), None))


@cache
def _number(text: str) -> int:
    return crc32(text.encode())
