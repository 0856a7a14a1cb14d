"""`keystrip new`: a scenario to start from."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session.lines import stop, tell


def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.", show_default=False)],
    like: Annotated[
        str, typer.Option("--like", metavar="NAME", help="The shipped scenario to start from.")
    ] = "relief_strip",
) -> None:  # fmt: skip
    """Write a commented scenario to start from, with every key there is; no file is overwritten."""
    from simulation.present.own_files import write_new
    from simulation.scenario import shipped, shipped_names
    from simulation.scenario.reading.every_default import every_default
    from simulation.scenario.types.mistakes import did_you_mean, shown

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
