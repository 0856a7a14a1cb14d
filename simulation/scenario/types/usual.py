"""Which values are legal, and still out of what the trade has seen? The usual range stands beside the field, with its origin.

A value out of it may be right: it is questioned, not refused. Of an uncertain quantity the middle is looked at, since the ends of
a judged range may lie outside, and an end only where it is far outside; a time of nothing leaves the work out, and is meant. Of
records their number is looked at as well: a value is one run's, so each must be one job's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, get_args

from simulation.scenario.types.mistakes import Mistake, block_name, step_name
from simulation.scenario.types.quantities.measures import Measures
from simulation.scenario.types.section import Section
from simulation.scenario.types.uncertainty.distributions import Constant, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain
from simulation.scenario.types.usual_range import Usual

#: So many values are more likely a log of rows or trips than one of each job. Planning value.
MANY_RECORDS = 60
#: So many times beyond the usual range the ends of a judged range may lie. Planning value.
FAR = 10.0

_LOOK = "check the number and its unit; leave it if it is meant"


def unusual(section: Section, measures: Measures, at: str = "") -> Iterator[Mistake]:
    """Yield what in a scenario, or in a table of it, is out of its usual range."""
    for name, field in type(section).model_fields.items():
        value, key = getattr(section, name), f"{at}{field.alias or name}"
        for number, block in enumerate(value if isinstance(value, tuple) else ()):
            if isinstance(block, Section):
                yield from unusual(block, measures, f"{key}.{block_name(number, getattr(block, 'name', None))}.")
        if isinstance(value, Section):
            yield from unusual(value, measures, f"{key}.")
        if (usual := range_of(type(section), name)) is not None:
            yield from _out_of_range(key, value, usual, measures)
        if isinstance(value, Uncertain) and isinstance(value.level, Records):
            yield from _not_by_the_job(f"{key}.data", value.level)


@lru_cache(maxsize=1024)
def range_of(model: type[Section], name: str) -> Usual | None:
    """Return the usual range of a field: its own, or else that of its type."""
    field = model.model_fields[name]
    own = [item for item in field.metadata if isinstance(item, Usual)]
    return own[-1] if own else next(_in_type(field.annotation), None)


def _in_type(annotation: Any) -> Iterator[Usual]:
    yield from (item for item in reversed(getattr(annotation, "__metadata__", ())) if isinstance(item, Usual))
    for part in get_args(annotation):
        yield from _in_type(part)


def _out_of_range(key: str, value: Any, usual: Usual, measures: Measures) -> Iterator[Mistake]:
    if isinstance(value, Uncertain):
        yield from _uncertain(key, value, usual, measures)
    elif isinstance(value, Mapping):
        for name, item in value.items():
            yield from _out_of_range(f"{key}.{step_name(name)}", item, usual, measures)
    else:
        # Of a list, or of twelve months, one is enough to look at the line that it stands in.
        for item in value if isinstance(value, tuple) else (value,):
            if item and not math.isinf(item) and not usual.holds(item):
                yield Mistake(key, f"{usual.quantity(item, measures)} is out of the usual range, {_said(usual, measures)}", _LOOK)
                break


def _uncertain(key: str, value: Uncertain, usual: Usual, measures: Measures) -> Iterator[Mistake]:
    low, middle, high = value.level.bounds
    if middle and not usual.holds(middle):
        spread = "" if isinstance(value.level, Constant) else " in the middle"
        wrong = f"{usual.quantity(middle, measures)}{spread} is out of the usual range, {_said(usual, measures)}"
        yield Mistake(key, wrong, _LOOK)
        return
    for end, which in ((low, "lower"), (high, "upper")):
        if end and not usual.holds(end, FAR):
            wrong = f"{usual.quantity(end, measures)} at its {which} end is far out of the usual range, {_said(usual, measures)}"
            yield Mistake(key, wrong, _LOOK)


def _said(usual: Usual, measures: Measures) -> str:
    return f"{usual.in_words(measures)} ({usual.origin})"


def _not_by_the_job(key: str, records: Records) -> Iterator[Mistake]:
    count = len(records.values)
    if count >= MANY_RECORDS:
        wrong = (
            f"{records.file} has {count} values, and one holds for a whole run: it looks like a log row by row or trip by trip"
        )
        yield Mistake(key, wrong, "write one line for each job, its mean; how rows or trips differ belongs into scatter")
