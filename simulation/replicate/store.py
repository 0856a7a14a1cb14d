"""Where are finished builds kept, so that no kill loses them? In one SQLite file in the output folder, run beside run.

A build is stored under its run and its number as soon as its batch is done, in a transaction of its own, with a checksum. What is
stored is never changed: the same build done twice is the same to the bit, so that the first one stays. CSV and JSON files beside
it are exports.
"""

from __future__ import annotations

import json
import os
import socket
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Self
from zlib import crc32

from simulation.replicate.manifest import Manifest, moment

if TYPE_CHECKING:
    from simulation.replicate.identity import Identity
    from simulation.scenario import Scenario

#: The store's name in its folder.
FILE = "builds.sqlite"
#: Marks the file as a store of builds: SQLite's own place for it, in the first hundred bytes.
APPLICATION, LAYOUT = 0x6B657973, 1
#: Seconds to wait while another process writes.
PATIENCE = 60.0
#: A process on another machine that stored a build so few seconds ago is taken to be still at work. Planning value.
AT_WORK = 5.0

_TABLES = """
CREATE TABLE run (
    number INTEGER PRIMARY KEY,
    key TEXT NOT NULL UNIQUE,
    manifest TEXT NOT NULL,
    last TEXT NOT NULL,
    seconds REAL NOT NULL,
    host TEXT NOT NULL,
    process INTEGER NOT NULL
);
CREATE TABLE build (
    run INTEGER NOT NULL REFERENCES run (number),
    replication INTEGER NOT NULL,
    checksum INTEGER NOT NULL,
    record BLOB NOT NULL,
    PRIMARY KEY (run, replication)
);
"""


class StoreError(Exception):
    """A store that cannot be used: what is wrong, and what to do. Nothing in it was changed."""


class StoreFull(StoreError):
    """The disk took no more; what was stored before is kept."""


