"""What is not known for certain, and in which of two ways.

A **level** is what nobody knows today (how good this crew is, how bad this road is): one value for a whole run. A
**scatter** is the luck of the moment: another value at every step around the level. With scatter alone a thousand rows
average out and the forecast looks far surer than it is, so a scenario can state both. This file reads them; the chance
room draws them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import PydanticCustomError
from pydantic_core.core_schema import CoreSchema, with_info_plain_validator_function

from simulation.scenario.types.mistakes import did_you_mean, shown
from simulation.scenario.types.named_values import SHAPES
from simulation.scenario.types.quantities.units import read_quantity
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.texts.source import DataFiles
from simulation.scenario.types.uncertainty.distributions import Constant, Level, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.records import read_records


@dataclass(frozen=True)
class Uncertain:
    """One uncertain quantity of a scenario.

    Attributes
    ----------
    level : Level
        Drawn once per run.
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

    def times(self, factor: float) -> Uncertain:
        """Return the same quantity with every value of its level multiplied."""
        return replace(self, level=self.level.scaled(factor))

    @property
    def mean(self) -> float:
        """The expected value of its level, for plans that are made before anything is drawn."""
        return self.level.mean

    @property
    def certain(self) -> bool:
        """Whether every run and every step has the same value."""
        return isinstance(self.level, Constant) and self.scatter == 0.0


_LEVELS: dict[frozenset[str], str] = {
    frozenset({"mean"}): "mean",
    frozenset({"low", "mode", "high"}): "pert",
    frozenset({"p10", "p90"}): "lognormal",
    frozenset({"data"}): "records",
}
_LEVEL_KEYS = {"mean", "low", "mode", "high", "p10", "p90", "data"}
_RECORD_KEYS = {"column", "unit", "separator", "decimal"}
_KEYS = _LEVEL_KEYS | _RECORD_KEYS | {"scatter", "shared_by"}

#: Unknown keys of a table that are compared with the known ones.
_COMPARED = 10

#: A scatter, or a correlation, that is less than this and not 0 is a slip of the pen: no record would show it.
LEAST = 0.001
#: Feet that a row may creep: with miles of it, the rail of one area would have millions of sections.
LOOSEST = 1.0
#: A lognormal level wider than this has a mean that hangs on its far tail alone.
WIDEST = 1000


class _Reader:
    """Reads one table and gathers every mistake in it, each under its own key."""

    def __init__(self, kind: str, files: DataFiles) -> None:
        self.kind = kind
        self.files = files
        self.mistakes: list[tuple[str, str, str]] = []

    def wrong(self, key: str, wrong: str, right: str) -> None:
        self.mistakes.append((key, wrong, right))

    def table(self, table: dict[str, Any]) -> Uncertain:
        for number, key in enumerate(sorted(table.keys() - _KEYS)):
            self.wrong(key, "unknown key", did_you_mean(key, _KEYS) if number < _COMPARED else "leave it out")
        for key in sorted(table.keys() & _RECORD_KEYS) if "data" not in table else ():
            self.wrong(key, "belongs to records, and there are none", "leave it out, or name the file in data")
        shared_by, correlation = self.shared(table.get("shared_by"))
        return Uncertain(self.level(table), self.scatter(table.get("scatter", 0.0)), shared_by, correlation)

    def number(self, key: str, value: Any) -> float | None:
        try:
            number = read_quantity(self.kind, value)
        except PydanticCustomError as error:
            context = error.context or {}
            self.wrong(key, context["wrong"], context["right"])
            return None
        if number < 0:
            self.wrong(key, f"{shown(value)} is below zero", "write 0 or more")
            return None
        return number

    def level(self, table: dict[str, Any]) -> Level:
        given = table.keys() & _LEVEL_KEYS
        form = _LEVELS.get(frozenset(given))
        if form is None:
            self.wrong(
                "",
                f"the level is given by {', '.join(sorted(given)) or 'nothing'}",
                "give mean; or low, mode and high; or p10 and p90; or data",
            )
            return Constant(1.0)
        if form == "records":
            values, way = read_records(self.kind, table, self.files, self.wrong)
            return Records(values, table["data"], "" if way.plain else way.said) if values else Constant(1.0)
        numbers = {key: number for key in sorted(given) if (number := self.number(key, table[key])) is not None}
        if len(numbers) < len(given):
            return Constant(1.0)
        if form == "mean":
            return Constant(numbers["mean"])
        return self.pert(**numbers) if form == "pert" else self.lognormal(**numbers)

    def pert(self, low: float, mode: float, high: float) -> Level:
        if not low <= mode <= high:
            self.wrong("mode", "low, mode and high are not in rising order", "write low ≤ mode ≤ high")
        return Pert(low, mode, high) if low < high else Constant(mode)

    def lognormal(self, p10: float, p90: float) -> Level:
        if not 0 < p10 <= p90:
            self.wrong("p90", "p10 and p90 are not positive and in rising order", "write 0 < p10 ≤ p90")
        elif p90 > WIDEST * p10:
            self.wrong("p90", f"p90 is more than {WIDEST:,} times p10", "write a narrower range, or check the units")
        return Lognormal(p10, p90) if p10 < p90 else Constant(p10)

    def scatter(self, given: Any) -> float | str:
        if isinstance(given, str) and given in SHAPES:
            return given
        if isinstance(given, int | float) and not isinstance(given, bool) and (given == 0 or LEAST <= given <= 3):
            return float(given)
        self.wrong(
            "scatter",
            f"{shown(given)} is no scatter",
            f'write 0, a coefficient of variation from {LEAST} to 3, "exponential" or "erlang-2"',
        )
        return 0.0

    def shared(self, given: Any) -> tuple[str | None, float]:
        if given is None:
            return None, 1.0
        table = {"name": given, "correlation": 1.0} if isinstance(given, str) else given
        if isinstance(table, dict) and table.keys() == {"name", "correlation"}:
            name, correlation = table["name"], table["correlation"]
            number = isinstance(correlation, int | float) and not isinstance(correlation, bool)
            if isinstance(name, str) and name.strip() and number and (correlation == 0 or LEAST <= correlation <= 1):
                return name, float(correlation)
        right = 'write a name such as "crews", or { name = "crews", correlation = 0.5 } with a correlation of 0, or up to 1'
        self.wrong("shared_by", f"{shown(given)} does not say what is shared", right)
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
    reader = _Reader(kind, (info.context or {}).get("files") or DataFiles(Path()))
    result = reader.table(value) if isinstance(value, dict) else Uncertain(Constant(reader.number("", value) or 0.0))
    if kind == "length" and result.level.bounds[-1] > LOOSEST:
        reader.wrong("", "is more than mats ever lie apart", 'write "1 ft" or less')
    if reader.mistakes:
        raise PydanticCustomError("keystrip_table", "uncertain quantity", {"mistakes": tuple(reader.mistakes)})
    return result


class _ReadsUncertain(Reads):
    """Reads an uncertain quantity; nothing is left to be asked of the type behind it."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Return what reads it."""
        return with_info_plain_validator_function(partial(self.read, self.kind))


def _reads(kind: str) -> Reads:
    """Return what reads an uncertain quantity of a kind."""
    return _ReadsUncertain(read_uncertain, kind)


UncertainDuration = Annotated[Uncertain, _reads("duration")]
UncertainLength = Annotated[Uncertain, _reads("length")]
UncertainRate = Annotated[Uncertain, _reads("area rate")]
UncertainShare = Annotated[Uncertain, _reads("share")]
