"""What is asked of the same frozen object again is not worked out again."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar
from weakref import ref

S = TypeVar("S")
R = TypeVar("R")


def remembered(work: Callable[[S], R]) -> Callable[[S], R]:
    """Return `work` of one object, which is done once for each and remembered while the object is held.

    The result must be frozen and must not hold the object. What is wrong is raised anew each time. Objects are told by
    identity: to compare scenarios takes as long as to work some things out.

    Examples
    --------
    >>> count = remembered(len)
    >>> count(frozenset({1, 2})), count(frozenset({3}))
    (2, 1)
    """
    kept: dict[int, tuple[ref[S], R]] = {}

    @wraps(work)
    def ask(subject: S) -> R:
        number = id(subject)
        if number not in kept:
            result = work(subject)
            kept[number] = (ref(subject, lambda _: kept.pop(number)), result)
        return kept[number][1]

    return ask
