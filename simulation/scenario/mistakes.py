"""What is wrong with a scenario, in words a planner can act on: file, key, what is wrong, what would be right."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import BaseModel


@dataclass(frozen=True)
class Mistake:
    """One line of a report on a scenario.

    Attributes
    ----------
    key : str
        Address of the key, such as ``area.taxiway.width``; blocks that have a name are addressed by it, others by number.
    wrong, right : str
        What is wrong, and what would be right.
    """

    key: str
    wrong: str
    right: str

    def __str__(self) -> str:
        return f"{self.key}: {self.wrong}; {self.right}" if self.key else f"{self.wrong}; {self.right}"


class ScenarioError(ValueError):
    """A scenario that cannot be simulated, with every mistake found in it."""

    def __init__(self, file: str, mistakes: Sequence[Mistake]) -> None:
        self.file = file
        self.mistakes = tuple(mistakes)
        super().__init__("\n".join(f"{file}: {mistake}" for mistake in self.mistakes))

    def __reduce__(self) -> tuple[type[ScenarioError], tuple[str, tuple[Mistake, ...]]]:
        return type(self), (self.file, self.mistakes)


def from_pydantic(errors: Iterable[Any], model: type[BaseModel], raw: dict[str, Any]) -> list[Mistake]:
    """Return one `Mistake` for each error that validation of `raw` against `model` raised."""
    mistakes: list[Mistake] = []
    for error in errors:
        place, context = error["loc"], error.get("ctx", {})
        if error["type"] == "keystrip_table":
            for key, wrong, right in context["mistakes"]:
                mistakes.append(Mistake(address((*place, key) if key else place, raw), wrong, right))
            continue
        mistakes.append(Mistake(address(place, raw), *_words(error, model)))
    return mistakes


def _words(error: Any, model: type[BaseModel]) -> tuple[str, str]:
    kind, context, given = error["type"], error.get("ctx", {}), error["input"]
    if kind == "keystrip":
        return context["wrong"], context["right"]
    if kind == "extra_forbidden":
        return "unknown key", did_you_mean(str(error["loc"][-1]), keys_at(model, error["loc"][:-1]))
    if kind == "missing":
        return "is missing", "it has no default, so write it"
    if kind == "literal_error":
        return f"{given!r} is not one of the choices", f"write {context['expected']}"
    bounds = {
        "greater_than": "more than {gt}",
        "greater_than_equal": "{ge} or more",
        "less_than": "less than {lt}",
        "less_than_equal": "{le} or less",
    }
    if kind in bounds:
        return f"{given!r} is out of range", f"write {bounds[kind].format(**context)}"
    expected = {
        "int_type": "a whole number",
        "string_type": "text in quotes",
        "float_type": "a number",
        "float_parsing": "a number",
        "bool_type": "true or false",
        "model_type": "a table",
        "tuple_type": "a list",
        "string_too_short": "a name",
        "string_too_long": "a name of at most 60 letters",
        "too_short": "at least one",
    }
    return f"{given!r} does not fit", f"write {expected.get(kind, error['msg'])}"


def did_you_mean(key: str, known: Iterable[str]) -> str:
    """Return the hint for an unknown key: the known one that is nearest, or all of them."""
    names = sorted(known)
    near = difflib.get_close_matches(key, names, 1)
    return f"did you mean {near[0]}?" if near else f"the keys here are {', '.join(names)}"


def keys_at(model: type[BaseModel], place: Sequence[int | str]) -> list[str]:
    """Return the keys that a scenario may have at `place`, counted from the top of `model`."""
    for step in place:
        if isinstance(step, int):
            continue
        by_key = {field.alias or name: field for name, field in model.model_fields.items()}
        field = by_key.get(step) or model.model_fields.get(step)
        inner = _model_in(field.annotation) if field else None
        if inner is None:
            return []
        model = inner
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _model_in(part))), None)


def address(place: Sequence[int | str], raw: Any) -> str:
    """Return the dotted address of `place` in `raw`: blocks that have a name by it, others by their number from 1."""
    parts: list[str] = []
    for step in place:
        inner = _step_into(raw, step)
        if isinstance(step, int):
            name = inner.get("name") if isinstance(inner, dict) else None
            parts.append(str(name) if isinstance(name, str) and name else str(step + 1))
        elif step not in ("all", "shared_by") or isinstance(raw, dict):
            parts.append(str(step))
        raw = inner
    return ".".join(parts)


def _step_into(raw: Any, step: int | str) -> Any:
    try:
        return raw[step]
    except (KeyError, IndexError, TypeError):
        return None
