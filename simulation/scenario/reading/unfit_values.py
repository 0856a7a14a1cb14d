"""Which texts and numbers can no scenario hold, whatever the key? What cannot be shown, and what is too small to be meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from unicodedata import category

from pydantic import BaseModel

from simulation.scenario.types.mistakes import KeyPath, Mistake, address, shown
from simulation.scenario.types.quantities.units import SMALLEST
from simulation.scenario.types.refusals import key_of, set_unread

#: Kinds of characters that are not seen: control characters, marks of direction and joining, separators of lines.
_UNSEEN = {"Cc", "Cf", "Zl", "Zp"}


def set_unfit_aside(model: type[BaseModel], raw: dict[str, Any]) -> list[Mistake]:
    """Return the mistake behind every unfit value of `raw`, and put `UNREAD` in the place of each.

    Free text of a scenario reaches pages, pictures and paper, where a control character or a mark that turns the direction of
    text would show something else than stands in the file.
    """
    unfit = [(path, *said) for path, said in _unfit(raw, ())]
    mistakes = [Mistake(address(path, raw), wrong, right) for path, wrong, right in unfit]
    set_unread({key_of(path, model) for path, _, _ in unfit}, raw)
    return mistakes


def _unfit(value: Any, path: KeyPath) -> Iterator[tuple[KeyPath, tuple[str, str]]]:
    match value:
        case dict():
            for key, part in value.items():
                yield from _unfit(part, (*path, key))
        case list():
            for index, part in enumerate(value):
                yield from _unfit(part, (*path, index))
        case str() if value != "\t" and not _can_be_shown(value):  # what parts cells may be a tab
            yield path, (f"{shown(value)} holds characters that cannot be shown", "leave them out")
        case float() if 0 < abs(value) < SMALLEST:
            yield path, (f"{value:g} is too small to be meant", "write 0 for none")


def _can_be_shown(text: str) -> bool:
    return text.isprintable() or not any(category(letter) in _UNSEEN for letter in text)
