"""One construction as processes that share a site; the trace of its steps and the chain that drove it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.construction.plan.plan import Plan
from simulation.construction.running import Finished, simulate
from simulation.construction.trace.record import Record, columns, make_record

if TYPE_CHECKING:
    from simulation.construction.check.trial_run import trial_warnings
    from simulation.construction.check.warnings import find_warnings
    from simulation.construction.planning import begins_at, compile_plan, tell_lessons, tell_log
    from simulation.construction.trace.once import Run, run_once

__all__ = [
    "Finished",
    "Plan",
    "Record",
    "Run",
    "begins_at",
    "columns",
    "compile_plan",
    "find_warnings",
    "make_record",
    "run_once",
    "simulate",
    "tell_lessons",
    "tell_log",
    "trial_warnings",
]

# A worker runs plans; it needs none of what reads a scenario, so that is imported only where it is asked for.
_LATER = {
    "Run": "trace.once",
    "run_once": "trace.once",
    "begins_at": "planning",
    "compile_plan": "planning",
    "tell_lessons": "planning",
    "tell_log": "planning",
    "trial_warnings": "check.trial_run",
    "find_warnings": "check.warnings",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"simulation.construction.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
