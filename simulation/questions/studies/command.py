"""`keystrip studies` and `keystrip repeat`: which runs a folder keeps, and whether they come out again the same."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session as talk


def studies(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder that a forecast was written to.", show_default=False)],
    as_json: talk.JSON = False,
) -> None:
    """List the studies whose runs a folder keeps."""
    from simulation.present.record import study_record
    from simulation.questions.studies.tables import print_studies
    from simulation.replicate import Store

    with talk.refusals(), Store(folder, reading=True) as store:
        found = store.manifests()
    talk.show(as_json, lambda: [study_record(one) for one in found], lambda console: print_studies(folder, found, console))


def repeat(
    study: Annotated[
        str,
        typer.Argument(
            metavar="STUDY", help="DIR/NUMBER, or DIR for the last study of the scenario as written.", show_default=False
        ),
    ],
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    as_json: talk.JSON = False,
) -> None:
    """Do a study again from what is kept of it, and say whether it agrees to the bit; nothing is changed."""
    from simulation.questions.studies.tables import print_repetition, repetition_record
    from simulation.replicate.repeating import find_study
    from simulation.replicate.repeating import repeat as repeat_study

    with talk.refusals(), talk.mistakes_of(study), talk.progress() as advance:
        found = repeat_study(*find_study(study), workers, cluster, advance)
    talk.show(as_json, lambda: repetition_record(found), lambda console: print_repetition(found, console))
    if not found.agrees and not found.agrees_across_processors:
        raise typer.Exit(talk.DISAGREES)
    if found.runs < found.manifest.runs:
        raise typer.Exit(talk.STOPPED if found.runs else talk.NOTHING_KEPT)
