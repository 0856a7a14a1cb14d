"""One construction as processes that share a site; the trace of its steps and the chain that drove it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.construction.plan.plan import Plan
from simulation.construction.running import Finished, run
from simulation.construction.trace.record import Record, columns, record_of

if TYPE_CHECKING:
    from simulation.construction.check.trial_build import second_look
    from simulation.construction.check.warnings import warnings_of
    from simulation.construction.plan.compiling import compile_plan
    from simulation.construction.trace.once import Build, build_once

__all__ = [
    "Build",
    "Finished",
    "Plan",
    "Record",
    "build_once",
    "columns",
    "compile_plan",
    "record_of",
    "run",
    "second_look",
    "warnings_of",
]

# A worker runs plans; it needs none of what reads a scenario, so that is imported only where it is asked for.
_LATER = {
    "Build": "trace.once",
    "build_once": "trace.once",
    "compile_plan": "plan.compiling",
    "second_look": "check.trial_build",
    "warnings_of": "check.warnings",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"simulation.construction.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
