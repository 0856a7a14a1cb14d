"""How many runs does a search for the smallest team take, before the first one is begun?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.staffing.verdicts import FIRST
from simulation.study.runner import in_words

if TYPE_CHECKING:
    from simulation.replicate import Alternatives


@dataclass(frozen=True)
class Effort:
    """What the question takes, runs that are kept left out.

    Attributes
    ----------
    teams : int
    least, most : int
        Runs, if all are decided by the first ones, and if all need the most allowed.
    seconds : float
        Of one run, about.
    """

    teams: int
    least: int
    most: int
    seconds: float


def estimate_effort(alternatives: Alternatives, most: int) -> Effort:
    """Return what it takes to judge all teams, each by at most so many runs."""
    teams = len(alternatives.runs)
    bound, seconds = alternatives.estimate(most)
    kept = sum(runs.stored(FIRST) for runs in alternatives.runs)
    return Effort(teams, FIRST * teams - kept, bound, seconds / bound if bound else 0.0)


def describe_effort(effort: Effort) -> str:
    """Return the sentence on what is to come; empty where all runs that may be needed are kept."""
    if not effort.most:
        return ""
    least, most = (in_words(runs, runs * effort.seconds) for runs in (effort.least, effort.most))
    lower = f"from {least}, to " if effort.least else "at most "
    return f"{wording.counted(effort.teams, 'team')} to try: {lower}{most} if every one of them is close to the line"
