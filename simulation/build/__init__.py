"""One construction as processes that share a site; the trace of its steps and the chain that drove it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.build.plan import Plan
from simulation.build.record import Record, columns, record_of
from simulation.build.running import Finished, run

if TYPE_CHECKING:
    from simulation.build.compiling import compile_plan
    from simulation.build.drawn_once import second_look
    from simulation.build.once import Build, build_once
    from simulation.build.warnings import warnings_of

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
    "Build": "once",
    "build_once": "once",
    "compile_plan": "compiling",
    "second_look": "drawn_once",
    "warnings_of": "warnings",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"simulation.build.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
