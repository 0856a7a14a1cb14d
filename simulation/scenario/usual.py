"""Which values are legal, and still out of what the trade has seen? The usual range stands beside the field, with its origin.

A value out of it may be right: it is questioned, not refused. Of an uncertain quantity the middle is looked at, since the ends of
a judged range may lie outside; a time of nothing leaves the work out, and is meant. Of records their number is looked at as well:
a value is one build's, so each must be one job's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from simulation.scenario.measures import Measures
from simulation.scenario.mistakes import Mistake, block_name
from simulation.scenario.section import Section
from simulation.scenario.uncertain import Constant, Lognormal, Pert, Records, Uncertain
from simulation.scenario.units import read_quantity

#: So many values are more likely a log of rows or trips than one of each job. Planning value.
MANY_RECORDS = 60


@dataclass(frozen=True)
class Usual:
    """The usual range of a quantity; it stands in the type of a field.

    Attributes
    ----------
    kind : str
        A key of `units.KINDS`.
    least, most : str or float
        As a planner would write them; None where it has no end.
    origin : str
        Where the range comes from.
    """

    kind: str
    least: str | float
    most: str | float | None
    origin: str = "planning value"

    def holds(self, value: float) -> bool:
        """Return whether a value inside the program lies in the range."""
        most = math.inf if self.most is None else read_quantity(self.kind, self.most)
        return read_quantity(self.kind, self.least) <= value <= most

    def told(self, measures: Measures) -> str:
        """Return the range in the units of a reader."""
        least = _told(self.kind, read_quantity(self.kind, self.least), measures)
        return (
            f"{least} or more"
            if self.most is None
            else f"{least} to {_told(self.kind, read_quantity(self.kind, self.most), measures)}"
        )


def unusual(section: Section, measures: Measures, at: str = "") -> Iterator[Mistake]:
    """Yield what in a scenario, or in a table of it, is out of its usual range."""
    for name, field in type(section).model_fields.items():
        value, key = getattr(section, name), f"{at}{field.alias or name}"
        for number, block in enumerate(value if isinstance(value, tuple) else ()):
            if isinstance(block, Section):
                yield from unusual(block, measures, f"{key}.{block_name(number, getattr(block, 'name', None))}.")
        if isinstance(value, Section):
            yield from unusual(value, measures, f"{key}.")
        for usual in field.metadata:
            if isinstance(usual, Usual):
                yield from _out_of_range(key, value, usual, measures)
        if isinstance(value, Uncertain) and isinstance(value.level, Records):
            yield from _not_by_the_job(f"{key}.data", value.level)


def _out_of_range(key: str, value: Any, usual: Usual, measures: Measures) -> Iterator[Mistake]:
    middle = _middle(value) if isinstance(value, Uncertain) else value
    if middle and not usual.holds(middle):
        spread = isinstance(value, Uncertain) and not isinstance(value.level, Constant)
        what = f"{_told(usual.kind, middle, measures)}{' in the middle' if spread else ''}"
        wrong = f"{what} is out of the usual range, {usual.told(measures)} ({usual.origin})"
        yield Mistake(key, wrong, "check the number and its unit; leave it if it is meant")


def _not_by_the_job(key: str, records: Records) -> Iterator[Mistake]:
    count = len(records.values)
    if count >= MANY_RECORDS:
        wrong = (
            f"{records.file} has {count} values, and one holds for a whole build: it looks like a log row by row or trip by trip"
        )
        yield Mistake(key, wrong, "write one line for each job, its mean; how rows or trips differ belongs into scatter")


def _middle(quantity: Uncertain) -> float:
    match quantity.level:
        case Constant(value):
            return value
        case Pert(mode=mode):
            return mode
        case Lognormal(p10, p90):
            return math.sqrt(p10 * p90)
        case Records(values):
            return values[len(values) // 2]


def _told(kind: str, value: float, measures: Measures) -> str:
    """Return a quantity inside the program in the units of a reader."""
    match kind:
        case "duration":
            for unit, hours in (("s", 1 / 3600), ("min", 1 / 60), ("h", 1.0)):
                if value < 99.5 * hours:
                    return f"{value / hours:.3g} {unit}"
            return f"{value / 24:,.4g} days"
        case "share":
            return f"{value:.3g}"
        case "area rate":
            return measures.rate.text(value)
        case "length":
            return measures.length.text(value)
        case "mass":
            return measures.mass.text(value)
        case _:
            return measures.speed.text(value)
