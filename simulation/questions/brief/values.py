"""Shows a value of a scenario to a reader: as it was written; an uncertain quantity in words, with its spread."""

from __future__ import annotations

import math
from datetime import datetime
from typing import Any

from simulation.scenario.types.quantities.measures import FEET, Measures
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import Section
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain

NOTHING = "–"


def as_text(value: Any) -> str:
    """Return a value as it stands in a scenario, or as a default is declared."""
    match value:
        case None:
            return NOTHING
        case bool():
            return "yes" if value else "no"
        case datetime():
            return f"{value:%Y-%m-%d %H:%M}"
        case dict():
            return _table(value)
        case list() | tuple():
            return ", ".join(as_text(item) for item in value) if value else NOTHING
        case float():
            return f"{value:g}"
        case _:
            return str(value)


def _table(value: dict[str, Any]) -> str:
    """Return the level of an uncertain quantity without its spread; of another table, every key."""
    if "mean" in value:
        return as_text(value["mean"])
    if {"p10", "p90"} <= value.keys():
        return f"{as_text(value['p10'])} to {as_text(value['p90'])}"
    if {"low", "mode", "high"} <= value.keys():
        return f"{as_text(value['low'])} to {as_text(value['high'])}, most likely {as_text(value['mode'])}"
    return ", ".join(f"{key} {as_text(item)}" for key, item in value.items())


def spread_of(value: object) -> str:
    """Return what is said of how uncertain a value is; nothing for what is no uncertain quantity."""
    if not isinstance(value, Uncertain):
        return ""
    match value.level:
        case Constant():
            words = []
        case Pert():
            words = ["lowest to highest (PERT)"]
        case Lognormal():
            words = ["P10 to P90 (lognormal)"]
        case Records(values, file, form):
            words = [f"one of {len(values)} records in {file}{f' ({form})' if form else ''}"]
    if isinstance(value.scatter, str):
        words.append(f"scatter {value.scatter}")
    elif value.scatter:
        words.append(f"scatter {100 * value.scatter:g} %")
    if value.shared_by is not None:
        how = "" if value.correlation == 1.0 else f" with correlation {value.correlation:g}"
        words.append(f"shared by {value.shared_by}{how}")
    return "; ".join(words) or "none"


def inside(section: type[Section], name: str, value: object, measures: Measures = FEET) -> str:
    """Return a value that nobody wrote as text, in the reader's units."""
    kind = _kind(section, name)
    if isinstance(value, Uncertain):
        match value.level:
            case Constant(level):
                return _amount(level, kind, measures)
            case Pert(low, mode, high):
                ends = f"{_amount(low, kind, measures)} to {_amount(high, kind, measures)}"
                return f"{ends}, most likely {_amount(mode, kind, measures)}"
            case Lognormal(p10, p90):
                return f"{_amount(p10, kind, measures)} to {_amount(p90, kind, measures)}"
            case Records(values, _):
                return f"{_amount(values[0], kind, measures)} to {_amount(values[-1], kind, measures)}"
    if isinstance(value, float):
        return _amount(value, kind, measures)
    return as_text(value)


def converted(section: type[Section], name: str, value: object, measures: Measures) -> bool:
    """Return whether a default is declared in other units than the reader's."""
    return measures.metric and isinstance(value, float | Uncertain) and _kind(section, name) not in ("", "time")


def _amount(value: float, kind: str, measures: Measures) -> str:
    if math.isinf(value):
        return "never"
    if kind == "length" and measures.metric and abs(value) < 1.0:
        kind = "gap"
    units = {
        "length": measures.length,
        "gap": measures.gap,
        "speed": measures.speed,
        "wind": measures.wind,
        "mass": measures.mass,
        "rate": measures.rate,
    }
    if kind in units:
        return f"{units[kind].of(value):.4g} {units[kind].name}"
    return f"{value:.4g} {'h' if kind == 'time' else ''}".rstrip()


#: How a brief speaks of what a key of `units.KINDS` says; a plain number of any other.
_SAID = {"length": "length", "duration": "time", "speed": "speed", "mass": "mass", "area rate": "rate"}


def _kind(section: type[Section], name: str) -> str:
    """Return what kind of quantity a field holds; empty for a plain number."""
    from simulation.scenario.tables.stops import Wind

    readers = [part for part in section.model_fields[name].metadata if isinstance(part, Reads)]
    if any(part in readers for part in getattr(Wind, "__metadata__", ())):
        return "wind"
    return next((said for reader in readers if (said := _SAID.get(reader.kind, ""))), "")
