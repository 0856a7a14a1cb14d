"""What does a planner have to know of a value that was refused? Errors of pydantic become mistakes here."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from simulation.scenario.types.mistakes import KeyPath, Mistake, address, did_you_mean, nearest, shown, step_into, step_name
from simulation.scenario.types.quantities.units import comma_hint, in_metric
from simulation.scenario.types.unreadable import UNREAD

#: Unknown keys that are compared with the known ones: whoever wrote more has written another kind of file.
_COMPARED = 50

#: What stands for the items of a list.
_SEVERAL = '"…", "…"'
#: type of an error -> what is wrong, what would be right
_WORDS = {
    "int_type": ("{given} is not a whole number", "write a whole number, such as 3, without quotes"),
    "float_type": ("{given} is not a number", "write a number, such as 0.5, without quotes"),
    "finite_number": ("{given} is not a finite number", "write a number, such as 0.5"),
    "bool_type": ("{given} is neither true nor false", "write true or false, without quotes"),
    "model_type": ("{given} is not a table", "write its keys under {header}"),
    "tuple_type": ("{given} is not a list", "write {header}"),
    "dict_type": ("{given} is no table", "write a table of names and values in curly brackets"),
    "too_long": ("has {actual_length}", "write at most {max_length}"),
    "too_short": ("is empty", "write at least one"),
    "missing": ("is missing", "it has no default: write {header}"),
    "literal_error": ("{given} is not one of the choices", "write {expected}"),
    "greater_than": ("{given} is out of range", "write more than {gt:.10g}"),
    "greater_than_equal": ("{given} is out of range", "write {ge:.10g} or more"),
    "less_than": ("{given} is out of range", "write less than {lt:.10g}"),
    "less_than_equal": ("{given} is out of range", "write {le:.10g} or less"),
}


def from_pydantic(errors: Sequence[Any], model: type[BaseModel], raw: dict[str, Any], metric: bool = False) -> list[Mistake]:
    """Return the mistakes behind the errors that validation of `raw` against `model` raised, advice in metric where that is told.

    What follows from another mistake is left out: a key that is missing because it is misspelt, a list that is too short
    because nothing in it is right.
    """
    mistakes: list[Mistake] = []
    meant = set(_meant(errors, model, raw))
    unknown = 0
    worded = in_metric if metric else str
    for error in errors:
        kind, path, context = error["type"], error["loc"], error.get("ctx", {})
        if path[-1:] == ("[key]",):  # what is wrong with a name that the planner gave
            path = path[:-1]
        key, given = address(path, raw), step_into(raw, *path)
        if (kind == "missing" and path in meant) or _follows(error, raw):
            continue
        if kind == "keystrip_table":
            for step, wrong, right in context["mistakes"]:
                mistakes.append(Mistake(address((*path, step) if step else path, raw), wrong, worded(right)))
        elif kind == "keystrip":
            mistakes.append(Mistake(key, context["wrong"], worded(context["right"])))
        elif kind == "extra_forbidden":
            unknown += 1
            mistakes.append(Mistake(key, "unknown key", _where_instead(path, model) if unknown <= _COMPARED else "leave it out"))
        else:
            mistakes.append(_worded(error, key, given, _header(path, model)))
    return mistakes


def told_of_value(error: Any, key: str) -> Mistake:
    """Return the mistake behind an error in one value that was read by itself, told of its key."""
    context = error.get("ctx", {})
    if error["type"] == "keystrip_table":
        step, wrong, right = context["mistakes"][0]
        return Mistake(f"{key}.{step}" if step else key, wrong, right)
    if error["type"] == "keystrip":
        return Mistake(key, context["wrong"], context["right"])
    return _worded(error, key, error["input"], key)


def _worded(error: Any, key: str, given: object, header: str) -> Mistake:
    kind, context = error["type"], error.get("ctx", {})
    wrong, right = _WORDS.get(kind, ("{given} does not fit", "{message}"))
    if kind == "tuple_type" and "=" in header:
        header = f"{header.partition(' = ')[0]} = [{shown(given) if isinstance(given, str) else _SEVERAL}]"
    if kind == "less_than_equal" and context["le"] == 1 and isinstance(given, int | float) and given <= 100:
        right += f"; {given:g} % is {given / 100:g}"
    if kind == "float_type" and isinstance(given, str) and (hint := comma_hint(given)):
        right = f"{hint}, without quotes"
    words = {"given": shown(given), "header": header, "message": error["msg"]} | context
    return Mistake(key, wrong.format(**words), right.format(**words).replace("'", '"'))


def set_aside(errors: Sequence[Any], model: type[BaseModel], raw: dict[str, Any]) -> None:
    """Put `UNREAD` in the place of every value of `raw` that was refused, and take unknown keys out."""
    refused = (error for error in errors if error["type"] != "extra_forbidden" and not _follows(error, raw))
    paths = {key_of(error["loc"], model) for error in refused}
    paths |= set(_meant(errors, model, raw))
    for error in errors:
        if error["type"] == "extra_forbidden":
            *table, key = error["loc"]
            del step_into(raw, *table)[key]
    set_unread(paths, raw)


def set_unread(paths: set[KeyPath], raw: dict[str, Any]) -> None:
    """Put `UNREAD` in some paths of `raw`."""
    # The innermost first: what stands around it may have been refused as well.
    for *table, key in sorted(paths, key=len, reverse=True):
        step_into(raw, *table)[key] = UNREAD


def _follows(error: Any, raw: dict[str, Any]) -> bool:
    """Return whether a list is only too short because nothing that it holds could be read."""
    return bool(error["type"] == "too_short" and step_into(raw, *error["loc"]))


def key_of(path: KeyPath, model: type[BaseModel]) -> KeyPath:
    """Return the place of the key whose value holds `path`: a list or a table of names with a bad item is unread as a whole."""
    for depth, step in enumerate(path, start=1):
        if isinstance(step, str):
            field = _keys_of(model).get(step)
            inner = model_in(field.annotation) if field is not None else None
            if inner is None:
                return path[:depth]
            model = inner
    while isinstance(path[-1], int):
        path = path[:-1]
    return path


def _meant(errors: Sequence[Any], model: type[BaseModel], raw: dict[str, Any]) -> Iterator[KeyPath]:
    """Yield the keys that a planner most likely meant where an unknown one stands."""
    unknown = [error["loc"] for error in errors if error["type"] == "extra_forbidden"]
    for *table, key in unknown[:_COMPARED]:
        if isinstance(key, str):
            near = nearest(key, _keys_at(model, table))
            if near is not None and near not in step_into(raw, *table):
                yield (*table, near)


def _where_instead(path: KeyPath, model: type[BaseModel]) -> str:
    """Return the hint for an unknown key: a near one, else the table where it belongs, else all that there are."""
    *table, key = path
    keys = _keys_at(model, table)
    homes = list(_homes(str(key), model))
    if nearest(str(key), keys) is None and homes:
        return f"it belongs {' or '.join(homes)}"
    return did_you_mean(str(key), keys)


def _homes(key: str, model: type[BaseModel], path: str = "") -> Iterator[str]:
    keys = _keys_of(model)
    if key in keys:
        yield f"in [{path}]" if path else "at the top of the file, above the first table"
    for name, field in keys.items():
        if inner := model_in(field.annotation):
            yield from _homes(key, inner, f"{path}.{name}" if path else name)


def _header(path: KeyPath, model: type[BaseModel]) -> str:
    """Return how the value at `path` is begun in TOML."""
    keys = [step for step in path if isinstance(step, str)]
    field = _keys_at(model, keys[:-1]).get(keys[-1])
    if field is None:  # a name that the planner gave, as that of a tool
        return f"{step_name(keys[-1])} = …"
    many = get_origin(field.annotation) is tuple
    if model_in(field.annotation):
        return f"[[{'.'.join(keys)}]]" if many else f"[{'.'.join(keys)}]"
    return f"{keys[-1]} = [{_SEVERAL}]" if many else f"{keys[-1]} = …"


def _keys_at(model: type[BaseModel], path: Sequence[int | str]) -> dict[str, FieldInfo]:
    """Return the keys that a scenario may have at `path`, counted from the top of `model`."""
    for step in path:
        field = _keys_of(model).get(step) if isinstance(step, str) else None
        if field is not None and (inner := model_in(field.annotation)):
            model = inner
    return _keys_of(model)


def _keys_of(model: type[BaseModel]) -> dict[str, FieldInfo]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the model of the table, or of each of several tables, that a key of this type holds, if it holds any."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((model for part in get_args(annotation) if (model := model_in(part))), None)
