"""What was a scenario read from? Its text, and that of every data file it names: all that is needed to read it once more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from errno import EFBIG
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario.changes import Change
    from simulation.scenario.measures import System


@dataclass(frozen=True)
class Source:
    """Where a scenario was written.

    Any two are equal: where it was written does not make a scenario another one.

    Attributes
    ----------
    file : str
        The name it goes by in messages.
    text : str
        TOML; empty for a scenario that no text was read for.
    data : dict of str to str
        The text of each data file, by the name that the scenario gives it.
    changes : tuple of Change
        What was made otherwise than the text says.
    folder : Path
        Where data files are sought.
    units : {'feet', 'metric'}, optional
        In which answers are asked for, whatever the text says.
    """

    file: str = field(default="", compare=False)
    text: str = field(default="", compare=False)
    data: Mapping[str, str] = field(default_factory=dict, compare=False)
    changes: tuple[Change, ...] = field(default=(), compare=False)
    folder: Path = field(default=Path(), compare=False)
    units: System | None = field(default=None, compare=False)


#: A data file may be so large: a hundred years of hours take half of it. A larger one is a slip.
MOST_BYTES = 128 << 20


class DataFiles:
    """The data files beside a scenario, read as they are asked for.

    Parameters
    ----------
    folder : Path
        Where a file is sought unless its full path is given.
    kept : mapping of str to str, optional
        Texts to take instead, by name; then nothing is read from disk.

    Attributes
    ----------
    read : dict of str to str
        What was asked for so far, by name.
    """

    def __init__(self, folder: Path, kept: Mapping[str, str] | None = None) -> None:
        self._folder, self._kept = folder, kept
        self.read: dict[str, str] = {}

    def text(self, name: str) -> str:
        """Return the text of one file.

        Raises
        ------
        OSError
            If there is none, or it cannot be read.
        UnicodeDecodeError
            If it is not in UTF-8.
        """
        if self._kept is not None:
            if name not in self._kept:
                raise FileNotFoundError(2, "there is no such file")
            self.read[name] = self._kept[name]
        else:
            path = self._folder / name
            # A device or a pipe has no end.
            if not path.is_file():
                raise FileNotFoundError(2, "there is no such file")
            if path.stat().st_size > MOST_BYTES:
                raise OSError(EFBIG, f"is larger than {MOST_BYTES >> 20} megabytes")
            # Spreadsheets put a byte order mark before the first column's name; lines end as they were written.
            with path.open(newline="", encoding="utf-8-sig") as text:
                self.read[name] = text.read()
        return self.read[name]
