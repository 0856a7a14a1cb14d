"""Which runs does a folder keep, and did one come out again the same?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from simulation.replicate.identity import program_hash, versions
from simulation.replicate.manifest import Manifest
from simulation.report import wording
from simulation.report.sections import table_of

if TYPE_CHECKING:
    from pathlib import Path

    from rich.console import Console

    from simulation.replicate.repeating import Repetition


#: A number with more digits than a person reads.
_LONG_NUMBER = re.compile(r"\d+\.\d{4,}(?:e[+-]?\d+)?")


def print_runs(folder: Path, runs: Sequence[Manifest], console: Console) -> None:
    """Print a line for each run of a folder, and what can be done with one."""
    told = {
        "seed": [str(one.identity.seed) for one in runs],
        "levels": [one.identity.sampling for one in runs],
        "program": ["this" if _same_program(one) else "another" for one in runs],
    }
    # What all runs have in common is said once, which leaves room for what they differ in.
    alike = {name: values[0] for name, values in told.items() if len(runs) > 1 and len(set(values)) == 1}
    apart = [name for name in told if name not in alike]
    table = table_of("scenario", "run", "builds", "last build, UTC", *apart)
    table.columns[0].overflow = "fold"
    for place, one in enumerate(runs):
        changes = ", ".join(_short(*change) for change in one.changes)
        name = f"with {changes}" if changes else one.title
        more = (told[column][place] for column in apart)
        table.add_row(name, str(one.number), wording.number(one.builds), _moment(one.last), *more)
    console.print(f"{wording.counted(len(runs), 'run')} in {folder}", style="bold")
    if alike:
        console.print(f"All of them: {', '.join(_ALIKE[name].format(value) for name, value in alike.items())}.")
    if runs:
        console.print(table)
        last = max(runs, key=lambda one: (not one.changes, one.last, one.number))
        console.print(
            "A forecast goes on with the run of its scenario, seed and levels by this program; another's stay as they are."
        )
        console.print(f"keystrip repeat {folder}/{last.number} does that one again and says whether it agrees to the bit.")


def run_record(one: Manifest) -> dict[str, Any]:
    """Return what is known of a run, ready for `json.dumps`."""
    identity = one.identity
    return {
        "run": one.number,
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
        "builds": one.builds,
        "began": one.began,
        "last_build": one.last or None,
        "worker_seconds": one.seconds,
    }


_ALIKE = {"seed": "seed {}", "levels": "levels {}", "program": "by {} program"}


def _short(where: str, text: str) -> str:
    """Return a change in few letters: equal crews as they are asked for, numbers to four digits."""
    people = re.findall(r"people = (\d+)", text)
    if where == "crew" and people and len(set(people)) == 1:
        return f"{len(people)}x{people[0]}"
    return f"{where}={_LONG_NUMBER.sub(lambda found: f'{float(found[0]):.4g}', text)}"


def print_repetition(found: Repetition, console: Console) -> None:
    """Print whether a run came out the same, and what has changed since if it did not."""
    kept = found.manifest
    console.print(f"{kept.title}, run {kept.number}, seed {kept.identity.seed}: {_verdict(found)}")
    if found.builds < kept.builds:
        console.print(f"Stopped early: {wording.number(found.builds)} of {wording.counted(kept.builds, 'build')} done again.")
    if found.changed:
        console.print(f"Not as it was when the run was made: {', '.join(found.changed)}.")


def _verdict(found: Repetition) -> str:
    if not found.builds:
        return "no build was done again."
    builds = wording.counted(found.builds, "build")
    if found.agrees:
        return f"{builds} done again, all the same to the bit."
    share = f"{wording.number(len(found.differing))} of {builds} done again differ, by at most {found.largest:.1e} of a number"
    if found.agrees_across_processors:
        return f"{share}: no more than another processor accounts for."
    return f"{share}; the first is replication {found.differing[0]}."


def _same_program(one: Manifest) -> bool:
    return one.identity.program == program_hash() and one.identity.versions == versions()


def _moment(text: str) -> str:
    return f"{datetime.fromisoformat(text):%Y-%m-%d %H:%M}" if text else "-"
