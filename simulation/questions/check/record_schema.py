"""How is the JSON of every command made up? What all records share, and what the folder of each question says of its own."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

#: Of a question's folder, and of the room `present` for what all records share.
PART = "record.schema.json"
_QUESTIONS = Path(__file__).parents[1]
_SHARED = _QUESTIONS.parent / "present" / PART


def record_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of every record; it says what a reader may rely on.

    A question that has an `answer.py` prints records. Its own `record.schema.json`, where it has one, says what stands under
    ``"answer"`` beside what stands there for every question; its ``"$defs"`` may be used by others too.

    Raises
    ------
    ValueError
        If two parts define one name.
    """
    schema = _read(_SHARED)
    questions = sorted(file.parent.name for file in _QUESTIONS.glob("*/answer.py"))
    parts = {name: _read(_QUESTIONS / name / PART) for name in questions if (_QUESTIONS / name / PART).exists()}
    schema["properties"]["question"]["enum"] = questions
    schema["allOf"] = [
        {"if": {"properties": {"question": {"const": name}}}, "then": {"properties": {"answer": {"$ref": f"#/$defs/{name}"}}}}
        for name in parts
    ]
    definitions = schema["$defs"]
    for name, part in parts.items():
        own = {**part.pop("$defs", {}), name: part}
        if twice := definitions.keys() & own.keys():
            raise ValueError(f"{name}/{PART} defines again: {', '.join(sorted(twice))}")
        definitions.update(own)
    return schema


def _read(file: Path) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return content
