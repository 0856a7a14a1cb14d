"""The option --data of every command that reads a scenario: folders in which its data files may lie, beside its own."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Annotated, Any

import typer

from simulation.session.lines import stop

_DATA = Annotated[
    list[Path] | None,
    typer.Option("--data", metavar="DIR", help="A folder of data files beside the scenario's own.", show_default=False),
]

_folders: tuple[Path, ...] = ()


def data_folders() -> tuple[Path, ...]:
    """Return the folders that were named with --data."""
    return _folders


def with_data(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command that takes --data as well, if it reads a scenario."""
    signature = inspect.signature(command, eval_str=True)
    if not ({"scenario", "scenarios"} & set(signature.parameters) or command.__name__ == "weather"):
        return command

    @wraps(command)
    def taking(*given: object, data: list[Path] | None = None, **named: object) -> None:
        global _folders
        _folders = tuple(data or ())
        for folder in _folders:
            if not folder.is_dir():
                stop(f"--data: there is no folder {folder}; name one that holds data files")
        command(*given, **named)

    option = inspect.Parameter("data", inspect.Parameter.KEYWORD_ONLY, default=None, annotation=_DATA)
    wrapper: Any = taking
    wrapper.__signature__ = signature.replace(parameters=[*signature.parameters.values(), option])
    wrapper.__annotations__ = {**command.__annotations__, "data": _DATA}
    return taking
