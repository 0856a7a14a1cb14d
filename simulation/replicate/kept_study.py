"""What does a store say of one study? A row that is believed only if it is whole: its parts, their kinds, and their checksum."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import astuple, dataclass, replace
from datetime import datetime
from typing import Any, Self
from zlib import crc32

from simulation.replicate.manifest import Manifest

_KINDS = (int, str, str, str, float, int, str, int)
#: What stands in a row, in order, before its checksum.
PARTS = ("number", "key", "manifest", "last", "seconds", "runs", "host", "process")


@dataclass(frozen=True)
class KeptStudy:
    """One study of a store.

    Attributes
    ----------
    number : int
        From 1.
    key : str
        Of its identity.
    manifest : str
        What does not change while the study goes on, as JSON.
    last : str
        When a run was stored last, ISO 8601 with its zone; empty where none was.
    seconds : float
        That workers took for its runs, together.
    runs : int
        That are stored.
    host, process
        Who is at work on it; empty and 0 where nobody is.
    """

    number: int
    key: str
    manifest: str
    last: str = ""
    seconds: float = 0.0
    runs: int = 0
    host: str = ""
    process: int = 0

    @property
    def row(self) -> tuple[Any, ...]:
        """As it is stored, its checksum last."""
        parts = astuple(self)
        return (*parts, crc32(json.dumps(parts).encode()))

    @classmethod
    def read(cls, row: Sequence[Any]) -> Self:
        """Return a study from its row.

        Raises
        ------
        ValueError
            If it is not what was written.
        """
        for name, kind, value in zip(PARTS, _KINDS, row[:-1], strict=True):
            if not isinstance(value, kind):
                raise ValueError(f"its {name} is no {'text' if kind is str else 'number'}")
        study = cls(*row[:-1])
        if not math.isfinite(study.seconds) or study.seconds < 0 or study.runs < 0 or study.process < 0 or study.number < 1:
            raise ValueError("a number of it is out of range")
        if study.row[-1] != row[-1]:
            raise ValueError("its checksum does not fit")
        if study.last and datetime.fromisoformat(study.last).tzinfo is None:
            raise ValueError("its last moment has no zone")
        return study

    def check(self) -> None:
        """Look at what `read` leaves unread, because it takes long and does not change.

        Raises
        ------
        ValueError
            If the manifest is not what was written, or not that of this study.
        """
        if self.read_manifest().identity.key != self.key:
            raise ValueError("it is not the study that it says it is")

    def read_manifest(self) -> Manifest:
        """Return what is known of it.

        Raises
        ------
        ValueError
            If its manifest is not what was written.
        """
        return replace(Manifest.read(self.manifest), number=self.number, last=self.last, seconds=self.seconds, runs=self.runs)
