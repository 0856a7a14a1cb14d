"""Opens the file of a store: nothing but a whole store of this layout is let through, and one that is refused is not changed.

The file may have been cut, flipped, forged or written by somebody else. So it is read before anything may write to it: its first
bytes, its tables, the order of its pages, what it says of each study, and how many builds it says it holds.
"""

from __future__ import annotations

import shutil
import sqlite3
import stat
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeVar

from simulation.replicate.kept_study import KeptStudy, Standing
from simulation.replicate.manifest import hash_text

KeptT = TypeVar("KeptT")

#: Marks the file as a store of runs: SQLite's own place for it, in the first hundred bytes.
APPLICATION, LAYOUT = 0x6B657973, 4
#: Seconds to wait while another process writes.
PATIENCE = 60.0
#: Letters or bytes of the longest value that is read: a scenario with its data files is far below it.
LONGEST = 64 * 2**20
#: No table has an index beside it: the two could say different things of one study or run, and no checksum would see it.
TABLES = (
    """CREATE TABLE study (
    number INTEGER PRIMARY KEY,
    key TEXT NOT NULL,
    manifest TEXT NOT NULL,
    checksum INTEGER NOT NULL
)""",
    """CREATE TABLE standing (
    study INTEGER PRIMARY KEY REFERENCES study (number),
    last TEXT NOT NULL,
    seconds REAL NOT NULL,
    runs INTEGER NOT NULL,
    host TEXT NOT NULL,
    process INTEGER NOT NULL,
    checksum INTEGER NOT NULL
)""",
    """CREATE TABLE data_file (
    sha256 TEXT PRIMARY KEY,
    text TEXT NOT NULL
) WITHOUT ROWID""",
    """CREATE TABLE run (
    study INTEGER NOT NULL REFERENCES study (number),
    run INTEGER NOT NULL,
    checksum INTEGER NOT NULL,
    record BLOB NOT NULL,
    PRIMARY KEY (study, run)
) WITHOUT ROWID""",
)


class StoreError(Exception):
    """A store that cannot be used: what is wrong, and what to do. Nothing in it was changed."""


class StoreFull(StoreError):
    """The disk took no more; what was stored before is kept."""


def damaged(path: Path | None, what: str = "") -> StoreError:
    """Return the error of a store that is not as it was written."""
    return StoreError(f"{path}: is damaged{what and f' ({what})'}; move it elsewhere to begin anew, or bring back a copy of it")


def foreign(path: Path | None) -> StoreError:
    """Return the error of a file that is somebody else's."""
    return StoreError(f"{path}: is not a store of runs; move it elsewhere, or name another folder")


@contextmanager
def plainly(path: Path | None) -> Iterator[None]:
    """Turn what SQLite and the system say of a store into what a person can do about it."""
    try:
        yield
    except sqlite3.OperationalError as error:
        code = getattr(error, "sqlite_errorname", "")
        if code.startswith("SQLITE_FULL") or "IOERR_WRITE" in code:
            raise StoreFull(f"{path}: the disk is full; make room and start it again, or name another folder") from None
        if code.startswith("SQLITE_BUSY"):
            raise StoreError(f"{path}: another process holds it for {PATIENCE:.0f} s; end that one first") from None
        if code in ("", "SQLITE_ERROR", "SQLITE_TOOBIG"):  # a table, a column or a text is not what was made
            raise damaged(path) from None
        raise StoreError(f"{path}: cannot be used ({error}); name a folder that can be written") from None
    except (sqlite3.Error, UnicodeDecodeError):
        raise damaged(path) from None
    except (FileExistsError, NotADirectoryError):
        raise StoreError(f"{path}: cannot be used: what bears the name of its folder is a file; name a folder") from None
    except OSError as error:
        why = error.strerror or str(error)
        raise StoreError(f"{path}: cannot be used ({why}); name a folder that can be written") from None


def open_store(path: Path | None, reading: bool) -> sqlite3.Connection:
    """Return a connection to a store that was found whole, or to a new one.

    Parameters
    ----------
    path : Path or None
        None for a store in memory.
    reading : bool
        Whether nothing will be written: then the store must be there.

    Raises
    ------
    StoreError
        If the file is not a store, or is damaged, or cannot be used; then it is as it was.
    """
    with plainly(path):
        if path is None:
            return _begun(_limited(sqlite3.connect(":memory:", isolation_level=None)))
        if reading and not path.is_file():
            raise StoreError(f"{path}: there is none; name a folder that a forecast was written to")
        if _refuse_foreign(path):
            whole = _connect(path, "ro")
            try:
                _inspect(path, whole)
                if reading:
                    return whole
            except sqlite3.OperationalError as error:
                whole.close()
                if not getattr(error, "sqlite_errorname", "").startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN")):
                    raise
                _inspect_undone(path)
            except BaseException:
                whole.close()
                raise
            whole.close()
        elif reading:
            raise foreign(path)
        else:
            path.parent.mkdir(parents=True, exist_ok=True)
        # Even a reader may have to undo what a killed writer left half done.
        base = _connect(path, "rw" if reading else "rwc")
        return base if reading else _begun(base)


def _limited(base: sqlite3.Connection) -> sqlite3.Connection:
    base.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LONGEST)
    return base


