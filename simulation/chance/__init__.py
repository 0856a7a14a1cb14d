"""Uncertain quantities, drawn: levels once a build, scatter at every step, both from streams keyed by what they belong to."""

from simulation.chance.hypercube import HYPERCUBE, SAMPLINGS
from simulation.chance.levels import LevelPlan, draw_levels, mean, quantile
from simulation.chance.scatter import factors, factors_of
from simulation.chance.streams import Streams

__all__ = ["HYPERCUBE", "SAMPLINGS", "LevelPlan", "Streams", "draw_levels", "factors", "factors_of", "mean", "quantile"]
