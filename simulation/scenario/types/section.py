"""What has every part of a scenario in common? It is frozen, strict about its keys, and says where its defaults come from.

The text under a field says what it means and where its default comes from ("planning value" where no source stands behind it:
replace it with your own records). `Section.meanings` reads it.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from functools import cache
from itertools import pairwise
from typing import Annotated, Any, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    StrictInt,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
)
from pydantic_core.core_schema import CoreSchema, no_info_wrap_validator_function, with_info_plain_validator_function

from simulation.scenario.types.mistakes import LONGEST_NAME, complaint, shown
from simulation.scenario.types.quantities.units import read_quantity
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.unreadable import UNREAD
from simulation.scenario.types.usual_range import Usual


class Section(BaseModel):
    """Base of every table of a scenario."""

    # Deferred: what reads a table is built when one is read, and most scenarios have few of them.
    model_config = ConfigDict(frozen=True, extra="forbid", validate_default=True, defer_build=True)

    @classmethod
    def meanings(cls) -> dict[str, str]:
        """Return the text under each field, by the field's name.

        Read from the source when it is asked for: every command loads a scenario, and few ask.
        """
        said: dict[str, str] = {}
        for section in reversed(cls.__mro__):  # what a section takes over from another one, it takes over with its text
            if issubclass(section, Section):
                said |= _texts(section)
        return said

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let `UNREAD` pass in every field, and build what reads a table inside of another one when one is read.

        The first is put into what was built, and not asked for by a validator of every field, as little as `Reads` is one.
        """
        if handler.field_name is not None:
            return with_info_plain_validator_function(cls._read_inside)
        built = handler(source)
        inner: Any = handler.resolve_ref_schema(built)
        while inner["type"] != "model-fields":  # inside of what validates the section as a whole
            inner = inner["schema"]
        for field in inner["fields"].values():
            around = field
            while around["schema"]["type"] == "default":
                around = around["schema"]
            if around["schema"].get("function", {}).get("function") is not _let_unread_pass:
                around["schema"] = no_info_wrap_validator_function(_let_unread_pass, around["schema"])
        return built

    @classmethod
    def _read_inside(cls, value: Any, info: ValidationInfo) -> Self:
        return cls.model_validate(value, context=info.context)


def _let_unread_pass(value: Any, read: ValidatorFunctionWrapHandler) -> Any:
    return value if value is UNREAD else read(value)


@cache
def _texts(section: type[Section]) -> dict[str, str]:
    (written_out,) = ast.parse(textwrap.dedent(inspect.getsource(section))).body
    assert isinstance(written_out, ast.ClassDef)
    return {
        field.target.id: inspect.cleandoc(text.value.value)
        for field, text in pairwise(written_out.body)
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and isinstance(text, ast.Expr)
        and isinstance(text.value, ast.Constant)
        and isinstance(text.value.value, str)
    }


def written(value: object, alias: str | None = None) -> Any:
    """Return a default as a planner would write it; it is read as if it stood in the scenario."""
    return Field(default=value, alias=alias)


def not_written(**keys: Any) -> Any:
    """Return what stands for a table that is not written: one of these keys, read as if it stood in the scenario.

    A table that is made instead of read would have to be built by itself, beside the scenario that it stands in.
    """
    return Field(default_factory=lambda: keys)


def planned(**parts: Any) -> Any:
    """Return a default for an uncertain quantity, as a planner would write its table."""
    return written(parts)


def reader_of(kind: str, least: str | None = None, most: str | None = None) -> Reads:
    """Return what reads a quantity of a kind, and refuses what is less or more than can be, as a planner would write it."""

    def read(value: Any) -> float:
        number = read_quantity(kind, value)
        if least is not None and number < read_quantity(kind, least):
            raise complaint(f"{shown(value)} is out of range", f'write "{least}" or more')
        if most is not None and number > read_quantity(kind, most):
            raise complaint(f"{shown(value)} is out of range", f'write "{most}" or less')
        return number

    return Reads(read, kind)


def read_name(value: Any) -> str:
    """Return a name, or a title: text on one line that can be shown anywhere as it is."""
    if not isinstance(value, str):
        raise complaint(f"{shown(value)} is not text", "write it in quotes")
    if not value.strip():
        raise complaint("is empty", "write a name")
    if not value.isprintable() or value != value.strip():
        raise complaint(f"{shown(value)} has blanks at an end, or characters that cannot be shown", "leave them out")
    if len(value) > LONGEST_NAME:
        raise complaint(f"{shown(value)} has {len(value)} letters", f"write at most {LONGEST_NAME}")
    return value


