"""Which keys are there besides those that stand in a scenario? All of them, table by table, with default and meaning behind a #.

The list is read from the models: no second one is kept that could come to say something else.
"""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import get_origin

from pydantic.fields import FieldInfo

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.refusals import model_in
from simulation.scenario.types.section import Section

_WIDTH, _MEANING_AT = 130, 44

_HEADING = f"""\
# {"-" * (_WIDTH - 2)}
# Every key there is, table by table, with its default behind a #. To use one, take its # away; in a table that stands above, move
# the line up into it, else take the # before the table's name away as well. A key without = has no value of its own: what is said
# of it holds while it is not written. Any uncertain quantity may be written as certain, and the other way round."""


def every_default() -> str:
    """Return every key of a scenario as commented lines of TOML, in the order of the models."""
    return "\n".join([_HEADING, *_table(Scenario, "", many=False)]) + "\n"


def _table(model: type[Section], path: str, many: bool) -> Iterator[str]:
    """Yield the lines of a table, then those of the tables in it."""
    meanings = model.meanings()
    inner: list[tuple[type[Section], str, bool]] = []
    yield "#"
    if path:
        header = f"# [[{path}]]" if many else f"# [{path}]"
        yield from _with_meaning(header, _short(model.__doc__ or ""))
    for name, field in model.model_fields.items():
        key = field.alias or name
        table = model_in(field.annotation)
        if table is not None and issubclass(table, Section) and not _in_its_line(field):
            inner.append((table, f"{path}.{key}" if path else key, get_origin(field.annotation) is tuple))
        else:
            must = " Must be written, with its table." if field.is_required() else ""
            yield from _with_meaning(_line(key, field), f"{_short(meanings.get(name, ''))}{must}")
    for table, where, several in inner:
        yield from _table(table, where, several)


def _in_its_line(field: FieldInfo) -> bool:
    """Return whether the tables that a key holds have a default, which is shown in the line of the key."""
    return not field.is_required() and field.default_factory is None and bool(field.default)


def _line(key: str, field: FieldInfo) -> str:
    default = None if field.is_required() else field.get_default(call_default_factory=True)
    return f"# {key}" if default is None else f"# {key} = {_toml(default)}"


def _toml(value: object) -> str:
    """Return a default as a planner would write it."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return json.dumps(value, ensure_ascii=False)
        case datetime():
            return value.isoformat()
        case Mapping():
            keys = (key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else json.dumps(key) for key in value)
            return f"{{ {', '.join(f'{key} = {_toml(item)}' for key, item in zip(keys, value.values(), strict=True))} }}"
        case list() | tuple():
            return f"[{', '.join(map(_toml, value))}]"
        case _:
            return str(value)


def _with_meaning(line: str, meaning: str) -> Iterator[str]:
    """Yield a line with what it means behind it, and below it what finds no room there."""
    start = max(_MEANING_AT, len(line) + 2)
    if _WIDTH - start < 40:
        yield line
        line, start = "#", _MEANING_AT
    first, *rest = textwrap.wrap(meaning, _WIDTH - start - 2, break_long_words=False, break_on_hyphens=False) or [""]
    yield f"{line:<{start}}# {first}".rstrip()
    for more in textwrap.wrap(" ".join(rest), _WIDTH - _MEANING_AT - 2, break_long_words=False, break_on_hyphens=False):
        yield f"{'#':<{_MEANING_AT}}# {more}"


def _short(meaning: str) -> str:
    """Return the first paragraph of a meaning in one line, without the marks of code."""
    return " ".join(meaning.partition("\n\n")[0].split()).replace("`", "")
