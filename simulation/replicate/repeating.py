"""Does a stored study come out again? Its scenario is read from the store, its runs are done once more and compared."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from simulation.construction import columns, compile_plan
from simulation.replicate.batches import Batches, Wanted
from simulation.replicate.identity import Identity, processor
from simulation.replicate.in_turn import heed
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import FILE, Store, StoreError
from simulation.replicate.worker import Order

#: Largest relative difference that the last bits of two processors' exp and log may come to.
ALLOWED = 1e-9


@dataclass(frozen=True)
class Repetition:
    """A study that was done again.

    Attributes
    ----------
    manifest : Manifest
        Of the stored study.
    runs : int
        Done again; fewer than stored after an interrupt.
    differing : tuple of int
        Runs whose records are not the same to the bit.
    largest : float
        Largest relative difference of two numbers; infinite where one of them is infinite or unknown.
    changed : tuple of str
        What is not as it was when the study was made: the program, a library, the processor.
    """

    manifest: Manifest
    runs: int
    differing: tuple[int, ...]
    largest: float
    changed: tuple[str, ...]

    @property
    def agrees(self) -> bool:
        """Whether every record is the same to the bit."""
        return not self.differing

    @property
    def agrees_across_processors(self) -> bool:
        """Whether the records differ by no more than another processor accounts for."""
        return "processor" in self.changed and self.largest <= ALLOWED


def find_study(where: str) -> tuple[Path, int | None]:
    """Return the folder and the number of a study: ``reports/strip/2``; without a number, see `repeat`.

    Raises
    ------
    StoreError
        If there is no store.
    """
    path = Path(where)
    if (path / FILE).exists():
        return path, None
    if path.name.isdecimal() and (path.parent / FILE).exists():
        return path.parent, int(path.name)
    raise StoreError(
        f"{where}: there is no study; name a folder that holds {FILE}, or such a folder and a study's number: folder/1"
    )


def repeat(
    folder: Path,
    number: int | None = None,
    workers: int | None = None,
    cluster: str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Repetition:
    """Do a stored study again and compare; the store is left as it is.

    Parameters
    ----------
    folder : Path
    number : int, optional
        Of the study. Default: the one stored last of the scenario as written, or, if there is none, of its variations.
    workers, cluster, progress
        As in `Workshop` and `Runs`.

    Raises
    ------
    StoreError
        If the store cannot be read, or as for `read_manifest`.
    ScenarioError
        If this program does not take the stored scenario any more.
    ClusterError
        If the cluster cannot be used.
    """
    with Store(folder, reading=True) as store:
        kept = read_manifest(store, folder, number, "repeat it")
        scenario = kept.scenario()
        identity = Identity.of(scenario, kept.identity.seed, kept.identity.sampling)
        plan = replace(compile_plan(scenario), seed=kept.identity.seed, sampling=kept.identity.sampling)
        now = columns(plan)
        stored = [index for index, name in enumerate(kept.columns) if name in now]
        again = [now.index(kept.columns[index]) for index in stored]
        differing: list[int] = []
        largest, done = 0.0, 0
        with Batches(workers, cluster) as batches:
            try:
                for _, batch in batches.do([Wanted(Order.of(plan), store.numbers(kept.number))]):
                    first, last = min(batch.numbers), max(batch.numbers)
                    known = dict(store.records(kept.number, first, last + 1))
                    for run_number, record in zip(batch.numbers, batch.records, strict=True):
                        if record != known[run_number]:
                            difference = _difference(known[run_number], stored, record, again)
                            if difference > 0 or now != kept.columns:
                                differing.append(run_number)
                            largest = max(largest, difference)
                    done += len(batch.numbers)
                    if progress is not None:
                        progress(done, kept.runs)
            except KeyboardInterrupt as interrupt:
                heed(interrupt)
    return Repetition(kept, done, tuple(sorted(differing)), largest, _changed(kept, identity))


def read_manifest(store: Store, folder: Path, number: int | None, there: str) -> Manifest:
    """Return the study of a number, or that stored last of the scenario as written; `there` is to be done where one has no text.

    Raises
    ------
    StoreError
        If the study is not there, has no scenario text, or is of other work.
    """
    studies = [study for study in store.manifests() if (not study.work if number is None else study.number == number)]
    if not studies:
        raise StoreError(
            f"{folder}: there is no study {'yet' if number is None else number}; keystrip studies {folder} lists them"
        )
    # The scenario's own study goes before those of its variations.
    kept = max(studies, key=lambda study: (not study.changes, study.last, study.number))
    if kept.work:
        raise StoreError(
            f"{folder}: study {kept.number} is of {kept.title} {kept.work}; ask that again, with another --out to compare"
        )
    if not kept.text:
        raise StoreError(f"{folder}: study {kept.number} was made by a program, from a scenario without a text; {there} there")
    return kept


def _difference(old: bytes, old_places: list[int], new: bytes, new_places: list[int]) -> float:
    """Return the largest relative difference between two records, of the numbers that both have."""
    import numpy as np

    largest = 0.0
    was, is_now = np.frombuffer(old, "<f8")[old_places].tolist(), np.frombuffer(new, "<f8")[new_places].tolist()
    for before, other in zip(was, is_now, strict=True):
        if before == other or (math.isnan(before) and math.isnan(other)):
            continue
        known = math.isfinite(before) and math.isfinite(other)
        largest = max(largest, abs(before - other) / max(abs(before), abs(other)) if known else math.inf)
    return largest


def _changed(kept: Manifest, now: Identity) -> tuple[str, ...]:
    was = kept.identity
    changed = [
        what for what, same in (("scenario", was.scenario == now.scenario), ("program", was.program == now.program)) if not same
    ]
    changed += [
        f"{name} {version} (was {was.versions.get(name, 'not there')})"
        for name, version in now.versions.items()
        if was.versions.get(name) != version
    ]
    if kept.processor != processor():
        changed.append("processor")
    return tuple(changed)
