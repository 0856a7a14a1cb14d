"""Uncertain quantities, drawn: levels once a run, scatter at every step, both from streams keyed by what they belong to."""

from simulation.chance.hypercube import HYPERCUBE, SAMPLINGS
from simulation.chance.levels import LevelPlan, draw_levels
from simulation.chance.posterior import Learned
from simulation.chance.scatter import draw_factors, factors, left_of, outlasting
from simulation.chance.streams import Streams

__all__ = [
    "HYPERCUBE",
    "SAMPLINGS",
    "Learned",
    "LevelPlan",
    "Streams",
    "draw_factors",
    "draw_levels",
    "factors",
    "left_of",
    "outlasting",
]
