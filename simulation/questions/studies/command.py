"""`keystrip runs` and `keystrip repeat`: which builds a folder keeps, and whether they come out again the same."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session as talk


def runs(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder that a forecast was written to.", show_default=False)],
    as_json: talk.JSON = False,
) -> None:
    """List the runs whose builds a folder keeps."""
    from simulation.questions.studies.tables import print_runs, run_record
    from simulation.replicate import Store

    with talk.refusals(), Store(folder, reading=True) as store:
        found = store.manifests()
    talk.show(as_json, lambda: [run_record(one) for one in found], lambda console: print_runs(folder, found, console))


def repeat(
    run: Annotated[
        str,
        typer.Argument(metavar="RUN", help="DIR/NUMBER, or DIR for the last run of the scenario as written.", show_default=False),
    ],
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    as_json: talk.JSON = False,
) -> None:
    """Do a run again from what is kept of it, and say whether it agrees to the bit; nothing is changed."""
    from simulation.questions.studies.tables import print_repetition, repetition_record
    from simulation.replicate.repeating import find_run
    from simulation.replicate.repeating import repeat as repeat_run

    with talk.refusals(), talk.mistakes_of(run), talk.progress() as advance:
        found = repeat_run(*find_run(run), workers, cluster, advance)
    talk.show(as_json, lambda: repetition_record(found), lambda console: print_repetition(found, console))
    if not found.agrees and not found.agrees_across_processors:
        raise typer.Exit(talk.DISAGREES)
    if found.builds < found.manifest.builds:
        raise typer.Exit(talk.STOPPED if found.builds else talk.NOTHING_KEPT)
