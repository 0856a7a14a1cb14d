"""`keystrip new`: a scenario to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.questions.new.task_catalogue import CATALOGUE
from simulation.session.lines import put, stop, tell


def new(
    file: Annotated[Path | None, typer.Argument(metavar="FILE", help="Where to write it.")] = None,
    like: Annotated[
        str, typer.Option("--like", metavar="NAME", help="The shipped scenario to start from.")
    ] = "relief_strip",
    tasks: Annotated[bool, typer.Option("--tasks", help="Print tasks to choose from instead, with their origin.")] = False,
) -> None:  # fmt: skip
    """Write a commented scenario to start from, with every key there is; no file is overwritten."""
    from simulation.present.own_files import write_new
    from simulation.scenario import shipped, shipped_names
    from simulation.scenario.reading.every_default import every_default
    from simulation.scenario.types.mistakes import did_you_mean, shown

    if tasks:
        if file is not None:
            stop(f"--tasks prints tasks and writes no file; leave {file} out, or --tasks")
        put(CATALOGUE)
        return
    if file is None:
        stop("FILE is missing; name the file to write, such as keystrip new my.toml")
    if like not in shipped_names():
        stop(f"--like: there is no shipped scenario {shown(like)}; {did_you_mean(like, shipped_names())}")
    text = shipped(like).read_text(encoding="utf-8")
    try:
        write_new(file, f"{text.rstrip()}\n\n{every_default()}")
    except FileExistsError:
        stop(f"{file}: exists already and is not overwritten; name another file")
    except OSError as error:
        stop(f"{file}: cannot be written: {error.strerror or error}; name a file in a folder that exists")
    tell(f"{file}: written; keystrip check {file} says whether it is sound")