class Store:
    """The builds kept in one folder, or in memory.

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
        with self._plainly():
            if self.path is None:
                self._base = sqlite3.connect(":memory:", isolation_level=None)
            else:
                if reading and not self.path.is_file():
                    raise StoreError(f"{self.path}: there is none; name a folder that a forecast was written to")
                self._refuse_foreign(self.path)
                if not reading:
                    self.path.parent.mkdir(parents=True, exist_ok=True)
                # Even a reader may have to undo what a killed writer left half done.
                name = f"{self.path.absolute().as_uri()}?mode={'rw' if reading else 'rwc'}"
                self._base = sqlite3.connect(name, PATIENCE, uri=True, isolation_level=None)
            try:
                self._open(reading)
            except BaseException:
                self._base.close()
                raise

    @staticmethod
    def _refuse_foreign(path: Path) -> None:
        """Look at the first bytes before SQLite does, which would rather mend or overwrite than refuse."""
        if not path.exists():
            return
        head = path.open("rb").read(100)
        if head and (head[:16] != b"SQLite format 3\0" or int.from_bytes(head[68:72]) not in (0, APPLICATION)):
            raise StoreError(f"{path}: is not a store of builds; move it elsewhere, or name another folder")

    def _open(self, reading: bool) -> None:
        base = self._base
        if not reading:
            # One file, no companions left behind, and on disk when a transaction ends.
            base.execute("PRAGMA journal_mode = DELETE")
            base.execute("PRAGMA synchronous = FULL")
            with self._transaction():
                if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                    for statement in _TABLES.split(";")[:-1]:
                        base.execute(statement)
                    base.execute(f"PRAGMA application_id = {APPLICATION}")
                    base.execute(f"PRAGMA user_version = {LAYOUT}")
        application, layout = (base.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version"))
        if application != APPLICATION:
            raise StoreError(f"{self.path}: is not a store of builds; move it elsewhere, or name another folder")
        if layout != LAYOUT:
            raise StoreError(f"{self.path}: was written by another version (layout {layout}); use that one, or another folder")
        if base.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise self._damaged()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what was stored is on disk already."""
        self._base.close()

    @contextmanager
    def _plainly(self) -> Iterator[None]:
        """Turn what SQLite and the system say into what a person can do about it."""
        try:
            yield
        except sqlite3.OperationalError as error:
            code = getattr(error, "sqlite_errorname", "")
            if code.startswith("SQLITE_FULL") or "IOERR_WRITE" in code:
                raise StoreFull(f"{self.path}: the disk is full; make room and run again, or name another folder") from None
            if code.startswith("SQLITE_BUSY"):
                raise StoreError(f"{self.path}: another process holds it for {PATIENCE:.0f} s; end that one first") from None
            raise StoreError(f"{self.path}: cannot be used ({error}); name a folder that can be written") from None
        except sqlite3.DatabaseError:
            raise self._damaged() from None
        except OSError as error:
            why = error.strerror or str(error)
            raise StoreError(f"{self.path}: cannot be used ({why}); name a folder that can be written") from None

    def _damaged(self) -> StoreError:
        return StoreError(f"{self.path}: is damaged; move it elsewhere to begin anew, or bring back a copy of it")

    @contextmanager
    def _transaction(self) -> Iterator[None]:
        self._base.execute("BEGIN IMMEDIATE")
        try:
            yield
        except BaseException:
            if self._base.in_transaction:  # a full disk has ended it already
                self._base.execute("ROLLBACK")
            raise
        self._base.execute("COMMIT")

    def run_of(self, identity: Identity, scenario: Scenario, columns: Sequence[str]) -> int:
        """Return the number of the run with this identity, which begins now unless it is here already."""
        with self._plainly(), self._transaction():
            found = self._base.execute("SELECT number FROM run WHERE key = ?", (identity.key,)).fetchone()
            if found is not None:
                return int(found[0])
            text = json.dumps(Manifest.begun(identity, scenario, columns).written())
            added = self._base.execute("INSERT INTO run VALUES (NULL, ?, ?, '', 0, '', 0)", (identity.key, text))
            return int(added.lastrowid or 0)

    def begin_work(self, run: int) -> bool:
        """Note that this process works on a run from now on; return whether another one seems to be at it as well."""
        host, process = socket.gethostname(), os.getpid()
        with self._plainly(), self._transaction():
            query = "SELECT host, process, last FROM run WHERE number = ?"
            other_host, other, last = self._base.execute(query, (run,)).fetchone()
            self._base.execute("UPDATE run SET host = ?, process = ? WHERE number = ?", (host, process, run))
        if other_host in ("", host):
            return other not in (0, process) and alive(other)
        return bool(last) and (datetime.now(UTC) - datetime.fromisoformat(last)).total_seconds() < AT_WORK

    def end_work(self) -> None:
        """Take this process's notes back, but for those that another has put its own in the place of."""
        mine = (socket.gethostname(), os.getpid())
        with self._plainly(), self._transaction():
            self._base.execute("UPDATE run SET host = '', process = 0 WHERE host = ? AND process = ?", mine)

    def add(self, run: int, numbers: Sequence[int], records: Iterable[bytes], seconds: float) -> None:
        """Store some builds of a run: all of them, on disk when this returns, or none.

        Parameters
        ----------
        run : int
        numbers : sequence of int
            Replications; one that is stored already stays as it is.
        records : iterable of bytes
        seconds : float
            That a worker took to do them.

        Raises
        ------
        StoreFull
            If the disk takes no more.
        """
        rows = [(run, number, crc32(record), record) for number, record in zip(numbers, records, strict=True)]
        with self._plainly(), self._transaction():
            self._base.executemany("INSERT INTO build VALUES (?, ?, ?, ?) ON CONFLICT (run, replication) DO NOTHING", rows)
            self._base.execute("UPDATE run SET last = ?, seconds = seconds + ? WHERE number = ?", (moment(), seconds, run))

    def numbers(self, run: int, first: int = 0, upto: int | None = None) -> list[int]:
        """Return the replications of a run that are stored, in order, of those from `first` up to, not including, `upto`."""
        query = "SELECT replication FROM build WHERE run = ? AND replication >= ? AND replication < ? ORDER BY replication"
        with self._plainly():
            return [number for (number,) in self._base.execute(query, (run, first, 2**62 if upto is None else upto))]

    def records(self, run: int, first: int = 0, upto: int | None = None) -> Iterator[tuple[int, bytes]]:
        """Yield replication and record of the stored builds of a run, in order, as `numbers` does.

        Raises
        ------
        StoreError
            If one is not what was stored.
        """
        query = (
            "SELECT replication, checksum, record FROM build WHERE run = ? AND replication >= ? AND replication < ? ORDER BY 1"
        )
        with self._plainly():
            for number, checksum, record in self._base.execute(query, (run, first, 2**62 if upto is None else upto)):
                if crc32(record) != checksum:
                    raise self._damaged()
                yield number, record

    def manifests(self) -> list[Manifest]:
        """Return what is known of every run, in the order in which they began."""
        query = (
            "SELECT number, manifest, last, seconds, (SELECT count(*) FROM build WHERE build.run = run.number) "
            "FROM run ORDER BY number"
        )
        with self._plainly():
            return [Manifest.read(*row) for row in self._base.execute(query).fetchall()]

    def manifest(self, run: int) -> Manifest:
        """Return what is known of one run."""
        return next(one for one in self.manifests() if one.number == run)


def alive(process: int) -> bool:
    """Return whether a process of this machine is there; its number may by now be another's."""
    if os.name == "nt":  # where a signal of zero would end it
        return False
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        pass
    return True
