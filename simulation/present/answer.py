"""What is an answer? Sentences, tables and pictures, in order: what is said, not how it looks.

Every question ends in an `Answer`; terminal, page, paper and record are made of it and know nothing of the question.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from simulation.present.file_names import FORMS

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Drawn

#: What a reader must not forget, whatever the numbers say.
CAUTIONS = (
    "A planning aid: the mat system's own technical manual, local codes and licensed engineers decide.",
    "A mat weighs about 140 to 155 lb, 64 to 70 kg: lifting limits, hearing protection, heat and traffic rules apply.",
    "Default rates are planning values; replace them with your own records.",
)


@dataclass(frozen=True)
class Text:
    """A sentence or a few; `strong` is what a reader must see first."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Points:
    """Sentences that stand under each other."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Terms:
    """Names, each with what is said of it."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Table:
    """A table; its first column says what each row is about.

    Attributes
    ----------
    title : str
    columns : tuple of str
        Names, with the unit where there is one.
    rows : tuple of tuple of str
    words : frozenset of int
        Places of the columns, besides the first, that hold words and not numbers.
    notes : tuple of str
        What stands below it.
    strong : frozenset of int
        Places of the rows that lead a group.
    ends : frozenset of int
        Places of the rows under which a group ends.
    short : int, optional
        Rows that the short form shows, with the first note alone. Default: all of both.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()
    strong: frozenset[int] = frozenset()
    ends: frozenset[int] = frozenset()
    short: int | None = None


@dataclass(frozen=True)
class Figure:
    """A picture.

    Attributes
    ----------
    name : str
        Of its files, without what tells SVG from PNG.
    title : str
        States the conclusion.
    draw : callable
        Returns a new figure; its look holds inside `simulation.present.pictures.figure.STYLE`, which `drawn` and `save` see to.
    describe : callable
        Returns what the picture says, in sentences with their numbers: the text for readers who do not see it.
    on_paper : bool
        Paper has a place for it, come what may.
    if_room : bool
        Paper shows it where a page would otherwise end empty, and only there.
    """

    name: str
    title: str
    draw: Callable[[], Drawn]
    describe: Callable[[], str]
    on_paper: bool = True
    if_room: bool = False

    def drawn(self) -> Drawn:
        """Return the picture in the look of all pictures."""
        import matplotlib

        from simulation.present.pictures.figure import STYLE

        with matplotlib.rc_context(cast(Any, STYLE)):
            return self.draw()

    def save(self, folder: Path, forms: Sequence[str] = FORMS) -> list[Path]:
        """Write the picture into a folder in some of its forms, and return the paths."""
        from simulation.present.pictures.figure import save_figure

        return save_figure(self.draw, folder / self.name, self.describe(), forms)


@dataclass(frozen=True)
class Verbatim:
    """Text that is shown as it was written; only on the screen."""

    title: str
    text: str


@dataclass(frozen=True)
class Sheet:
    """Plans among which a reader chooses; only on the screen. `record` is what the page's script reads."""

    record: dict[str, Any]


@dataclass(frozen=True)
class Inputs:
    """The inputs of a scenario: a table on the screen; in print, where rows would fill pages, one after the other.

    Attributes
    ----------
    table : Table
        Key, value, spread, origin, meaning.
    groups : tuple of (str, str)
        The same inputs by their origin, running on, with what is said of the origin.
    """

    table: Table
    groups: tuple[tuple[str, str], ...]


Block = Text | Points | Terms | Table | Figure | Verbatim | Sheet | Inputs


@dataclass(frozen=True)
class Part:
    """What answers one question within the answer.

    Attributes
    ----------
    title : str
    blocks : tuple of Block
    on_paper : bool
        False for what only the screen has room for.
    short : bool
        Whether it stands in the short form that a terminal shows unless all is asked for.
    """

    title: str
    blocks: tuple[Block, ...]
    on_paper: bool = True
    short: bool = False

    @classmethod
    def of(cls, block: Table | Figure, *, on_paper: bool = True, short: bool = False) -> Part:
        """Return the part that is one table or picture, under its title."""
        return cls(block.title, (block,), on_paper, short)


@dataclass(frozen=True)
class Page:
    """Parts that belong together; `key` is its anchor."""

    key: str
    title: str
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Answer:
    """The whole of an answer.

    Attributes
    ----------
    question : str
        Name of the command.
    title : str
        Of the scenario.
    about : str
        What was simulated, in a sentence.
    headline : str
        The answer in one sentence.
    lines : tuple of str
        The sentences around it.
    warnings : tuple of str
        What a reader must know before any number: runs that are missing, few, or not ready.
    pages : tuple of Page
    record : mapping
        Everything it says as numbers, under ``"answer"`` of the JSON object.
    study : mapping
        How the runs came about: seed, runs, sampling, versions.
    stem : str
        Name of its files. Default: the question's.
    sheets : mapping of str to str
        CSV files that belong to it, by name.
    stopped : str
        Why not all was done; empty where it was.
    cautions : tuple of str
    """

    question: str
    title: str
    about: str
    headline: str
    lines: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    pages: tuple[Page, ...] = ()
    record: Mapping[str, Any] = field(default_factory=dict)
    study: Mapping[str, Any] = field(default_factory=dict)
    stem: str = ""
    sheets: Mapping[str, str] = field(default_factory=dict)
    stopped: str = ""
    cautions: tuple[str, ...] = CAUTIONS

    @property
    def parts(self) -> tuple[Part, ...]:
        """Every part of every page."""
        return tuple(part for page in self.pages for part in page.parts)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every picture of it."""
        return tuple(block for part in self.parts for block in part.blocks if isinstance(block, Figure))
