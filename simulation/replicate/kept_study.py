"""What does a store say of one study? Rows that are believed only if they are whole: their parts, their kinds, their checksum.

What does not change while a study goes on has a row of its own (`KeptStudy`), so that it is not written again with every batch.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass
from datetime import datetime
from typing import Any, Self
from zlib import crc32

from simulation.replicate.manifest import Manifest


@dataclass(frozen=True)
class KeptStudy:
    """What a study is.

    Attributes
    ----------
    number : int
        From 1.
    key : str
        Of its identity.
    manifest : str
        As JSON; its data files stand there by the SHA-256 of their text.
    """

    number: int
    key: str
    manifest: str

    @property
    def row(self) -> tuple[Any, ...]:
        """As it is stored, its checksum last."""
        return _sealed(astuple(self))

    @classmethod
    def read(cls, row: Sequence[Any]) -> Self:
        """Return a study from its row.

        Raises
        ------
        ValueError
            If it is not what was written.
        """
        study = cls(*_opened(row, number=int, key=str, manifest=str))
        if study.number < 1:
            raise ValueError("its number is out of range")
        return study

    def read_manifest(self, standing: Standing, texts: Mapping[str, str]) -> Manifest:
        """Return what is known of it.

        Parameters
        ----------
        standing : Standing
            Its own.
        texts : mapping of str to str
            Of data files, by their SHA-256.

        Raises
        ------
        ValueError
            If its manifest is not what was written, or not that of this study.
        """
        manifest = Manifest.read(self.manifest, texts)
        if manifest.identity.key != self.key:
            raise ValueError("it is not the study that it says it is")
        return manifest.after(self.number, standing.last, standing.seconds, standing.runs)


@dataclass(frozen=True)
class Standing:
    """How far a study is, and who is at it.

    Attributes
    ----------
    study : int
        Its number.
    last : str
        When a run was stored last, ISO 8601 with its zone; empty where none was.
    seconds : float
        That workers took for its runs, together.
    runs : int
        That are stored.
    host, process
        Who is at work on it; empty and 0 where nobody is.
    """

    study: int
    last: str = ""
    seconds: float = 0.0
    runs: int = 0
    host: str = ""
    process: int = 0

    @property
    def row(self) -> tuple[Any, ...]:
        """As it is stored, its checksum last."""
        return _sealed(astuple(self))

    @classmethod
    def read(cls, row: Sequence[Any]) -> Self:
        """Return how far a study is from its row.

        Raises
        ------
        ValueError
            If it is not what was written.
        """
        standing = cls(*_opened(row, study=int, last=str, seconds=float, runs=int, host=str, process=int))
        if not math.isfinite(standing.seconds) or standing.seconds < 0 or standing.runs < 0 or standing.process < 0:
            raise ValueError("a number of it is out of range")
        if standing.last and datetime.fromisoformat(standing.last).tzinfo is None:
            raise ValueError("its last moment has no zone")
        return standing


def _sealed(parts: tuple[Any, ...]) -> tuple[Any, ...]:
    """Return what stands in a row, and its checksum."""
    return (*parts, crc32(json.dumps(parts).encode()))


def _opened(row: Sequence[Any], **kinds: type) -> tuple[Any, ...]:
    """Return what stands in a row, if each part is of its kind and the checksum fits."""
    *parts, checksum = row
    for (name, kind), value in zip(kinds.items(), parts, strict=True):
        if not isinstance(value, kind):
            raise ValueError(f"its {name} is no {'text' if kind is str else 'number'}")
    if _sealed(tuple(parts))[-1] != checksum:
        raise ValueError("its checksum does not fit")
    return tuple(parts)
