"""Tables for a spreadsheet: a text that one would run as a formula is written so that it stays a text."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from simulation.present.plain_text import plain

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from simulation.replicate.run_table import RunTable

#: What a formula begins with, in one spreadsheet or another.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def format_csv(records: Sequence[Mapping[str, object]]) -> str:
    """Return records as comma-separated values, their columns those of the first.

    Numbers are left alone; a text that begins like a formula is put behind an apostrophe, as is usual, and control
    characters in it are shown.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(map(_inert, records[0]))
    writer.writerows([_inert(record[name]) for name in records[0]] for record in records)
    return text.getvalue()


def format_frame(frame: RunTable | pd.DataFrame) -> str:
    """Return a table of runs, or one of pandas, in the same way, a number that is none as an empty cell."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(map(_inert, frame.columns))
    writer.writerows(zip(*(_cells(frame[name]) for name in frame.columns), strict=True))
    return text.getvalue()


def _cells(column: pd.Series[Any] | NDArray[Any]) -> list[Any]:
    cells = column.tolist()
    kind = column.dtype.kind
    if kind in "iub" or (kind == "f" and not math.isnan(sum(cells))):  # the sum is a number where every cell is one
        return cells
    return [None if cell is None or cell != cell else _inert(cell) for cell in cells]


def _inert(cell: Any) -> Any:
    if not isinstance(cell, str):
        return cell
    return plain(f"'{cell}" if cell.startswith(_FORMULA) else cell)
