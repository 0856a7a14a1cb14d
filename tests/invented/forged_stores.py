"""Stores that say something else than was written, with checksums that fit: a forger's or another program's work."""

import json
import sqlite3
from contextlib import closing
from dataclasses import replace

from simulation.replicate.kept_run import KeptRun
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import _checksum


def forge_run(path, **parts):
    """Write parts of a store's only run anew; its builds become those of a run with that manifest."""
    with closing(sqlite3.connect(path)) as base:
        run = replace(KeptRun.read(base.execute("SELECT * FROM run").fetchone()), **parts)
        base.execute(f"REPLACE INTO run VALUES ({', '.join('?' * 9)})", run.row)
        base.commit()


def forge_manifest(path, change):
    """Write the manifest of a store's only run anew, as `change` makes it of the parsed one, and its key and builds with it."""
    with closing(sqlite3.connect(path)) as base:
        run = KeptRun.read(base.execute("SELECT * FROM run").fetchone())
        text = json.dumps(change(json.loads(run.manifest)))
        forge_run(path, manifest=text, key=Manifest.read(text).identity.key)
    with closing(sqlite3.connect(path)) as base:
        for (number,) in base.execute("SELECT replication FROM build").fetchall():
            forge_record(path, number, lambda record: record)


def forge_record(path, number, change):
    """Write the record of a build anew, as `change` makes it of the bytes there are."""
    with closing(sqlite3.connect(path)) as base:
        (key,) = base.execute("SELECT key FROM run").fetchone()
        (record,) = base.execute("SELECT record FROM build WHERE replication = ?", (number,)).fetchone()
        new = change(record)
        base.execute(
            "UPDATE build SET record = ?, checksum = ? WHERE replication = ?", (new, _checksum(key, number, new), number)
        )
        base.commit()
