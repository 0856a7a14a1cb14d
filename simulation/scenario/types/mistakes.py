"""How is a mistake put so that a planner can act on it? As one line: file, key, what is wrong, what would be right."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pydantic_core import PydanticCustomError

KeyPath = tuple[int | str, ...]

#: Letters of the longest name or title that a scenario may hold.
LONGEST_NAME = 60
#: Mistakes, and warnings, that are told one by one; what more there is is counted.
MOST_TOLD = 20
#: Letters up to which a line lists names.
_LINE = 600


@dataclass(frozen=True)
class Mistake:
    """One line of a report on a scenario.

    Attributes
    ----------
    key : str
        Address of the key, such as ``area.taxiway.width``; blocks that have a name are addressed by it, others by
        number.
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


class LogError(ScenarioError):
    """A site log that cannot be used, with every mistake found in it."""


def refusal(source: str, wrong: str, right: str, key: str = "") -> ScenarioError:
    """Return the error of one mistake in a file, or in what an option asks for."""
    return ScenarioError(source, [Mistake(key, wrong, right)])


def complaint(wrong: str, right: str) -> PydanticCustomError:
    """Return the error for one mistake in a value: what is wrong, and what would be right."""
    from pydantic_core import PydanticCustomError  # here, since workers put no mistakes

    return PydanticCustomError("keystrip", "{wrong}; {right}", {"wrong": wrong, "right": right})


def shown(value: object) -> str:
    """Return a value as a planner would have written it, short enough for one line.

    Examples
    --------
    >>> print(shown("36 kg"), shown(True), shown([1, 2]))
    "36 kg" true a list
    """
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            short = value if len(value) <= LONGEST_NAME else f"{value[:57]}..."
            return json.dumps(short, ensure_ascii=not short.isprintable())
        case int() if abs(value) >= 10**18:
            return "a number of more than 18 digits"
        case dict():
            return "a table"
        case list() | tuple():
            return "a list"
        case _:
            return str(value)


def nearest(key: str, known: Iterable[str]) -> str | None:
    """Return the known name that `key` was most likely meant to be, if any comes near it; the same one, if it is there."""
    names = frozenset(known)
    if key in names:
        return key
    # What is longer than a name may be is like none, and comparing takes as long as it is long.
    return None if len(key) > LONGEST_NAME else _alike(key, names)


@lru_cache(maxsize=4096)
def _alike(key: str, names: frozenset[str]) -> str | None:
    return next(iter(difflib.get_close_matches(key, sorted(names), 1)), None)


def did_you_mean(key: str, known: Iterable[str]) -> str:
    """Return the hint for an unknown name: the known one that is nearest, or all of them, as far as a line holds them."""
    names = sorted(known)
    near = nearest(key, names)
    return f"did you mean {near}?" if near else f"use one of: {listed(names)}"


def listed(names: Sequence[str]) -> str:
    """Return names with commas between them, and how many more there are than a line holds.

    Examples
    --------
    >>> listed(["red", "blue"])
    'red, blue'
    """
    fitting = 1
    while fitting < len(names) and sum(len(name) + 2 for name in names[: fitting + 1]) <= _LINE:
        fitting += 1
    more = len(names) - fitting
    return ", ".join(names[:fitting]) + (f" and {more:,} more" if more > 0 else "")


def address(path: KeyPath, raw: Any) -> str:
    """Return the dotted address of `path` in `raw`: blocks that have a name by it, others by their number from 1."""
    steps: list[str] = []
    for step in path:
        raw = step_into(raw, step)
        if isinstance(step, str):
            steps.append(step_name(step))
        else:
            steps.append(block_name(step, raw.get("name") if isinstance(raw, dict) else None))
    return ".".join(steps)


def block_name(index: int, name: object) -> str:
    """Return the step of an address that stands for one block of several."""
    return step_name(name) if isinstance(name, str) and name else str(index + 1)


def step_name(name: str) -> str:
    """Return one step of an address, in quotes where it could be misread."""
    plain = len(name) <= LONGEST_NAME and re.fullmatch(r"[\w -]+", name) and name.isprintable()
    return name if plain else shown(name)


def step_into(raw: Any, *path: int | str) -> Any:
    """Return what stands at `path` in `raw`, or None."""
    try:
        for step in path:
            raw = raw[step]
    except (KeyError, IndexError, TypeError):
        return None
    return raw
