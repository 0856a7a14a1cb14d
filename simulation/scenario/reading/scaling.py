"""May a key hold what its value becomes when it is multiplied? Read once more, as if it stood in the file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, get_args

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.quantities.units import KINDS
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.refusals import told_of_value
from simulation.scenario.types.uncertainty.uncertain import Uncertain


def refusals_of(section: BaseModel, name: str, value: float | Uncertain, key: str) -> list[Mistake]:
    """Return why a field of a section refuses a value, told of the key; none where it takes it.

    Parameters
    ----------
    section : BaseModel
    name : str
        Of the field.
    value : float or Uncertain
        In the unit used inside.
    key : str
        Address of the field in the scenario.
    """
    field = type(section).model_fields[name]
    kind = next(_kinds(field), None)
    of_field: Any = Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
    try:
        TypeAdapter(of_field).validate_python(_as_written(value, kind))
    except ValidationError as error:
        return [told_of_value(detail, key) for detail in error.errors(include_url=False)]
    return []


def _as_written(value: float | Uncertain, kind: str | None) -> Any:
    """Return a value as it would stand in a scenario."""

    def text(number: float) -> Any:
        unit = None if kind in (None, "share") else KINDS[str(kind)][0]
        return number if unit is None else f"{number!r} {unit}"

    if not isinstance(value, Uncertain):
        return text(value)
    return value.level.written(text)


def _kinds(field: FieldInfo) -> Iterator[str]:
    """Yield the kind of quantity that a field holds, a key of `units.KINDS`."""
    parts = [*field.metadata, field.annotation]
    while parts:
        part = parts.pop(0)
        if isinstance(part, Reads) and part.kind:
            yield part.kind
        parts += [*get_args(part), *getattr(part, "__metadata__", ())]
