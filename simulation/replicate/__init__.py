"""Many runs: the same numbers to the bit whoever runs them, in whatever order they are done, and kept as they are done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.replicate.alternatives import Alternatives
    from simulation.replicate.executors import ClusterError
    from simulation.replicate.manifest import Manifest
    from simulation.replicate.runs import Runs, do_runs
    from simulation.replicate.store import Store, StoreError
    from simulation.replicate.workshop import Workshop

__all__ = ["Alternatives", "ClusterError", "Manifest", "Runs", "Store", "StoreError", "Workshop", "do_runs"]

# A worker does runs and keeps none, and a command lets workers start before it loads the rest.
_LATER = {
    "Alternatives": "alternatives",
    "ClusterError": "executors",
    "Manifest": "manifest",
    "Runs": "runs",
    "Store": "store",
    "StoreError": "store",
    "Workshop": "workshop",
    "do_runs": "runs",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"simulation.replicate.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