def _read_since(value: Any) -> float | tuple[float, ...]:
    """Return hours after the start: one time for all, or a list with one for each."""
    read = reader_of("duration", least="0 h")
    if isinstance(value, list | tuple) and len(value) > MOST_FORKLIFTS:
        raise complaint(f"has {len(value)} times", f"write at most {MOST_FORKLIFTS}")
    return tuple(map(read, value)) if isinstance(value, list | tuple) else read(value)


def at_most(most: int) -> Reads:
    """Return what refuses a list that is too long, before anything in it is read."""

    def read(value: Any) -> Any:
        if isinstance(value, list | tuple | dict) and len(value) > most:
            raise complaint(f"has {len(value)}", f"write at most {most}")
        return value

    return Reads(read)


Name = Annotated[str, Reads(read_name)]
# The tallest counts of the trade are tens of thousands of mats; a larger one is a slip of the pen.
Count = Annotated[StrictInt, Field(ge=1, le=1_000_000), Usual("count", 1, 1_000)]
#: Machines, gangs and fleets: every one is an actor of its own in every run, and no field has had so many.
MOST_BLOCKS, MOST_FORKLIFTS, MOST_TRUCKS, MOST_PEOPLE = 64, 200, 2_000, 2_000
#: Entries of a list of a few: spans of a day, days, kinds of work, passes. Nobody has written half as many.
MOST_ENTRIES = 32
CountOrNone = Annotated[StrictInt, Field(ge=0, le=1_000_000), Usual("count", 1, 1_000)]
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Share = Annotated[Number, Field(ge=0, le=1), Usual("share", 0.001, 1.0)]
# An area, a mat, a section of rail, a key strip: what people lay and set has an inch at least.
Length = Annotated[float, reader_of("length", "1 in")]
# A section of rail: of inches, it would be tens of thousands along a runway.
Piece = Annotated[float, reader_of("length", "1 ft"), Usual("length", "2 ft", "60 ft")]
# How far apart what belongs to one field may lie.
Apart = Annotated[float, reader_of("length", "1 in", "10 mile"), Usual("length", "3 ft", "3 mile")]
# A clearance, a depth of water: what may be less than an inch.
Gap = Annotated[float, reader_of("length", most="100 ft"), Field(gt=0)]
Extent = Annotated[float, reader_of("length", most="1000 ft"), Field(ge=0)]
# A seal, a key strip: what shifts the rows after it by its width.
Narrow = Annotated[float, reader_of("length", most="2 ft"), Field(ge=0)]
Position = Annotated[float, reader_of("length", "-100 mile", "100 mile")]
# From the start until somebody or something is there; other times have a range of their own.
Duration = Annotated[float, reader_of("duration"), Field(ge=0), Usual("duration", "1 min", "365 day")]
Period = Annotated[float, reader_of("duration", "1 s"), Field(gt=0)]
# Between two landings on one field: with less, one run would have millions of them.
BetweenLandings = Annotated[float, reader_of("duration", "1 min"), Usual("duration", "10 min", "60 day")]
# Days of sun and weather are laid out up to the last day simulated, and weather is drawn step by step.
Horizon = Annotated[float, reader_of("duration", most="3650 day"), Field(gt=0)]
WeatherStep = Annotated[float, reader_of("duration", least="1 min")]
HoursEitherWay = Annotated[float, reader_of("duration", "-24 h", "24 h"), Usual("duration", "-12 h", "14 h")]
Since = Annotated[float | tuple[float, ...], Reads(_read_since, "duration"), Usual("duration", "1 min", "365 day")]
# Light has 671 million miles an hour; a speed that takes no time is questioned, see `usual`.
Speed = Annotated[float, reader_of("speed", "0.001 mph", "1000000 mph")]
Closing = Annotated[float, reader_of("duration", most="90 day"), Field(ge=0), Usual("duration", "5 min", "30 day")]
AllClear = Annotated[float, reader_of("duration", most="24 h"), Field(ge=0)]
Mass = Annotated[float, reader_of("mass"), Field(gt=0)]
Angle = Annotated[float, reader_of("angle")]
