"""Latin hypercubes: a hundred runs whose levels cover every percent of each distribution once.

Runs 100 c to 100 c + 99 are hypercube c. For each level its hundred strata of equal chance are dealt out to these runs in
random order, independently of every other level and of every other hypercube. A run's levels are therefore distributed as if
they were drawn alone, but the mean over a hypercube errs less: what a level adds to the answer on its own is averaged over all of
its range. Runs of one hypercube are not independent of each other; hypercubes are (McKay, Beckman & Conover 1979, Technometrics
21(2); from memory).
"""

from __future__ import annotations

from functools import lru_cache

from simulation.chance.streams import Streams

#: Runs of one hypercube. Planning value: fine enough for a P95, and small enough that a few hundred runs are several.
HYPERCUBE = 100

#: How levels can be sampled: each run by itself, or in hypercubes.
SAMPLINGS = ("random", "lhs")

#: Chances nearer to 0 or 1 have no quantile that floating point can tell apart.
_LEAST = 2.0**-53


class Hypercube:
    """One hypercube, dealt out level by level when it is asked for.

    Parameters
    ----------
    seed : int
        The scenario's seed.
    number : int
        Of the hypercube, from 0.
    """

    __slots__ = ("_dealt", "_luck")

    def __init__(self, seed: int, number: int) -> None:
        self._luck = Streams(seed, number)
        self._dealt: dict[tuple[str, str], tuple[float, ...]] = {}

    def scores(self, purpose: str, owner: str) -> tuple[float, ...]:
        """Return the standard normal scores of one level, one for each run of the hypercube."""
        dealt = self._dealt.get((purpose, owner))
        if dealt is None:
            dealt = self._dealt[purpose, owner] = self._deal(purpose, owner)
        return dealt

    def _deal(self, purpose: str, owner: str) -> tuple[float, ...]:
        # `statistics` brings fractions and decimals with it, which sampling at random has no use for.
        from statistics import NormalDist

        generator, normal = self._luck.stream(purpose, owner), NormalDist()
        within = generator.random(HYPERCUBE).tolist()
        strata = generator.permutation(HYPERCUBE).tolist()
        chances = ((stratum + part) / HYPERCUBE for stratum, part in zip(strata, within, strict=True))
        return tuple(normal.inv_cdf(min(max(chance, _LEAST), 1.0 - _LEAST)) for chance in chances)


# A worker goes through runs nearly in order; four hypercubes are a forecast of the usual length, run again under another plan.
@lru_cache(maxsize=4)
def _hypercube(seed: int, number: int) -> Hypercube:
    return Hypercube(seed, number)


def stratified(luck: Streams, purpose: str, owner: str) -> float:
    """Return the standard normal score that a run has from its hypercube.

    Parameters
    ----------
    luck : Streams
        The run's streams: its seed and number say which place in which hypercube it has.
    purpose, owner : str
        What the level's stream is keyed by; see `Streams.stream`.
    """
    number, index = divmod(luck.run_number, HYPERCUBE)
    return _hypercube(luck.seed, number).scores(purpose, owner)[index]
