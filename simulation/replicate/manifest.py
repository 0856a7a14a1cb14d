"""What is known of a run: enough to do it again elsewhere, years later, and to say whether it came out the same."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from simulation.replicate.identity import Identity, processor, release

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Manifest:
    """One run.

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
        Of a build's record.
    release : str
        Version of keystrip.
    processor : str
        Kind and features of the processor that the run began on.
    began : str
        ISO 8601, UTC.
    number : int
        Of the run in its store; 0 where it is not stored.
    last : str
        When a build was stored last; empty where none was.
    seconds : float
        That workers took for the builds that were done, together.
    builds : int
        Stored so far.
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
    builds: int = 0

    @classmethod
    def begun(cls, identity: Identity, scenario: Scenario, columns: Sequence[str]) -> Manifest:
        """Return the manifest of a run that begins now."""
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
        )

    def written(self) -> dict[str, Any]:
        """Return what does not change while the run goes on, ready for `json.dumps`."""
        parts = asdict(self)
        for name in ("number", "last", "seconds", "builds"):
            del parts[name]
        return parts

    @classmethod
    def read(cls, number: int, text: str, last: str, seconds: float, builds: int) -> Manifest:
        """Return a manifest from what `written` gave, and from what has changed since."""
        parts = json.loads(text)
        identity = Identity(**parts.pop("identity"))
        return cls(
            identity=identity,
            columns=tuple(parts.pop("columns")),
            changes=tuple((where, text) for where, text in parts.pop("changes")),
            **parts,
            number=number,
            last=last,
            seconds=seconds,
            builds=builds,
        )

    def scenario(self) -> Scenario:
        """Return the scenario that was run, read once more from its text.

        Raises
        ------
        ScenarioError
            If this program does not take it any more.
        """
        from simulation.scenario import Change, parse_scenario

        changes = [Change(*change) for change in self.changes]
        return parse_scenario(self.text, self.file, title=self.title, data=self.data, changes=changes)


def moment() -> str:
    """Return now, as it is written in a store: ISO 8601, UTC."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")
