"""What is known of a study: enough to do it again elsewhere, years later, and to say whether it came out the same."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import UTC, datetime
from functools import cache
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from simulation.chance import SAMPLINGS
from simulation.replicate.identity import Identity, processor, release

if TYPE_CHECKING:
    from pydantic import TypeAdapter

    from simulation.scenario import Scenario
    from simulation.scenario.types.quantities.measures import System


@dataclass(frozen=True)
class Manifest:
    """One study.

    Attributes
    ----------
    identity : Identity
    title, file, text : str
        Of the scenario; `file` is its name without folders, and `text` is empty for one that a program made.
    data : mapping of str to str
        Text of each data file, by the name that the scenario gives it.
    changes : tuple of (str, str)
        What was made otherwise than the text says: addresses and values of `simulation.scenario.Change`.
    columns : tuple of str
        Of a run's record.
    release : str
        Version of keystrip.
    processor : str
        Kind and features of the processor that the study began on.
    began : str
        ISO 8601, UTC.
    number : int
        Of the study in its store; 0 where it is not stored.
    last : str
        When a run was stored last; empty where none was.
    seconds : float
        That workers took for the runs that were done, together.
    runs : int
        Stored so far.
    log : (str, str, str, bool) or None
        Name, text and moment of the site log that the study begins from, and whether its runs learn from it.
    work : str
        What is done beside the scenario where its runs are none of one plan, such as ``move to New strip``: such a study is done
        again by the question that it is of.
    """

    identity: Identity
    title: str
    file: str
    text: str
    data: Mapping[str, str]
    changes: tuple[tuple[str, str], ...]
    columns: tuple[str, ...]
    release: str
    processor: str
    began: str
    number: int = 0
    last: str = ""
    seconds: float = 0.0
    runs: int = 0
    log: tuple[str, str, str, bool] | None = None
    work: str = ""

    @classmethod
    def begun(cls, identity: Identity, scenario: Scenario, columns: Sequence[str], work: str = "") -> Manifest:
        """Return the manifest of a study that begins now."""
        source = scenario.source
        return cls(
            identity=identity,
            title=scenario.title,
            file=PurePath(source.file).name,
            text=source.text,
            data=source.data,
            changes=tuple((change.address, change.text) for change in source.changes),
            columns=tuple(columns),
            release=release(),
            processor=processor(),
            began=moment(),
            log=None if source.log is None else (source.log.file, source.log.text, source.log.at, source.log.teaches),
            work=work,
        )

    @property
    def record_size(self) -> int | None:
        """Bytes of a run's record; None where each has a length of its own."""
        return None if self.work else 8 * len(self.columns)

    def written(self) -> tuple[dict[str, Any], dict[str, str]]:
        """Return what does not change while the study goes on, ready for `json.dumps`, and the texts of its data files.

        The files stand in it by the SHA-256 of their text, and the texts by the same: the studies of a question share them.
        """
        texts = {hash_text(text): text for text in self.data.values()}
        parts = asdict(replace(self, data={name: hash_text(text) for name, text in self.data.items()}))
        for name in ("number", "last", "seconds", "runs"):
            del parts[name]
        return parts, texts

    def after(self, number: int, last: str, seconds: float, runs: int) -> Manifest:
        """Return it with what is known by now."""
        return replace(self, number=number, last=last, seconds=seconds, runs=runs)

    @classmethod
    def read(cls, text: str, texts: Mapping[str, str]) -> Manifest:
        """Return a manifest from the JSON of what `written` gave, and the texts of data files by their SHA-256.

        Raises
        ------
        ValueError
            If it is something else, or one of its data files is not among them.
        """
        from pydantic import ValidationError

        try:
            manifest = _adapter().validate_json(text, strict=True)
        except ValidationError as error:
            first = error.errors()[0]
            where = ".".join(map(str, first["loc"]))
            raise ValueError(f"its {where or 'manifest'} is not what was written") from None
        if manifest.identity.sampling not in SAMPLINGS or not 0 <= manifest.identity.seed < 2**64:
            raise ValueError("its seed or its sampling is none")
        if not manifest.columns or len(set(manifest.columns)) < len(manifest.columns):
            raise ValueError("its columns are not those of a run")
        if datetime.fromisoformat(manifest.began).tzinfo is None:
            raise ValueError("its beginning has no zone")
        if not texts.keys() >= set(manifest.data.values()):
            raise ValueError("a data file of it is not there")
        return replace(manifest, data={name: texts[digest] for name, digest in manifest.data.items()})

    def scenario(self, units: System | None = None) -> Scenario:
        """Return the scenario that was run, read once more from its text, to be told in `units` or as it says itself.

        Raises
        ------
        ScenarioError
            If this program does not take it any more.
        """
        from simulation.scenario import Change, SiteLog, parse_scenario

        changes = [Change(*change) for change in self.changes]
        log = None if self.log is None else SiteLog(*self.log)
        return parse_scenario(self.text, self.file, title=self.title, data=self.data, changes=changes, units=units, log=log)


def hash_text(text: str) -> str:
    """Return the SHA-256 of a text."""
    return hashlib.sha256(text.encode()).hexdigest()


def moment() -> str:
    """Return now, as it is written in a store: ISO 8601, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


@cache
def _adapter() -> TypeAdapter[Manifest]:
    """What checks a manifest: to make it takes ten milliseconds, and a store is read for every plan of a question."""
    from pydantic import TypeAdapter

    return TypeAdapter(Manifest)
