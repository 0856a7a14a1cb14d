"""What is a brief made of? Pages of parts, and in them sentences, tables, figures: what is said, in order, not how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.questions.forecast.pictures import Picture


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
    rows : tuple of tuple of str
    words : frozenset of int
        Places of the columns, besides the first, that hold words and not numbers.
    notes : tuple of str
        What stands below it.
    """

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: frozenset[int] = frozenset()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Figure:
    """A picture, with its title and the sentence for readers who do not see it.

    Attributes
    ----------
    title : str
    picture : Picture
    text : str
    on_paper : bool
        Paper has a place for it, come what may.
    if_room : bool
        Paper shows it where a page would otherwise end empty, and only there.
    """

    title: str
    picture: Picture
    text: str
    on_paper: bool = True
    if_room: bool = False


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
    """What answers one question; `on_paper` is False for what only the screen has room for."""

    title: str
    blocks: tuple[Block, ...]
    on_paper: bool = True


@dataclass(frozen=True)
class Page:
    """Parts that belong together; `key` is its anchor."""

    key: str
    title: str
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Brief:
    """The whole of a brief.

    Attributes
    ----------
    title : str
    about : str
        What was simulated, in a sentence.
    warnings : tuple of str
        What a reader must know before any number: runs that are missing, few, or not ready.
    pages : tuple of Page
    """

    title: str
    about: str
    warnings: tuple[str, ...]
    pages: tuple[Page, ...]
