"""The answer to whether a study comes out again the same."""

from __future__ import annotations

from typing import Any

from simulation.present.answer import Answer
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.replicate.repeating import Repetition


def repeat_answer(result: Repetition) -> Answer:
    """Return the answer; its lines say what has changed since the study was made."""
    kept = result.manifest
    stopped = ""
    if result.runs < kept.runs:
        stopped = f"Stopped early: {wording.number(result.runs)} of {wording.counted(kept.runs, 'run')} done again."
    return Answer(
        question="repeat",
        title=kept.title,
        about=f"study {kept.number}, seed {kept.identity.seed}, done again",
        headline=_verdict(result),
        lines=(f"Not as it was when the study was made: {', '.join(result.changed)}.",) if result.changed else (),
        warnings=(stopped,) if stopped else (),
        record=_record(result),
        study=study_record(kept, whole=True),
        stopped=stopped,
        cautions=(),
    )


def _record(result: Repetition) -> dict[str, Any]:
    return {
        "runs_done_again": result.runs,
        "agrees": result.agrees if result.runs else None,
        "agrees_across_processors": result.agrees_across_processors if result.runs else None,
        "differing_run_count": len(result.differing),
        "differing_runs": list(result.differing),
        "largest_relative_difference": result.largest,
        "changed": list(result.changed),
    }


def _verdict(result: Repetition) -> str:
    if not result.runs:
        return "No run was done again."
    runs = wording.counted(result.runs, "run")
    if result.agrees:
        return f"{runs} done again, all the same to the bit."
    share = f"{wording.number(len(result.differing))} of {runs} done again differ, by at most {result.largest:.1e} of a number"
    if result.agrees_across_processors:
        return f"{share}: no more than another processor accounts for."
    return f"{share}; the first is run {result.differing[0]}."
