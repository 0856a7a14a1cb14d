"""What is not known for certain, and in which of two ways.

A **level** is what nobody knows today (how good this crew is, how bad this road is): one value for a whole build. A **scatter**
is the luck of the moment: another value at every step around the level. With scatter alone a thousand rows average out
and the forecast looks far surer than it is, so a scenario can state both. This file reads them; the chance room draws them.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from pydantic import BeforeValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from simulation.scenario.units import KINDS, in_unit, read_quantity


@dataclass(frozen=True)
class Constant:
    """A level that is known."""

    value: float


@dataclass(frozen=True)
class Pert:
    """A level between a lowest and a highest value with a most likely one (beta with shape 4)."""

    low: float
    mode: float
    high: float


@dataclass(frozen=True)
class Lognormal:
    """A level by its 10 % and 90 % quantiles, because judged ranges are too narrow to be read as the ends."""

    p10: float
    p90: float


@dataclass(frozen=True)
class Records:
    """A level resampled from the planner's own records, in ascending order."""

    values: tuple[float, ...]
    file: str


Level = Constant | Pert | Lognormal | Records

#: scatter by name: shape of the gamma distribution of mean 1 that it stands for
SHAPES = {"exponential": 1, "erlang-2": 2}


@dataclass(frozen=True)
class Uncertain:
    """One uncertain quantity of a scenario.

    Attributes
    ----------
    level : Level
        Drawn once per build.
    scatter : float or str
        Coefficient of variation of a lognormal factor of mean 1 drawn at every step; or a key of `SHAPES`; 0 is none.
    shared_by : str or None
        Levels that bear one name move together.
    correlation : float
        How closely, between two that name the same; 1 is fully.
    """

    level: Level
    scatter: float | str = 0.0
    shared_by: str | None = None
    correlation: float = 1.0

    @property
    def certain(self) -> bool:
        """Whether every build and every step has the same value."""
        return isinstance(self.level, Constant) and self.scatter == 0.0


_LEVELS: dict[frozenset[str], str] = {
    frozenset({"mean"}): "mean",
    frozenset({"low", "mode", "high"}): "pert",
    frozenset({"p10", "p90"}): "lognormal",
    frozenset({"data"}): "records",
}
_LEVEL_KEYS = {"mean", "low", "mode", "high", "p10", "p90", "data"}
_KEYS = _LEVEL_KEYS | {"column", "unit", "scatter", "shared_by"}


