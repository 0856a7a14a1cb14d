"""How is a CSV file written: what parts its cells, and which sign stands before the decimals? Found in the file, or told.

Spreadsheets of many countries write semicolons between cells and a comma before the decimals.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from simulation.scenario.types.mistakes import complaint, nearest, shown

#: What may part cells, by how it is told.
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
DECIMALS = {".": "point", ",": "comma"}
#: Lines that are looked at for what parts the cells.
_LOOKED_AT = 200
_WITH_COMMA, _WITH_POINT = re.compile(r"[+-]?\d*,\d+"), re.compile(r"[+-]?\d*\.\d+")

#: A line of the file: its number, counted from 1, and its cells.
Line = tuple[int, list[str]]


class FormError(ValueError):
    """A file whose form is not clear, or that is no CSV file: the key that it is about, what is wrong, what is right."""

    def __init__(self, key: str, wrong: str, right: str) -> None:
        self.said = (key, wrong, right)
        super().__init__(f"{wrong}; {right}")


@dataclass(frozen=True)
class CsvForm:
    """What parts cells, and what stands before decimals; nothing where no cell that is read has any."""

    separator: str = ","
    decimal: str = "."

    @property
    def plain(self) -> bool:
        """Whether it is the form of most programs."""
        return self.separator == "," and self.decimal != ","

    @property
    def said(self) -> str:
        """How it is told, such as ``"semicolons between cells, decimal comma"``."""
        parted = f"{SEPARATORS[self.separator]} between cells"
        return f"{parted}, decimal {DECIMALS[self.decimal]}" if self.decimal else parted

    def number(self, cell: str) -> float:
        """Return the number in a cell.

        Raises
        ------
        ValueError
            If there is none; a thousands sign makes it none.
        """
        if self.decimal == ",":
            if "." in cell:
                raise ValueError(cell)
            cell = cell.replace(",", ".")
        return float(cell)


def word_of(cell: str) -> str:
    """Return the first word of a cell, short: all that a message quotes of what a file holds."""
    words = cell.split()
    first = words[0] if words else ""
    short = first if len(first) <= 20 else f"{first[:17]}..."
    return short if short == cell.strip() else f"{short} …"


def separator_of(text: str) -> str:
    """Return what parts the cells: what cuts the head into most cells, and the lines below it into as many.

    A file of one column has none; then a semicolon is returned, which leaves a decimal comma whole.
    """
    head = "".join(islice(io.StringIO(text, newline=""), _LOOKED_AT))
    best, most = ";", 1.0
    for separator in SEPARATORS:
        try:
            rows = [row for row in csv.reader(io.StringIO(head, newline=""), delimiter=separator) if any(map(str.strip, row))]
        except csv.Error:
            continue
        if not rows or len(rows[0]) < 2:
            continue
        alike = sum(len(row) == len(rows[0]) for row in rows) / len(rows)
        if alike > 0.5 and alike * len(rows[0]) > most:
            best, most = separator, alike * len(rows[0])
    return best


def lines_of(text: str, separator: str) -> Iterator[Line]:
    """Yield every line that is not empty.

    Raises
    ------
    FormError
        If it is no CSV file.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        for row in reader:
            if any(map(str.strip, row)):
                yield reader.line_num, row
    except csv.Error:
        raise FormError("", "is not a CSV file", "save it as comma-separated text") from None


def decimal_of(cells: Iterable[str], separator: str) -> str:
    """Return which sign stands before decimals in some cells of one file; a point where none has any.

    Raises
    ------
    FormError
        If some have a comma and some a point.
    """
    seen = {",": "", ".": ""}
    for cell in cells:
        sign = "," if _WITH_COMMA.fullmatch(cell) else "." if _WITH_POINT.fullmatch(cell) else ""
        if sign and not seen[sign]:
            seen[sign] = cell
    if seen[","] and seen["."]:
        wrong = f"holds both {word_of(seen[','])} and {word_of(seen['.'])}, so the decimal sign is not clear"
        raise FormError("decimal", wrong, 'write decimal = "." or decimal = ","')
    return "," if seen[","] else "."


def meant_by(name: str, header: list[str]) -> str:
    """Return the hint for a column that is not there: the one whose name is nearest, or how many there are.

    What stands in the first line may be no names at all, and is no more quoted than what stands below it.
    """
    near = nearest(name, [head for head in header if len(head) <= 60 and head.isprintable()])
    return f"did you mean {near}?" if near else one_of_head(header)


def one_of_head(header: list[str]) -> str:
    """Return the hint to name a column."""
    many = f"one of the {len(header)} columns" if len(header) > 1 else "the one column"
    return f"name {many} in the first line of the file"


def twice(header: list[str]) -> set[str]:
    """Return the names that several columns bear."""
    return {name for name, count in Counter(header).items() if count > 1}


def one_of(names: dict[str, str]) -> Callable[[object], str | None]:
    """Return a reader of a sign that a planner writes as it is."""

    def read(value: object) -> str | None:
        if value is None:
            return None
        sign = {"tab": "\t", "\\t": "\t"}.get(value, value) if isinstance(value, str) else value
        if not isinstance(sign, str) or sign not in names:
            known = ", ".join(f'"{name}"' if name != "\t" else '"tab"' for name in names)
            raise complaint(f"{shown(value)} is not one of them", f"write one of: {known}")
        return sign

    return read
