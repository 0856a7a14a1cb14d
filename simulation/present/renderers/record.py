"""An answer as one JSON object, and as the files that it leaves in a folder."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from simulation.present.answer import Answer
from simulation.present.file_names import FORMS
from simulation.present.own_files import copy_same, write_whole
from simulation.present.pictures.drawing import draw_pictures
from simulation.present.pictures.drawn_before import drawn_from, text_from
from simulation.replicate.manifest import Manifest

#: Of the record; a change that breaks a reader of it raises it.
SCHEMA = 1


def as_json(record: object) -> str:
    """Return a record as JSON text; a number that JSON does not know is refused rather than written."""
    return json.dumps(record, indent=2, allow_nan=False)


def answer_record(answer: Answer) -> dict[str, Any]:
    """Return an answer as one object, ready for `json.dumps`; `keystrip check --schema` prints how it is made up."""
    return {
        "schema": SCHEMA,
        "question": answer.question,
        "scenario": answer.title,
        "study": dict(answer.study),
        "answer": {
            "headline": answer.headline,
            "lines": list(answer.lines),
            "warnings": list(answer.warnings),
            **_known(answer.record),
            "stopped": answer.stopped or None,
            "cautions": list(answer.cautions),
        },
    }


def _known(value: Any) -> Any:
    """Return a record with null for each infinite number: what lies after the last day simulated is not known."""
    match value:
        case Mapping():
            return {key: _known(part) for key, part in value.items()}
        case list() | tuple():
            return [_known(part) for part in value]
        case float():
            return None if math.isinf(value) else value
        case _:
            return value


def study_record(manifest: Manifest, whole: bool = False) -> dict[str, Any]:
    """Return what is known of a study, ready for `json.dumps`; of its data files the SHA-256, or the columns used as a whole."""
    identity = manifest.identity
    data = {name: text if whole else hashlib.sha256(text.encode()).hexdigest() for name, text in dict(manifest.data).items()}
    return {
        "study": manifest.number,
        "scenario": manifest.title,
        "file": manifest.file,
        "text": manifest.text,
        "data": data,
        "changes": [f"{where}={text}" for where, text in manifest.changes],
        "scenario_sha256": identity.scenario,
        "seed": identity.seed,
        "sampling": identity.sampling,
        "keystrip": manifest.release,
        "program_sha256": identity.program,
        "versions": identity.versions,
        "processor": manifest.processor,
        "runs": manifest.runs,
        "began": manifest.began,
        "last_run": manifest.last or None,
        "worker_seconds": manifest.seconds,
        **({"work": manifest.work} if manifest.work else {}),
    }


def write_answer(
    answer: Answer, folder: Path, text: Callable[[Answer], str], force: bool = False, forms: Sequence[str] = FORMS
) -> list[Path]:
    """Write the record, the whole text, the tables and the pictures of an answer into a folder, and return their paths.

    A picture or a text that stands there already, made from the same by the same program, is not made again.

    Parameters
    ----------
    answer : Answer
    folder : Path
        Made where it is missing.
    text : callable
        Returns the whole of an answer as plain text.
    force : bool
        Whether files that are not the command's own are replaced.
    forms : sequence of str
        What pictures are written as, of `FORMS`.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    stem = answer.stem or answer.question
    whole_text = {f"{stem}.txt": text_from(answer)}
    origins = {
        figure.name: dict.fromkeys([f"{figure.name}.{form}" for form in forms], drawn_from(figure)) for figure in answer.figures
    }

    def write(draft: Path) -> list[Path]:
        contents: dict[str, str] = {f"{stem}.json": as_json(answer_record(answer)) + "\n", **answer.sheets}
        same_text = copy_same(folder, draft, whole_text)
        for name, content in (contents if same_text else {**contents, f"{stem}.txt": text(answer)}).items():
            (draft / name).write_text(content, encoding="utf-8")
        same = {figure.name: copy_same(folder, draft, origins[figure.name]) for figure in answer.figures}
        drawn = draw_pictures([figure for figure in answer.figures if not same[figure.name]], draft, forms)
        pictures = (file for figure in answer.figures for file in same[figure.name] or drawn[figure.name])
        return [*(draft / name for name in (f"{stem}.json", f"{stem}.txt", *answer.sheets)), *pictures]

    made_from = {name: word for words in (whole_text, *origins.values()) for name, word in words.items()}
    return write_whole(folder, write, answer.question, force, made_from)
