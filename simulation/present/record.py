"""An answer as one JSON object."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.replicate.manifest import Manifest


def as_json(record: object) -> str:
    """Return a record as JSON text; a number that JSON does not know is refused rather than written."""
    return json.dumps(record, indent=2, allow_nan=False)


def study_record(one: Manifest) -> dict[str, Any]:
    """Return what is known of a study, ready for `json.dumps`."""
    identity = one.identity
    return {
        "study": one.number,
        "scenario": one.title,
        "file": one.file,
        "text": one.text,
        "data": dict(one.data),
        "changes": [f"{where}={text}" for where, text in one.changes],
        "scenario_sha256": identity.scenario,
        "seed": identity.seed,
        "sampling": identity.sampling,
        "keystrip": one.release,
        "program_sha256": identity.program,
        "versions": identity.versions,
        "processor": one.processor,
        "runs": one.runs,
        "began": one.began,
        "last_run": one.last or None,
        "worker_seconds": one.seconds,
    }
