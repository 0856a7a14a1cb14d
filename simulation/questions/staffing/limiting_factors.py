"""What keeps a team from being ready earlier? What drives its runs, and how its crews and forklifts are used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.study.causes_of_time import CauseOfTime, find_causes, name_crews, with_chains
from simulation.study.utilisation import Use, summarise_use

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Limits:
    """What limits one team.

    Attributes
    ----------
    index : int
        Which of the teams in question.
    runs : int
        Runs that it is read from.
    causes : tuple of CauseOfTime
        Causes of the chain of causes, largest first.
    use : tuple of Use
        Of every crew and of the forklifts.
    reached : bool
        Whether these lead to readiness; where no run was ready, to the last day simulated.
    """

    index: int
    runs: int
    causes: tuple[CauseOfTime, ...]
    use: tuple[Use, ...]
    reached: bool = True

    @property
    def working(self) -> CauseOfTime | None:
        """The leading cause that is work or a wait for somebody's work, not a clock that stands still."""
        from simulation.construction.trace.chain import LOSSES, is_off_shift

        return next((cause for cause in self.causes if cause.cause not in LOSSES and not is_off_shift(cause.cause)), None)


def limits_of(index: int, scenario: Scenario, runs: RunTable) -> Limits:
    """Return what limits a team by its runs."""
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    causes = name_crews(find_causes(runs, ready), scenario)
    return Limits(index, len(runs), causes, summarise_use(runs, ready), with_chains(runs, ready)[1])
