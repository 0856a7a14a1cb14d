"""What keeps a team from being ready earlier? What drives its builds, and how its crews and forklifts are used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.study.causes_of_time import Driver, drivers_of, with_chains
from simulation.study.utilisation import Use, use_of

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Limits:
    """What limits one team.

    Attributes
    ----------
    place : int
        Which of the teams in question.
    builds : int
        Builds that it is read from.
    drivers : tuple of Driver
        Causes of the driving chain, largest first.
    use : tuple of Use
        Of every crew and of the forklifts.
    reached : bool
        Whether these lead to readiness; where no build was ready, to the horizon.
    """

    place: int
    builds: int
    drivers: tuple[Driver, ...]
    use: tuple[Use, ...]
    reached: bool = True

    @property
    def working(self) -> Driver | None:
        """The leading cause that is work or a wait for somebody's work, not a clock that stands still."""
        from simulation.construction.trace.chain import LOSSES, is_off_shift

        return next((one for one in self.drivers if one.cause not in LOSSES and not is_off_shift(one.cause)), None)


def limits_of(place: int, scenario: Scenario, builds: pd.DataFrame) -> Limits:
    """Return what limits a team by its builds."""
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    return Limits(place, len(builds), drivers_of(builds, ready), use_of(builds, ready), with_chains(builds, ready)[1])