def _connect(path: Path, mode: str) -> sqlite3.Connection:
    return _limited(sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", PATIENCE, uri=True, isolation_level=None))


def _begun(base: sqlite3.Connection) -> sqlite3.Connection:
    """Return a connection that may write, its tables made where there are none."""
    try:
        # One file, no companions left behind, and on disk when a transaction ends.
        base.execute("PRAGMA journal_mode = DELETE")
        base.execute("PRAGMA synchronous = FULL")
        with transaction(base):
            if not base.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                for statement in TABLES:
                    base.execute(statement)
                base.execute(f"PRAGMA application_id = {APPLICATION}")
                base.execute(f"PRAGMA user_version = {LAYOUT}")
    except BaseException:
        base.close()
        raise
    return base


@contextmanager
def transaction(base: sqlite3.Connection) -> Iterator[None]:
    """Do what stands in the block wholly or not at all."""
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        if base.in_transaction:  # a full disk has ended it already
            base.execute("ROLLBACK")
        raise
    base.execute("COMMIT")


def _refuse_foreign(path: Path) -> bool:
    """Return whether there is a store to look at, by its first bytes: SQLite would mend or overwrite rather than refuse."""
    if not path.exists():
        return False
    journal = path.with_name(f"{path.name}-journal")
    if not all(stat.S_ISREG(file.stat().st_mode) for file in (path, journal) if file.exists()):
        raise StoreError(f"{path}: it, or its journal, is a pipe, a device or a folder; name a folder of files")
    with path.open("rb") as file:
        head = file.read(100)
    if not head:
        return False
    # One that keeps a log beside it (2 in the bytes that say how it is written) was not written by this program.
    if head[:16] != b"SQLite format 3\0" or head[18:20] != b"\1\1" or int.from_bytes(head[68:72]) != APPLICATION:
        raise foreign(path)
    return True


def _inspect_undone(path: Path) -> None:
    """Look at what a store comes to when what a killed writer left half done is undone, in a copy of it."""
    with TemporaryDirectory() as beside:
        copy = Path(beside) / path.name
        for name in (path.name, f"{path.name}-journal"):
            if (path.parent / name).is_file():
                shutil.copyfile(path.parent / name, copy.parent / name)
        with closing(_connect(copy, "rw")) as base:
            _inspect(path, base)


def _inspect(path: Path, base: sqlite3.Connection) -> None:
    """Refuse a store that is of another layout, or not whole."""
    base.execute("BEGIN")  # one moment of it, whoever writes meanwhile
    try:
        application, layout = (base.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version"))
        if application != APPLICATION:
            raise foreign(path)
        if layout != LAYOUT:
            version = f"was written by another version of keystrip (layout {layout})"
            raise StoreError(f"{path}: {version}; use that one, or move it elsewhere to begin anew")
        made = base.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY rowid").fetchall()
        if [sql for (sql,) in made] != list(TABLES):
            raise damaged(path, "its tables are not those that were made")
        if base.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise damaged(path)
        texts, standings = texts_in(path, base), {standing.study: standing for standing in standings_in(path, base)}
        keys: dict[str, int] = {}
        named: set[str] = set()
        for study in studies_in(path, base):
            with _as_written(path, study.number):
                manifest = study.read_manifest(standings.get(study.number, Standing(0)), texts)
                named |= {hash_text(text) for text in manifest.data.values()}
            if study.key in keys:
                raise damaged(path, f"studies {keys[study.key]} and {study.number} are the same one")
            keys[study.key] = study.number
        holds = dict(base.execute("SELECT study, count(*) FROM run GROUP BY study").fetchall())
        if {*standings} != {*keys.values()} or not (holds.keys() <= standings.keys() and texts.keys() <= named):
            raise damaged(path, "it holds runs or files of no study, or a study of which it does not say how far it is")
        for number, standing in standings.items():
            if standing.runs != holds.get(number, 0):
                raise damaged(path, f"study {number} holds {holds.get(number, 0)} runs and says that it holds {standing.runs}")
    finally:
        base.execute("COMMIT")


def studies_in(path: Path | None, base: sqlite3.Connection, number: int | None = None) -> list[KeptStudy]:
    """Return what a store says that each study is, or the one of a number.

    Raises
    ------
    StoreError
        If that is not what was written.
    """
    where, given = ("", ()) if number is None else ("WHERE number = ?", (number,))
    rows = base.execute(f"SELECT number, key, manifest, checksum FROM study {where} ORDER BY number", given)
    return _read_rows(path, rows, KeptStudy.read)


def standings_in(path: Path | None, base: sqlite3.Connection, where: str = "", given: tuple[object, ...] = ()) -> list[Standing]:
    """Return how far each study of a store is, or those are for which a condition of SQL holds.

    Raises
    ------
    StoreError
        If that is not what was written.
    """
    named = "study, last, seconds, runs, host, process, checksum"
    return _read_rows(path, base.execute(f"SELECT {named} FROM standing {where} ORDER BY study", given), Standing.read)


def texts_in(path: Path | None, base: sqlite3.Connection) -> dict[str, str]:
    """Return the texts of the data files of all studies, by their SHA-256.

    Raises
    ------
    StoreError
        If one is not what was written.
    """
    texts = dict(base.execute("SELECT sha256, text FROM data_file").fetchall())
    if any(not isinstance(text, str) or hash_text(text) != sha256 for sha256, text in texts.items()):
        raise damaged(path, "a data file of it is not what was read")
    return texts


def _read_rows(path: Path | None, rows: Iterable[Sequence[Any]], read: Callable[[Sequence[Any]], KeptT]) -> list[KeptT]:
    found = []
    for row in rows:
        with _as_written(path, row[0]):
            found.append(read(row))
    return found


@contextmanager
def _as_written(path: Path | None, study: object) -> Iterator[None]:
    try:
        yield
    except ValueError as error:
        raise damaged(path, f"study {study}: {error}" if isinstance(study, int) else str(error)) from None