class _Reader:
    """Reads one table and gathers every mistake in it, each under its own key."""

    def __init__(self, kind: str, folder: Path) -> None:
        self.kind = kind
        self.folder = folder
        self.mistakes: list[tuple[str, str, str]] = []

    def wrong(self, key: str, wrong: str, right: str) -> None:
        self.mistakes.append((key, wrong, right))

    def number(self, table: dict[str, Any], key: str) -> float:
        try:
            return read_quantity(self.kind, table[key])
        except PydanticCustomError as error:
            context = error.context or {}
            self.wrong(key, context["wrong"], context["right"])
            return 1.0

    def level(self, table: dict[str, Any]) -> Level:
        given = frozenset(table) & _LEVEL_KEYS
        form = _LEVELS.get(given)
        if form is None:
            self.wrong(
                "",
                f"the level is given by {', '.join(sorted(given)) or 'nothing'}",
                "give mean; or low, mode and high; or p10 and p90; or data",
            )
            return Constant(1.0)
        if form == "records":
            return self.records(table)
        numbers = {key: self.number(table, key) for key in given}
        if self.mistakes:
            return Constant(1.0)
        if min(numbers.values()) < 0:
            self.wrong("", "a value is below zero", "every value must be 0 or more")
        elif form == "mean":
            return Constant(numbers["mean"])
        elif form == "pert":
            low, mode, high = numbers["low"], numbers["mode"], numbers["high"]
            if not low <= mode <= high:
                self.wrong("mode", "low, mode and high are not in rising order", "write low ≤ mode ≤ high")
            return Pert(low, mode, high) if low < high else Constant(mode)
        else:
            p10, p90 = numbers["p10"], numbers["p90"]
            if not 0 < p10 <= p90:
                self.wrong("p90", "p10 and p90 are not positive and in rising order", "write 0 < p10 ≤ p90")
            return Lognormal(p10, p90) if p10 < p90 else Constant(p10)
        return Constant(1.0)

    def records(self, table: dict[str, Any]) -> Level:
        file, column = table["data"], table.get("column")
        path = self.folder / str(file)
        if not path.is_file():
            self.wrong("data", f"there is no file {file}", "name a CSV file, beside the scenario or by its full path")
            return Constant(1.0)
        with path.open(newline="", encoding="utf-8") as lines:
            rows = list(csv.DictReader(lines))
        columns = list(rows[0]) if rows else []
        if column is None and len(columns) == 1:
            column = columns[0]
        if column not in columns:
            self.wrong("column", f"{file} has no column {column!r}", f"name one of: {', '.join(columns) or '(none)'}")
            return Constant(1.0)
        unit = table.get("unit")
        if self.kind != "share" and not isinstance(unit, str):
            self.wrong("unit", "the unit of the records is not given", f'write unit = "{KINDS[self.kind][0]}"')
            return Constant(1.0)
        values: list[float] = []
        for line, row in enumerate(rows, start=2):
            try:
                value = float(row[column])
                value = value if self.kind == "share" else in_unit(self.kind, f"{value} {unit}", KINDS[self.kind][0])
                if value < 0:
                    raise ValueError
                values.append(value)
            except PydanticCustomError as error:
                context = error.context or {}
                self.wrong("unit", context["wrong"], context["right"])
                break
            except (TypeError, ValueError):
                self.wrong("data", f"line {line} of {file} holds {row[column]!r}", "write numbers of 0 or more")
        return Records(tuple(sorted(values)), str(file)) if values else Constant(1.0)

    def scatter(self, given: Any) -> float | str:
        if isinstance(given, str) and given in SHAPES:
            return given
        if isinstance(given, int | float) and not isinstance(given, bool) and 0 <= given <= 3:
            return float(given)
        self.wrong(
            "scatter",
            f"{given!r} is no scatter",
            'write a coefficient of variation from 0 to 3, "exponential" or "erlang-2"',
        )
        return 0.0

    def shared(self, given: Any) -> tuple[str | None, float]:
        if given is None or isinstance(given, str):
            return given, 1.0
        if isinstance(given, dict) and set(given) == {"name", "correlation"} and isinstance(given["name"], str):
            correlation = given["correlation"]
            if isinstance(correlation, int | float) and 0 <= correlation <= 1:
                return given["name"], float(correlation)
        self.wrong("shared_by", f"{given!r} is not a share", 'write "crews" or { name = "crews", correlation = 0.5 }')
        return None, 1.0


def read_uncertain(kind: str, value: Any, info: ValidationInfo) -> Uncertain:
    """Return the uncertain quantity of `kind` that stands in a scenario as `value`.

    Raises
    ------
    PydanticCustomError
        With every mistake of the table as ``(key, wrong, right)`` under ``"mistakes"``.
    """
    if isinstance(value, Uncertain):
        return value
    reader = _Reader(kind, (info.context or {}).get("folder", Path()))
    if isinstance(value, dict):
        import difflib

        for key in set(value) - _KEYS:
            near = difflib.get_close_matches(key, _KEYS, 1)
            reader.wrong(key, "unknown key", f"did you mean {near[0]}?" if near else f"use {', '.join(sorted(_KEYS))}")
        shared_by, correlation = reader.shared(value.get("shared_by"))
        result = Uncertain(reader.level(value), reader.scatter(value.get("scatter", 0.0)), shared_by, correlation)
    else:
        result = Uncertain(Constant(reader.number({"": value}, "")))
        if not reader.mistakes and isinstance(result.level, Constant) and result.level.value < 0:
            reader.wrong("", f"{value} is below zero", "write 0 or more")
    if reader.mistakes:
        raise PydanticCustomError("keystrip_table", "uncertain quantity", {"mistakes": tuple(reader.mistakes)})
    return result


def _reader_of(kind: str) -> Callable[[Any, ValidationInfo], Uncertain]:
    return lambda value, info: read_uncertain(kind, value, info)


UncertainDuration = Annotated[Uncertain, BeforeValidator(_reader_of("duration"))]
UncertainRate = Annotated[Uncertain, BeforeValidator(_reader_of("area rate"))]
UncertainShare = Annotated[Uncertain, BeforeValidator(_reader_of("share"))]
