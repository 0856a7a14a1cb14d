"""When has the ground dried after rain, and how wet are the roads?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Ground:
    """Bare ground, depths of water in mm.

    Attributes
    ----------
    readily, totally : float
        What evaporates as fast as the sky takes it, and what evaporates at all.
    """

    readily: float
    totally: float

    def dry(self, depth: float, taken: Sequence[float], rain: Sequence[float]) -> list[float]:
        """Return the depth that has dried out at the end of each step, two-stage drying (FAO-56).

        Parameters
        ----------
        depth : float
            Dried out before the first.
        taken : sequence of float
            What the sky takes in each step: reference evaporation.
        rain : sequence of float
            In each step; what the ground does not take up runs off.
        """
        readily, totally = self.readily, self.totally
        slope = totally - readily
        depths = []
        for loss, gain in zip(taken, rain, strict=True):
            if gain:
                depth = depth - gain if gain < depth else 0.0
            if loss:
                depth += loss if depth <= readily else loss * (totally - depth) / slope
                if depth > totally:
                    depth = totally
            depths.append(depth)
        return depths


def antecedent(index: float, keeps: float, rain: Sequence[float]) -> list[float]:
    """Return the antecedent precipitation index after each step, which leaves the share `keeps` of it and adds its rain."""
    indices = []
    for gain in rain:
        index = keeps * index + gain
        indices.append(index)
    return indices
