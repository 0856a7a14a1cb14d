"""Stores that say something else than was written, with checksums that fit: a forger's or another program's work."""

import json
import sqlite3
from contextlib import closing
from dataclasses import replace

from simulation.replicate.kept_study import KeptStudy
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import _checksum


def forge_run(path, **parts):
    """Write parts of a store's only study anew; its runs become those of a study with that manifest."""
    with closing(sqlite3.connect(path)) as base:
        study = replace(KeptStudy.read(base.execute("SELECT * FROM study").fetchone()), **parts)
        base.execute(f"REPLACE INTO study VALUES ({', '.join('?' * 9)})", study.row)
        base.commit()


def forge_manifest(path, change):
    """Write the manifest of a store's only study anew, as `change` makes it of the parsed one, and its key and runs with it."""
    with closing(sqlite3.connect(path)) as base:
        study = KeptStudy.read(base.execute("SELECT * FROM study").fetchone())
        text = json.dumps(change(json.loads(study.manifest)))
        forge_run(path, manifest=text, key=Manifest.read(text).identity.key)
    with closing(sqlite3.connect(path)) as base:
        for (number,) in base.execute("SELECT run FROM run").fetchall():
            forge_record(path, number, lambda record: record)


def forge_record(path, number, change):
    """Write the record of a run anew, as `change` makes it of the bytes there are."""
    with closing(sqlite3.connect(path)) as base:
        (key,) = base.execute("SELECT key FROM study").fetchone()
        (record,) = base.execute("SELECT record FROM run WHERE run = ?", (number,)).fetchone()
        new = change(record)
        base.execute("UPDATE run SET record = ?, checksum = ? WHERE run = ?", (new, _checksum(key, number, new), number))
        base.commit()
