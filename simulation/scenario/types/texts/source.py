"""What was a scenario read from? Its text, and that of every data file it names: all that is needed to read it once more."""

from __future__ import annotations

import csv
import errno
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.scenario.types.texts.bounded import DATA, read_text

if TYPE_CHECKING:
    from simulation.scenario.types.change import Change
    from simulation.scenario.types.quantities.measures import System
    from simulation.scenario.types.texts.site_log_text import SiteLog


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
        The text of each data file as far as it is used, by the name that the scenario gives it.
    changes : tuple of Change
        What was made otherwise than the text says.
    folder : Path
        Where data files are sought.
    also : tuple of Path
        Further folders of data files.
    log : SiteLog, optional
        What was written on site since the work began.
    units : {'feet', 'metric'}, optional
        In which answers are asked for, whatever the text says.
    """

    file: str = field(default="", compare=False)
    text: str = field(default="", compare=False)
    data: Mapping[str, str] = field(default_factory=dict, compare=False)
    changes: tuple[Change, ...] = field(default=(), compare=False)
    folder: Path = field(default=Path(), compare=False)
    units: System | None = field(default=None, compare=False)
    also: tuple[Path, ...] = field(default=(), compare=False)
    log: SiteLog | None = field(default=None, compare=False)


#: The whole of the files that were read last, by what is kept of each: a scenario that is varied names the same file, and what
#: was read of it is known by its whole.
_WHOLE: dict[str, str] = {}
_REMEMBERED = 4


class DataFiles:
    """The data files beside a scenario, read as they are asked for: none from elsewhere, and of each only what is used is kept.

    A scenario may come from a stranger, and what it holds goes into reports.

    Parameters
    ----------
    folder : Path
        A file lies in it or below it; a link that leads out of it does not.
    kept : mapping of str to str, optional
        Texts to take instead, by name; then nothing is read from disk.
    also : sequence of Path
        Further folders that a planner has named.
    progress : callable, optional
        Told how far a long file is read: lines done, lines there are, and what they are lines of.
    """

    def __init__(
        self,
        folder: Path,
        kept: Mapping[str, str] | None = None,
        also: Sequence[Path] = (),
        progress: Callable[[int, int, str], None] | None = None,
    ) -> None:
        self._folders, self._kept = (folder, *also), kept
        self.progress = progress
        self._used: dict[str, tuple[str, str, set[str]]] = {}

    def text(self, name: str) -> str:
        """Return the text of one file.

        Raises
        ------
        OSError
            If there is none, it lies elsewhere, or it cannot be read.
        UnicodeDecodeError
            If it is not in UTF-8.
        """
        if self._kept is not None:
            if name not in self._kept:
                raise FileNotFoundError(errno.ENOENT, "there is no such file")
            return _WHOLE.get(self._kept[name], self._kept[name])
        return read_text(self._path(name), DATA)

    def use(self, name: str, text: str, separator: str, columns: Iterable[str]) -> None:
        """Note that some columns of a file were read, and what parts its cells."""
        _, _, used = self._used.setdefault(name, (text, separator, set()))
        used.update(columns)

    @property
    def read(self) -> dict[str, str]:
        """What was used, by name: the files with every cell empty but those of the columns that were read."""
        if self._kept is not None:
            return {name: self._kept[name] for name in self._used}
        return {name: _with_only(used, text, separator) for name, (text, separator, used) in self._used.items()}

    def _path(self, name: str) -> Path:
        """Return where a file lies, links followed."""
        elsewhere = False
        for folder in self._folders:
            try:
                path = (folder / name).resolve()
            except (OSError, RuntimeError, ValueError):  # a link that leads to itself, a name that is none
                continue
            if any(path.is_relative_to(folder.resolve()) for folder in self._folders):
                if path.exists():
                    return path
            else:
                elsewhere = True
        if elsewhere:
            raise PermissionError(errno.EACCES, "lies neither in the scenario's folder nor below it")
        raise FileNotFoundError(errno.ENOENT, "there is no such file")


def _with_only(used: set[str], text: str, separator: str) -> str:
    """Return a CSV file with every cell empty but those of some columns: as many lines and cells, so that it is read alike."""
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    kept: list[int] = []
    written = io.StringIO(newline="")
    write = csv.writer(written, delimiter=separator, lineterminator="\n").writerow
    for row in rows:
        if not kept and any(cell.strip() for cell in row):
            kept = [index for index, name in enumerate(row) if name.strip() in used]
        cells = [""] * len(row)
        for index in kept:
            if index < len(row):
                cells[index] = row[index]
        write(cells)
    part = written.getvalue()
    if len(_WHOLE) >= _REMEMBERED:
        del _WHOLE[next(iter(_WHOLE))]
    _WHOLE[part] = text
    return part
