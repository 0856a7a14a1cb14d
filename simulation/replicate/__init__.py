"""Many builds: the same numbers to the bit whoever runs them, in whatever order they are done, and kept as they are done."""

from simulation.replicate.alternatives import Alternatives
from simulation.replicate.builds import Builds, run_builds
from simulation.replicate.executors import ClusterError
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import Store, StoreError
from simulation.replicate.workshop import Workshop

__all__ = ["Alternatives", "Builds", "ClusterError", "Manifest", "Store", "StoreError", "Workshop", "run_builds"]
