"""`keystrip log`: an empty site log to be filled in, and whether a kept one is sound."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session
from simulation.session.lines import stop, tell
from simulation.session.options import AT, UNITS

#: What may be asked of a log.
_WHAT = ("new", "check")


def log(
    what: Annotated[
        str, typer.Argument(metavar="new|check", help="Write an empty log, or say whether one is sound.")
    ],
    scenario: Annotated[str, typer.Argument(metavar="SCENARIO", help="The scenario whose job it is.")],
    file: Annotated[
        Path | None, typer.Argument(metavar="LOG", help="The log. Default: SCENARIO_log.csv.")
    ] = None,
    at: AT = None,
    units: UNITS = None,
) -> None:  # fmt: skip
    """Write an empty log of the shifts for a foreman to fill in, or name every mistake in one.

    A log is a table saved as CSV, one line for each shift and crew: date, shift, crew, people, area, side, rows laid (or station
    reached), hours worked and lost, pallets received, mats rejected, forklifts in order. Columns may be left out; what follows
    from that is said. keystrip update reads it.
    """
    from simulation.scenario.types.mistakes import did_you_mean, shown
    from simulation.study.job import refuse_take_up

    if what not in _WHAT:
        stop(f"{shown(what)} is not asked of a log; {did_you_mean(what, _WHAT)}")
    name, loaded = session.load(scenario, units)
    with session.mistakes_of(name):
        refuse_take_up(loaded, "a log is kept of laying")
    path = file or Path(f"{Path(name).stem}_log.csv")
    if what == "check":
        from simulation.questions.log.soundness import check_log

        with session.mistakes_of(name):
            lines = check_log(session.begin_by_log(loaded, path, at))
        for line in lines:
            tell(f"{path}: {line}")
        return
    from simulation.present.own_files import write_new
    from simulation.questions.log.empty_log import DAYS, empty_log

    try:
        write_new(path, empty_log(loaded))
    except FileExistsError:
        stop(f"{path}: exists already and is not overwritten; name another file")
    except OSError as error:
        stop(f"{path}: cannot be written: {error.strerror or error}; name a file in a folder that exists")
    tell(f"{path}: written, with lines for the first {DAYS} days; a line in which nothing is counted says nothing")
    tell(f"keystrip log check {name} {path} says whether it is sound; keystrip update {name} --log {path} reads it")
