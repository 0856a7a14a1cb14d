"""What does every answer hold that says what a current plan comes to, and what would change it?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.study.outcomes import Outcome


@dataclass(frozen=True)
class CurrentPlanResult:
    """What every answer about a current plan holds. Hours count from the start.

    Attributes
    ----------
    outcome : Outcome
        The current plan, and its readiness in each run.
    seed : int
    asked : int
        Runs of the current plan, and the most of each change; fewer are done where the study was stopped early, and the
        current plan has others where it is read elsewhere. Runs that other questions have kept change no answer.
    looks : tuple of int
        Runs after which changes are looked at; none where nothing is changed.
    manifest : Manifest or None
        Of the study of the current plan.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    outcome: Outcome
    seed: int
    asked: int
    looks: tuple[int, ...]
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs of the current plan."""
        return len(self.outcome.hours)
