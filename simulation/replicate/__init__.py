"""Many builds: the same numbers to the bit whoever runs them, in whatever order they are done."""

from simulation.replicate.builds import run_builds

__all__ = ["run_builds"]
