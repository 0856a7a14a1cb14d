"""Where are finished runs kept, so that no kill loses them? In one SQLite file in the output folder, study beside study.

A run is stored under its study and its number as soon as its batch is done, in a transaction of its own, with a checksum. What is
stored is never changed: the same run done twice is the same to the bit, so that the first one stays. CSV and JSON files beside
it are exports.
"""

from __future__ import annotations

import json
import os
import socket
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Self
from zlib import crc32

from simulation.replicate.kept_study import KeptStudy, Standing
from simulation.replicate.manifest import Manifest, moment
from simulation.replicate.store_file import (
    StoreError,
    StoreFull,
    damaged,
    open_store,
    plainly,
    standings_in,
    studies_in,
    texts_in,
    transaction,
)

if TYPE_CHECKING:
    from simulation.replicate.identity import Identity
    from simulation.scenario import Scenario

__all__ = ["FILE", "Store", "StoreError", "StoreFull", "alive"]

#: The store's name in its folder.
FILE = "runs.sqlite"
#: A process on another machine that stored a run so few seconds ago is taken to be still at work. Planning value.
AT_WORK = 5.0


class Store:
    """The runs kept in one folder, or in memory.

    Parameters
    ----------
    folder : Path or None
        Made where it is missing; None keeps everything in memory and nothing after.
    reading : bool
        Whether nothing will be written: then the folder and its store must be there.

    Raises
    ------
    StoreError
        If the file is not a store, or is damaged, or cannot be written: it is left as it is.
    """

    def __init__(self, folder: Path | None, reading: bool = False) -> None:
        self.path = None if folder is None else folder / FILE
        made = () if self.path is None or reading else (self.path, *self.path.parents)
        self._made = [path for path in made if not path.exists()]
        self._base = open_store(self.path, reading)
        self._read: dict[int, tuple[str, int | None]] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what was stored is on disk already. One that was made for nothing goes, its folder with it."""
        for_nothing = bool(self._made) and self._is_empty()
        self._base.close()
        if for_nothing:
            with suppress(OSError):  # a folder that somebody else has put a file in by now stays
                self._made[0].unlink()
                for folder in self._made[1:]:
                    folder.rmdir()
        self._made = []

    def _is_empty(self) -> bool:
        """Return whether it holds no study, as far as that can be read."""
        with suppress(sqlite3.Error):
            return not self._base.execute("SELECT count(*) FROM study").fetchone()[0]
        return False

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Write what stands in the block wholly or not at all, and say plainly what is in the way.

        What is written in a block within a block is written with the outer one: the disk is waited for once.
        """
        with plainly(self.path):
            if self._base.in_transaction:
                yield self._base
                return
            with transaction(self._base):
                yield self._base

    def _standing(self, number: int) -> Standing:
        (standing,) = standings_in(self.path, self._base, "WHERE study = ?", (number,))
        return standing

    def _put(self, kept: KeptStudy | Standing) -> None:
        """Write a row of a study anew, its checksum with it."""
        table = "study" if isinstance(kept, KeptStudy) else "standing"
        self._base.execute(f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * len(kept.row))})", kept.row)

    def _known(self, number: int) -> tuple[str, int | None]:
        """Return the key of a study and the size of a record of it, which never change: they are read once."""
        if number not in self._read:
            (study,) = studies_in(self.path, self._base, number)
            self._read[number] = study.key, self.manifest(number).record_size
        return self._read[number]

    def study_of(self, identity: Identity, scenario: Scenario, columns: Sequence[str], work: str = "") -> int:
        """Return the number of the study with this identity, which begins now unless it is here already."""
        with self.writing() as base:
            row = base.execute("SELECT number FROM study WHERE key = ?", (identity.key,)).fetchone()
            if row is not None:
                return int(row[0])
            number = 1 + int(base.execute("SELECT ifnull(max(number), 0) FROM study").fetchone()[0])
            manifest = Manifest.begun(identity, scenario, columns, work)
            parts, texts = manifest.written()
            self._put(KeptStudy(number, identity.key, json.dumps(parts)))
            self._put(Standing(number))
            base.executemany("INSERT INTO data_file VALUES (?, ?) ON CONFLICT DO NOTHING", texts.items())
            return number

    def begin_work(self, study: int) -> bool:
        """Note that this process works on a study from now on; return whether another one seems to be at it as well."""
        with self.writing():
            together = self.others_at_work(study)
            self._put(replace(self._standing(study), host=socket.gethostname(), process=os.getpid()))
        return together

    def others_at_work(self, study: int) -> bool:
        """Return whether another process seems to be at work on a study."""
        with plainly(self.path):
            was = self._standing(study)
        if was.host in ("", socket.gethostname()):
            return was.process not in (0, os.getpid()) and alive(was.process)
        # Clocks of two machines differ: what was stored in the future was not stored just now.
        return bool(was.last) and 0.0 <= (datetime.now(UTC) - datetime.fromisoformat(was.last)).total_seconds() < AT_WORK

    def end_work(self) -> None:
        """Take this process's notes back, but for those that another has put its own in the place of."""
        mine = (socket.gethostname(), os.getpid())
        with self.writing() as base:
            for standing in standings_in(self.path, base, "WHERE host = ? AND process = ?", mine):
                self._put(replace(standing, host="", process=0))

    def add(self, study: int, numbers: Sequence[int], records: Iterable[bytes], seconds: float) -> None:
        """Store some runs of a study: all of them, on disk when this returns, or none.

        Parameters
        ----------
        study : int
        numbers : sequence of int
            Runs; one that is stored already stays as it is.
        records : iterable of bytes
        seconds : float
            That a worker took to do them.

        Raises
        ------
        StoreFull
            If the disk takes no more.
        """
        with self.writing() as base:
            done, (key, _) = self._standing(study), self._known(study)
            rows = [
                (study, number, _checksum(key, number, record), record) for number, record in zip(numbers, records, strict=True)
            ]
            added = base.executemany("INSERT INTO run VALUES (?, ?, ?, ?) ON CONFLICT (study, run) DO NOTHING", rows)
            runs = done.runs + max(added.rowcount, 0)
            self._put(replace(done, last=moment(), seconds=done.seconds + seconds, runs=runs))

    def drop_damaged(self, study: int) -> int:
        """Take away the runs of a study that are not what was stored, so that they are done again; return how many they were.

        A checksum covers the study, the number and the record of a run: one that was put under another number is found as well.
        """
        with self.writing() as base:
            key, whole = self._known(study)
            rows = base.execute("SELECT run, checksum, record FROM run WHERE study = ?", (study,))
            bad = [(study, number) for number, checksum, record in rows if not _sound(key, number, checksum, record, whole)]
            if bad:
                gone = base.executemany("DELETE FROM run WHERE study = ? AND run = ?", bad).rowcount
                done = self._standing(study)
                self._put(replace(done, runs=done.runs - gone))
        return len(bad)

    def numbers(self, study: int, first: int = 0, upto: int | None = None) -> list[int]:
        """Return the runs of a study that are stored, in order, of those from `first` up to, not including, `upto`."""
        query = "SELECT run FROM run WHERE study = ? AND run >= ? AND run < ? ORDER BY run"
        with plainly(self.path):
            return [number for (number,) in self._base.execute(query, (study, first, 2**62 if upto is None else upto))]

    def records(self, study: int, first: int = 0, upto: int | None = None) -> Iterator[tuple[int, bytes]]:
        """Yield run and record of the stored runs of a study, in order, as `numbers` does.

        Raises
        ------
        StoreError
            If one is not what was stored.
        """
        query = "SELECT run, checksum, record FROM run WHERE study = ? AND run >= ? AND run < ? ORDER BY 1"
        with plainly(self.path):
            key, whole = self._known(study)
            for number, checksum, record in self._base.execute(query, (study, first, 2**62 if upto is None else upto)):
                if not _sound(key, number, checksum, record, whole):
                    raise damaged(self.path, f"run {number} of study {study}")
                yield number, record

    def manifests(self) -> list[Manifest]:
        """Return what is known of every study, in the order in which they began."""
        return self._manifests(None)

    def manifest(self, study: int) -> Manifest:
        """Return what is known of one study."""
        (manifest,) = self._manifests(study)
        return manifest

    def _manifests(self, number: int | None) -> list[Manifest]:
        with plainly(self.path):
            texts = texts_in(self.path, self._base)
            return [
                study.read_manifest(self._standing(study.number), texts) for study in studies_in(self.path, self._base, number)
            ]


def alive(process: int) -> bool:
    """Return whether a process of this machine is there; its number may by now be another's."""
    if os.name == "nt":  # where a signal of zero would end it
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OverflowError:  # no system counts so far
        return False
    except PermissionError:
        pass
    return True


def _checksum(key: str, number: int, record: bytes) -> int:
    """Return the checksum of a run: of the study that it belongs to, its number and its record."""
    return crc32(record, crc32(f"{key} {number} ".encode()))


def _sound(key: str, number: object, checksum: object, record: object, whole: int | None) -> bool:
    """Return whether a row of the store is what was stored."""
    return (
        isinstance(number, int)
        and isinstance(record, bytes)
        and whole in (None, len(record))
        and checksum == _checksum(key, number, record)
    )
