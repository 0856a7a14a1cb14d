"""The answer to which studies a folder keeps, and what can be done with one."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from textwrap import wrap

from simulation.present.answer import Answer, Page, Part, Table
from simulation.present.renderers.record import study_record
from simulation.present.words import wording
from simulation.replicate.identity import program_hash, versions
from simulation.replicate.manifest import Manifest

#: A number with a decimal point, or a factor such as x1.2; no seconds of a time and no part of a name.
_NUMBER = re.compile(r"(?:(?<![\w:.])|(?<=\bx))\d+\.\d+(?:e[+-]?\d+)?(?![\w.])")
#: How what all studies have in common is said.
_IN_COMMON = {"seed": "seed {}", "levels": "job-wide values {}", "program": "by {} program"}
#: Letters of the table, between two of its columns, and the fewest that the first one has.
_WIDTH, _BETWEEN, _FEWEST = 80, 3, 24


def studies_answer(folder: Path, studies: Sequence[Manifest]) -> Answer:
    """Return the answer to which studies a folder keeps."""
    of_runs = [study for study in studies if not study.work]
    last = max(of_runs, key=lambda study: (not study.changes, study.last, study.number), default=None)
    return Answer(
        question="studies",
        title="No scenario" if last is None else last.title,
        about=f"what {folder} keeps",
        headline=_headline(folder, studies),
        lines=() if last is None else _lines(folder, last),
        pages=(Page("studies", "What is kept", _parts(studies)),),
        record={"folder": str(folder), "studies": [study_record(study, whole=True) for study in studies]},
        cautions=(),
    )


def _headline(folder: Path, studies: Sequence[Manifest]) -> str:
    counted = wording.counted(len(studies), "study", "studies")
    return f"{folder} keeps {counted} with {wording.counted(sum(study.runs for study in studies), 'run')}."


def _lines(folder: Path, last: Manifest) -> tuple[str, ...]:
    return (
        "A forecast goes on with the study of the same scenario, seed and job-wide values by this program; the others stay as "
        "they are. This does a study again and says whether it agrees to the bit:",
        f"keystrip repeat {shlex.quote(f'{folder}/{last.number}')}",
    )


def _parts(studies: Sequence[Manifest]) -> tuple[Part, ...]:
    if not studies:
        return ()
    said = {
        "seed": [str(study.identity.seed) for study in studies],
        "levels": [study.identity.sampling for study in studies],
        "program": ["this" if _is_by_this_program(study) else "another" for study in studies],
    }
    # What all studies have in common is said once, which leaves room for what they differ in.
    common = {name: values[0] for name, values in said.items() if len(studies) > 1 and len(set(values)) == 1}
    columns = {
        "study": [str(study.number) for study in studies],
        "runs": [wording.number(study.runs) for study in studies],
        "last run, UTC": [_minute(study.last) for study in studies],
        **{name: values for name, values in said.items() if name not in common},
    }
    taken = sum(_BETWEEN + max(map(len, [name, *values])) for name, values in columns.items())
    width = max(_FEWEST, _WIDTH - taken)
    rows = tuple((_name(study, width), *cells) for study, *cells in zip(studies, *columns.values(), strict=True))
    notes = (f"All of them: {', '.join(_IN_COMMON[name].format(value) for name, value in common.items())}.",) if common else ()
    return (Part("Studies", (Table("Studies", ("scenario", *columns), rows, notes=notes),), short=True),)


def _name(study: Manifest, width: int) -> str:
    """Return what a study is of in lines of a width: its title, or what was changed, a change whole on its line where it fits."""
    if study.work:
        return f"{study.title} {study.work}"
    if not study.changes:
        return study.title
    lines = ["with"]
    for index, change in enumerate(study.changes, start=1):
        words = _shorten(*change) + ("," if index < len(study.changes) else "")
        # Text in quotes, such as a number and its unit, is no place to break a line; the beginning of a table is.
        words = re.sub(r'"[^"]*"', lambda quoted: quoted[0].replace(" ", "\N{NO-BREAK SPACE}"), words)
        if len(words) > width - len("with "):
            words = words.replace("={", "={ ")
        if len(lines[-1]) + 1 + len(words) <= width or lines == ["with"]:
            lines[-1] += f" {words}"
        else:
            lines.append(f"  {words}")
    parts = [part for line in lines for part in wrap(line, width, subsequent_indent="    ", break_on_hyphens=False)]
    return "\n".join(parts).replace("\N{NO-BREAK SPACE}", " ")


def _shorten(key: str, text: str) -> str:
    """Return a change in few letters: equal crews as they are asked for, numbers to four digits."""
    people = re.findall(r"people = (\d+)", text)
    if key == "crew" and people and len(set(people)) == 1:
        return f"{len(people)}x{people[0]}"
    close = re.sub(r"([{\[]) | ([}\]])| (=) ", r"\1\2\3", text)
    return f"{key}={_NUMBER.sub(lambda number: _round(number[0]), close)}"


def _round(text: str) -> str:
    """Return a number to four digits, and as many before the point as it has."""
    value = float(text)
    return f"{value:.4g}" if value < 1e4 else f"{value:.0f}"


def _is_by_this_program(study: Manifest) -> bool:
    return study.identity.program == program_hash() and study.identity.versions == versions()


def _minute(text: str) -> str:
    return f"{datetime.fromisoformat(text):%Y-%m-%d %H:%M}" if text else "-"
