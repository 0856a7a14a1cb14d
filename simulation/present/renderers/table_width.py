"""How does a table stand on a terminal that is too narrow for it? Its heads are folded, its gaps closed, and it goes on below.

The printing library would take what is missing from the columns, down to nothing: a number would be gone unseen.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.table import Column, Table

#: Letters between two columns: of a table as it is made, and of one whose gaps are closed.
_OPEN, _CLOSED = 3, 2
#: The longest word that is kept on one line of a column of text.
_WORD = 24


def fitted(table: Table, width: int) -> list[Table]:
    """Return a table as one or several, each with its first column, in which no head and no cell is cut.

    Parameters
    ----------
    table : Table
        With heads; its columns of numbers are not wrapped.
    width : int
        Letters of the terminal.
    """
    columns = table.columns
    if not table.show_header or _taken(map(_least, columns), table.collapse_padding) <= width:
        return [table]
    heads = [_folded(column) for column in columns]
    least = [max(_widest(head.split("\n")), _least(column, with_head=False)) for column, head in zip(columns, heads, strict=True)]
    closed = table.collapse_padding or _taken(least, closed=False) > width
    return [_part(table, heads, places, closed) for places in _lines(least, width, closed)]


def _lines(least: Sequence[int], width: int, closed: bool) -> list[list[int]]:
    """Return the places of the columns that stand beside each other, those that have no room below the others."""
    parts: list[list[int]] = [[0]]
    for index in range(1, len(least)):
        beside = [*parts[-1], index]
        if len(parts[-1]) > 1 and _taken((least[each] for each in beside), closed) > width:
            beside = [0, index]
            parts.append(beside)
        parts[-1] = beside
    return parts


def _part(table: Table, heads: Sequence[str], places: Sequence[int], closed: bool) -> Table:
    """Return some columns of a table as a table."""
    from rich.table import Table

    part = Table(box=table.box, pad_edge=table.pad_edge, show_edge=table.show_edge, collapse_padding=closed)
    for index in places:
        column = table.columns[index]
        part.add_column(
            heads[index],
            justify=column.justify,
            no_wrap=column.no_wrap,
            overflow=column.overflow,
            min_width=column.min_width,
            style=column.style,
        )
    cells = [list(table.columns[index].cells) for index in places]
    for number, row in enumerate(table.rows):
        part.add_row(*(each[number] for each in cells), style=row.style, end_section=row.end_section)
    return part


def _taken(widths: Iterable[int], closed: bool) -> int:
    each = list(widths)
    return sum(each) + (_CLOSED if closed else _OPEN) * (len(each) - 1)


def _least(column: Column, with_head: bool = True) -> int:
    """Return the letters that a column must have."""
    texts = [str(cell) for cell in column.cells] + ([str(column.header)] if with_head else [])
    if column.no_wrap:
        return _widest(line for text in texts for line in text.split("\n"))
    # What a cell is indented by stays with its first word.
    words = (word for text in texts for word in re.findall(r"^ *\S+|\S+", text))
    return max(column.min_width or 0, min(_WORD, _widest(words)))


def _folded(column: Column) -> str:
    """Return the head of a column, broken between words where its cells are narrower."""
    head = str(column.header)
    room = max(_least(column, with_head=False), _widest(head.split()))
    return "\n".join(wrap(head, room, break_on_hyphens=False)) if room and column.no_wrap else head


def _widest(texts: Iterable[str]) -> int:
    from rich.cells import cell_len

    return max(map(cell_len, texts), default=0)
