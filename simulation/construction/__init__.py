"""One construction as processes that share a site; the trace of its steps and the chain that drove it."""

# What a name is, a type checker reads off the imports below.
# mypy: implicit-reexport
# ruff: noqa: F401
from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.construction.plan.plan import Plan
from simulation.construction.running import Finished, simulate
from simulation.construction.trace.record import Record, columns, make_record

if TYPE_CHECKING:
    from simulation.construction.actors.shipment import dates_missed
    from simulation.construction.check.trial_run import trial_warnings
    from simulation.construction.check.warnings import find_warnings
    from simulation.construction.planning import begins_at, compile_plan, tell_lessons, tell_log
    from simulation.construction.trace.once import Run, run_once

# A worker runs plans; it needs none of what reads a scenario, so that is imported only where it is asked for.
_LATER = {
    "actors.shipment": "dates_missed",
    "check.trial_run": "trial_warnings",
    "check.warnings": "find_warnings",
    "planning": "begins_at compile_plan tell_lessons tell_log",
    "trace.once": "Run run_once",
}
_ROOM_OF = {name: room for room, names in _LATER.items() for name in names.split()}
__all__ = ["Finished", "Plan", "Record", "columns", "make_record", "simulate", *_ROOM_OF]


def __getattr__(name: str) -> Any:
    if name in _ROOM_OF:
        from importlib import import_module

        return getattr(import_module(f"simulation.construction.{_ROOM_OF[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
