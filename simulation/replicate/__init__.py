"""Many runs: the same numbers to the bit whoever runs them, in whatever order they are done, and kept as they are done."""

from simulation.replicate.alternatives import Alternatives
from simulation.replicate.executors import ClusterError
from simulation.replicate.manifest import Manifest
from simulation.replicate.runs import Runs, do_runs
from simulation.replicate.store import Store, StoreError
from simulation.replicate.workshop import Workshop

__all__ = ["Alternatives", "ClusterError", "Manifest", "Runs", "Store", "StoreError", "Workshop", "do_runs"]
