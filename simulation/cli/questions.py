"""The table of questions: every command, under the heading where the help lists it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module

#: Names of commands by heading; the command `x` is the function `x` of `questions/x/command.py`.
GROUPS: dict[str, tuple[str, ...]] = {
    "Forecast": ("new", "check", "forecast", "replay", "trace", "brief"),
    "Work that has begun": ("log", "update"),
    "Decide": ("plan", "compare", "staffing", "bottlenecks", "slip", "opening", "sensitivity"),
    "Field": ("takeoff", "repair", "lift", "move", "spacing"),
    "Weather": ("conditions", "weather"),
    "Own records": ("rates",),
    "What is kept": ("studies", "repeat"),
}


class _Commands(Mapping[str, Callable[..., None]]):
    """Every command by its name, loaded when it is asked for: a call needs one, and all of them take as long as a short one."""

    def __getitem__(self, name: str) -> Callable[..., None]:
        if name not in tuple(self):
            raise KeyError(name)
        command: Callable[..., None] = getattr(import_module(f"simulation.questions.{name}.command"), name)
        return command

    def __iter__(self) -> Iterator[str]:
        return (name for group in GROUPS.values() for name in group)

    def __len__(self) -> int:
        return sum(map(len, GROUPS.values()))


COMMANDS: Mapping[str, Callable[..., None]] = _Commands()
