"""Many builds: the same numbers to the bit whoever runs them, in whatever order they are done, and kept as they are done."""

from simulation.replicate.builds import Builds, run_builds
from simulation.replicate.executors import ClusterError
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import Store, StoreError

__all__ = ["Builds", "ClusterError", "Manifest", "Store", "StoreError", "run_builds"]
