"""`keystrip studies`: which studies a folder keeps."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session
from simulation.session.asking import Reading
from simulation.session.options import JSON


def studies(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder that a forecast was written to.")],
    as_json: JSON = False,
) -> None:
    """List the studies whose runs a folder keeps."""
    from simulation.questions.studies.answer import studies_answer
    from simulation.replicate import Store

    with session.refusals(), Store(folder, reading=True) as store:
        manifests = store.manifests()
    Reading(full=True, as_json=as_json).show(studies_answer(folder, manifests))
