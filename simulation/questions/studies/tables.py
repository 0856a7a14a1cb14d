"""Which studies does a folder keep, and did one come out again the same?"""

from __future__ import annotations

import math
import re
import shlex
from collections.abc import Sequence
from datetime import datetime
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.record import study_record
from simulation.present.terminal_table import new_table, print_table
from simulation.replicate.identity import program_hash, versions
from simulation.replicate.manifest import Manifest

if TYPE_CHECKING:
    from pathlib import Path

    from rich.console import Console

    from simulation.replicate.repeating import Repetition


#: A number with a decimal point, or a factor such as x1.2; no seconds of a time and no part of a name.
_NUMBER = re.compile(r"(?:(?<![\w:.])|(?<=\bx))\d+\.\d+(?:e[+-]?\d+)?(?![\w.])")
#: How what all studies have in common is said.
_ALIKE = {"seed": "seed {}", "levels": "levels {}", "program": "by {} program"}
#: Letters between two columns of a table, and the fewest that the first one has.
_BETWEEN, _FEWEST = 3, 24


def print_studies(folder: Path, studies: Sequence[Manifest], console: Console) -> None:
    """Print a line for each study of a folder, and what can be done with one."""
    told = {
        "seed": [str(one.identity.seed) for one in studies],
        "levels": [one.identity.sampling for one in studies],
        "program": ["this" if _same_program(one) else "another" for one in studies],
    }
    # What all studies have in common is said once, which leaves room for what they differ in.
    alike = {name: values[0] for name, values in told.items() if len(studies) > 1 and len(set(values)) == 1}
    columns = {
        "study": [str(one.number) for one in studies],
        "runs": [wording.number(one.runs) for one in studies],
        "last run, UTC": [_moment(one.last) for one in studies],
        **{name: values for name, values in told.items() if name not in alike},
    }
    taken = sum(_BETWEEN + max(map(len, [name, *values])) for name, values in columns.items())
    width = max(_FEWEST, console.width - taken)
    table = new_table("scenario", *columns)
    for one, *cells in zip(studies, *columns.values(), strict=True):
        table.add_row(_name(one, width), *cells)
    console.print(f"{wording.counted(len(studies), 'study', 'studies')} in {folder}", style="bold")
    if alike:
        console.print(f"All of them: {', '.join(_ALIKE[name].format(value) for name, value in alike.items())}.")
    if studies:
        print_table(console, table)
        last = max(studies, key=lambda one: (not one.changes, one.last, one.number))
        console.print(
            "A forecast goes on with the study of its scenario, seed and levels by this program; another's stay as they are."
        )
        # A command that is broken into two lines cannot be copied.
        console.print(f"keystrip repeat {shlex.quote(f'{folder}/{last.number}')}", soft_wrap=True)
        console.print("does that one again and says whether it agrees to the bit.")


def _name(one: Manifest, width: int) -> str:
    """Return what a study is of in lines of a width: its title, or what was changed, a change whole on its line where it fits."""
    if not one.changes:
        return one.title
    lines = ["with"]
    for place, change in enumerate(one.changes, start=1):
        words = _short(*change) + ("," if place < len(one.changes) else "")
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


def _short(where: str, text: str) -> str:
    """Return a change in few letters: equal crews as they are asked for, numbers to four digits."""
    people = re.findall(r"people = (\d+)", text)
    if where == "crew" and people and len(set(people)) == 1:
        return f"{len(people)}x{people[0]}"
    close = re.sub(r"([{\[]) | ([}\]])| (=) ", r"\1\2\3", text)
    return f"{where}={_NUMBER.sub(lambda found: _four_digits(found[0]), close)}"


def _four_digits(text: str) -> str:
    """Return a number to four digits, and as many before the point as it has."""
    value = float(text)
    return f"{value:.4g}" if value < 1e4 else f"{value:.0f}"


def print_repetition(found: Repetition, console: Console) -> None:
    """Print whether a study came out the same, and what has changed since if it did not."""
    kept = found.manifest
    console.print(f"{kept.title}, study {kept.number}, seed {kept.identity.seed}: {_verdict(found)}")
    if found.runs < kept.runs:
        console.print(f"Stopped early: {wording.number(found.runs)} of {wording.counted(kept.runs, 'run')} done again.")
    if found.changed:
        console.print(f"Not as it was when the study was made: {', '.join(found.changed)}.")


def repetition_record(found: Repetition) -> dict[str, Any]:
    """Return whether a study came out the same, ready for `json.dumps`."""
    return {
        "study": study_record(found.manifest),
        "runs_done_again": found.runs,
        "agrees": found.agrees if found.runs else None,
        "agrees_across_processors": found.agrees_across_processors if found.runs else None,
        "differing_run_count": list(found.differing),
        "largest_relative_difference": found.largest if math.isfinite(found.largest) else None,
        "changed": list(found.changed),
    }


def _verdict(found: Repetition) -> str:
    if not found.runs:
        return "no run was done again."
    runs = wording.counted(found.runs, "run")
    if found.agrees:
        return f"{runs} done again, all the same to the bit."
    share = f"{wording.number(len(found.differing))} of {runs} done again differ, by at most {found.largest:.1e} of a number"
    if found.agrees_across_processors:
        return f"{share}: no more than another processor accounts for."
    return f"{share}; the first is run {found.differing[0]}."


def _same_program(one: Manifest) -> bool:
    return one.identity.program == program_hash() and one.identity.versions == versions()


def _moment(text: str) -> str:
    return f"{datetime.fromisoformat(text):%Y-%m-%d %H:%M}" if text else "-"
