"""In what state are mats that have lain before: good, bent at their edges, scrap?"""

from typing import Annotated

from simulation.scenario.types.section import Section, Share, planned
from simulation.scenario.types.uncertainty.uncertain import UncertainShare
from simulation.scenario.types.usual_range import Usual


class UsedMats(Section):
    """A stock that holds mats which have lain before. What is neither bent nor scrap is good.

    A bent mat that nobody straightened, and scrap, are set aside when they are laid, as damaged ones are: beside those of
    laying.damaged_mats, which any mat may be.
    """

    share: Annotated[Share, Usual("share", 0.02, 1.0)] = 1.0
    """Share of the mats that come which have lain before. Default: all (planning value)."""
    bent: Annotated[UncertainShare, Usual("share", 0.001, 0.4)] = planned(low=0.005, mode=0.03, high=0.10)
    """Share of those with bent edges. Planning value, that of take_up.to_repair."""
    scrap: Annotated[UncertainShare, Usual("share", 0.0005, 0.3)] = planned(low=0.0, mode=0.01, high=0.03)
    """Share of those that are scrap. Around the 72 bad mats found in 146,000 sq ft (1.2 %) of service news 2014."""
    straightened: Share = 0.0
    """Share of the bent ones whose edges are straightened before they come. Default: none (planning value)."""

    @property
    def set_aside(self) -> tuple[float, float]:
        """What share of all mats cannot be laid for each that is bent, and for each that is scrap, of those that have lain."""
        return self.share * (1.0 - self.straightened), self.share

    @property
    def expected_unfit(self) -> float:
        """The share of all mats that come which cannot be laid, for the expected shares bent and scrap."""
        bent, scrap = self.set_aside
        return bent * self.bent.mean + scrap * self.scrap.mean
