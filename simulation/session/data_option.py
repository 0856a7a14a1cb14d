"""The options --data and --outlook of every command that reads a scenario: files beside those that it names itself."""

from __future__ import annotations

import inspect
import json
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from simulation.session.lines import stop

if TYPE_CHECKING:
    from simulation.scenario.types.change import Change

_DATA = Annotated[
    list[Path] | None,
    typer.Option("--data", metavar="DIR", help="A folder of data files beside the scenario's own."),
]

_OUTLOOK = Annotated[
    Path | None,
    typer.Option("--outlook", metavar="FILE.csv", help="The next days as a forecaster gives them: see weather.outlook."),
]

_folders: tuple[Path, ...] = ()
_outlook: Path | None = None


def data_folders() -> tuple[Path, ...]:
    """Return the folders that were named with --data, and that of the outlook."""
    return _folders if _outlook is None else (*_folders, _outlook.resolve().parent)


def outlook_changes(scenario: Path) -> tuple[Change, ...]:
    """Return the change by which a scenario in a file has the outlook that was named with --outlook, or end."""
    if _outlook is None:
        return ()
    from simulation.scenario.types.change import Change

    beside = scenario.parent / _outlook.name
    if beside.exists() and beside.resolve() != _outlook.resolve():
        stop(f"--outlook: another file of that name lies beside {scenario}; give {_outlook} a name of its own")
    return (Change("weather.outlook.file", json.dumps(_outlook.name)),)


def with_data(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command that takes --data and --outlook as well, if it reads a scenario."""
    signature = inspect.signature(command, eval_str=True)
    if not ({"scenario", "scenarios"} & set(signature.parameters) or command.__name__ in ("weather", "rates")):
        return command

    @wraps(command)
    def taking(*given: object, data: list[Path] | None = None, outlook: Path | None = None, **named: object) -> None:
        global _folders, _outlook
        _folders, _outlook = tuple(data or ()), outlook
        if outlook is not None and not outlook.is_file():
            stop(
                f"--outlook: there is no file {outlook}; name one of the next days, a line each: date,chance_of_rain_pct,wind_mps"
            )
        for folder in _folders:
            if not folder.is_dir():
                stop(f"--data: there is no folder {folder}; name one that holds data files")
        command(*given, **named)

    kinds = {"data": _DATA, **({"outlook": _OUTLOOK} if command.__name__ not in ("weather", "takeoff", "rates") else {})}
    options = [
        inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=None, annotation=kind) for name, kind in kinds.items()
    ]
    wrapper: Any = taking
    wrapper.__signature__ = signature.replace(parameters=[*signature.parameters.values(), *options])
    wrapper.__annotations__ = {**command.__annotations__, **kinds}
    return taking
