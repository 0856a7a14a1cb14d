"""What stands where a value could not be read, so that the rest of a scenario can still be checked?

A planner wants every mistake in one go, so a bad value must not hide a contradiction between two good ones, nor give rise
to false ones. `UNREAD` takes its place; a rule that looks at it is given up by `told`, and every other rule speaks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any, NoReturn

from simulation.scenario.types.mistakes import Mistake


class UnreadError(Exception):
    """A value was needed that could not be read."""


class Unread:
    """Raises `UnreadError` whenever its value matters; only whether it is there can be asked, by ``is None``."""

    def _refuse(self, *_: object) -> NoReturn:
        raise UnreadError

    __bool__ = __eq__ = __hash__ = __lt__ = __le__ = __gt__ = __ge__ = _refuse
    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __truediv__ = __rtruediv__ = _refuse
    __iter__ = __len__ = __contains__ = __getitem__ = __getattr__ = __str__ = __format__ = _refuse


#: Bears every type, because it stands for values of every type.
UNREAD: Any = Unread()


def apply_rule(rule: Callable[..., Iterator[Mistake]], *parts: Any) -> Iterator[Mistake]:
    """Yield what `rule` finds in `parts`, as far as it needs nothing that could not be read."""
    with suppress(UnreadError):
        yield from rule(*parts)
