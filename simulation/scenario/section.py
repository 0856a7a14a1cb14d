"""What every part of a scenario has in common: frozen, strict about its keys, each default with its meaning and origin beside it.

The text under a field is its description: what it means and where its default comes from ("planning value" where no source
stands behind it: replace it with your own records). `keystrip` shows it wherever it shows the value.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StrictInt, StrictStr

from simulation.scenario.units import read_quantity


class Section(BaseModel):
    """Base of every table of a scenario."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", validate_default=True, use_attribute_docstrings=True, populate_by_name=True
    )


def planned(**parts: Any) -> Any:
    """Return a default for an uncertain quantity, written as a planner would write it."""
    return Field(default=parts)


def quantity(text: str) -> Any:
    """Return a default for a certain quantity, written as a planner would write it."""
    return Field(default=text)


def _reader_of(kind: str) -> Callable[[Any], float]:
    return lambda value: read_quantity(kind, value)


Name = Annotated[StrictStr, Field(min_length=1, max_length=60)]
Count = Annotated[StrictInt, Field(ge=1)]
CountOrNone = Annotated[StrictInt, Field(ge=0)]
Length = Annotated[float, BeforeValidator(_reader_of("length")), Field(gt=0)]
Position = Annotated[float, BeforeValidator(_reader_of("length"))]
Duration = Annotated[float, BeforeValidator(_reader_of("duration")), Field(ge=0)]
Period = Annotated[float, BeforeValidator(_reader_of("duration")), Field(gt=0)]
HoursEitherWay = Annotated[float, BeforeValidator(_reader_of("duration")), Field(ge=-24, le=24)]
Speed = Annotated[float, BeforeValidator(_reader_of("speed")), Field(gt=0)]
Mass = Annotated[float, BeforeValidator(_reader_of("mass")), Field(gt=0)]
Share = Annotated[float, Field(ge=0, le=1)]
