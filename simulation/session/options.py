"""The arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

#: Processes that one machine may be asked for: none has so many cores.
MOST_WORKERS = 512

SCENARIO = Annotated[
    str | None,
    typer.Argument(metavar="SCENARIO", help="A scenario file. Default: the shipped relief strip."),
]
JSON = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
SEED = Annotated[
    int | None,
    typer.Option("--seed", min=0, max=2**63 - 1, metavar="S", help="Number that draws start from. Default: the scenario's own."),
]
UNITS = Annotated[
    str | None,
    typer.Option("--units", metavar="WHICH", help="feet or metric. Default: the scenario's. JSON keeps its own."),
]
WORKERS = Annotated[
    int | None,
    typer.Option(
        "--workers", min=1, max=MOST_WORKERS, metavar="W", help="Processes at work at once. Default: one for each core."
    ),
]
DEADLINE = Annotated[
    str | None,
    typer.Option("--deadline", metavar="D", help='"9 day", 2031-04-11 (its end) or 2031-04-11T18:00.'),
]
LOG = Annotated[
    Path | None,
    typer.Option("--log", metavar="LOG", help="Site log (CSV) of work that has begun: start from where it says."),
]
AT = Annotated[
    str | None,
    typer.Option("--at", metavar="MOMENT", help="Read the log up to here, such as 2031-04-05T18:00. Default: its end."),
]
OUT = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Folder of runs and report. Default: reports/SCENARIO."),
]
REPORT_OUT = Annotated[Path | None, typer.Option("--out", metavar="DIR", help="Folder of the report. Default: reports/NAME.")]
FORCE = Annotated[bool, typer.Option("--force", help="Replace a file even if this program did not write it.")]
CLUSTER = Annotated[
    str | None,
    typer.Option("--cluster", metavar="ADDRESS", help="Scheduler of a cluster, tcp://HOST:PORT."),
]
SVG = Annotated[bool, typer.Option("--svg", help="Write pictures as SVG, sharp at any size. Default: PNG.")]
FULL = Annotated[bool, typer.Option("--full", help="Print all tables.")]
