"""How does a question about a scenario and others like it begin? What is to come is told, and its own builds go first."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from simulation.questions.forecast.study import MOST_BUILDS, NothingFinished
from simulation.study.effort import in_words

if TYPE_CHECKING:
    import pandas as pd

    from simulation.replicate import Alternatives


def check_replications(replications: int) -> None:
    """Refuse a number of builds that is out of range.

    Raises
    ------
    ValueError
        If it is below 1 or above `MOST_BUILDS`.
    """
    if not 1 <= replications <= MOST_BUILDS:
        raise ValueError(f"replications(={replications}) must be 1 to {MOST_BUILDS:,}")


def announce(alternatives: Alternatives, replications: int, tell: Callable[[str], None] | None) -> None:
    """Tell in a sentence each what is kept of the first scenario, and how much there is to do of all of them."""
    alternatives.expected = replications * len(alternatives.builds)
    if tell is not None:
        missing, seconds = alternatives.estimate(replications)
        for line in (alternatives.builds[0].news, f"to do: {in_words(missing, seconds)}" if missing else ""):
            if line:
                tell(line)


def own_builds(alternatives: Alternatives, replications: int) -> pd.DataFrame:
    """Have the builds of the first scenario done, and return them; after a stop, those that there are.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    alternatives.reach(replications, [0])
    builds = alternatives.table(0, replications)
    if builds.empty:
        raise NothingFinished(f"{alternatives.stopped}, before the first build was done")
    return builds
