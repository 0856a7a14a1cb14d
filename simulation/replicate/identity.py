"""When are two studies the same study? When scenario, seed, sampling and everything that computes the runs are.

An edited program, or another version of a library that makes numbers, must never answer from runs that an earlier one made.
"""

from __future__ import annotations

import hashlib
import json
import os
import platform
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import metadata
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Rooms whose source a run's numbers come from: what reads the runs may change without changing them.
ROOMS = ("scenario", "chance", "field", "conditions", "construction", "replicate")
#: The folder of the program.
_HOUSE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))  # noqa: PTH100, PTH120
#: Files of a room that numbers come from: modules, and tables that they read.
_SOURCE = (".py", ".txt")
#: Libraries that numbers pass through.
LIBRARIES = ("astral", "numpy", "pydantic", "scipy", "simpy", "thermofeel")


@dataclass(frozen=True)
class Identity:
    """What a study is known by.

    Attributes
    ----------
    scenario : str
        SHA-256 of the parsed scenario without its seed and the units it is told in, the values of its data files included.
    seed : int
    sampling : str
    program : str
        `program_hash` of the program that made the runs.
    versions : dict of str to str
        `versions` under which it made them.
    """

    scenario: str
    seed: int
    sampling: str
    program: str
    versions: dict[str, str]

    @classmethod
    def of(cls, scenario: Scenario, seed: int, sampling: str) -> Identity:
        """Return the identity of a study of `scenario` by this program on this machine."""
        return cls(scenario_hash(scenario), seed, sampling, program_hash(), versions())

    @property
    def key(self) -> str:
        """The identity in one word: SHA-256 of all its parts."""
        parts = [self.scenario, self.seed, self.sampling, self.program, sorted(self.versions.items())]
        return hashlib.sha256(json.dumps(parts).encode()).hexdigest()


def scenario_hash(scenario: Scenario) -> str:
    """Return the SHA-256 of a parsed scenario and its data files, without its seed and what no run depends on."""
    source = scenario.source
    parts: list[Any] = [
        scenario.model_dump(mode="json", exclude={"seed", "units", "limits", "choose"}),
        sorted(source.data.items()),
    ]
    if source.log is not None:
        parts.append([source.log.text, source.log.at, source.log.teaches])
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


@cache
def program_hash() -> str:
    """Return the SHA-256 of the program's own source, of all rooms that a run's numbers come from."""
    return source_hash(ROOMS)


def other_rooms() -> list[str]:
    """Return the rooms that no number of a run comes from."""
    rooms = (entry.name for entry in os.scandir(_HOUSE) if entry.is_dir() and not entry.name.startswith("_"))
    return sorted(room for room in rooms if room not in ROOMS)


def source_hash(rooms: Iterable[str]) -> str:
    """Return the SHA-256 of the program's own source in some rooms; plain names, since paths take as long as all the reading."""
    digest = hashlib.sha256()
    for room in rooms:
        files = (
            f"{folder}/{name}" for folder, _, names in os.walk(f"{_HOUSE}/{room}") for name in names if name.endswith(_SOURCE)
        )
        for file in sorted(files):
            with open(file, "rb") as opened:  # noqa: PTH123
                content = opened.read()
            digest.update(f"{file.removeprefix(_HOUSE).replace(os.sep, '/')} {len(content)}\n".encode())
            digest.update(content)
    return digest.hexdigest()


def version_of(library: str) -> str:
    """Return the version of a library that is installed; of what is known of it no more is read, which can be a book.

    Raises
    ------
    importlib.metadata.PackageNotFoundError
        If it is not.
    """
    known = metadata.distribution(library).read_text("METADATA") or ""
    said = re.search(r"^Version: *(\S+)", known, re.MULTILINE)
    return said[1] if said else metadata.version(library)


@cache
def _versions() -> tuple[tuple[str, str], ...]:
    python = f"{platform.python_implementation()} {platform.python_version()}"
    return (("python", python), *((library, version_of(library)) for library in LIBRARIES))


def versions() -> dict[str, str]:
    """Return the versions of Python and of the libraries that numbers pass through."""
    return dict(_versions())


def release() -> str:
    """Return the version of keystrip that is installed."""
    try:
        return version_of("keystrip")
    except metadata.PackageNotFoundError:
        return "not installed"


@cache
def processor() -> str:
    """Return the kind of processor and the features that numpy uses: across them the last bit of a number may differ."""
    import numpy as np

    config: Any = np.show_config(mode="dicts")
    extensions = config["SIMD Extensions"]
    return " ".join([platform.machine(), *extensions["baseline"], *extensions.get("found", [])])
