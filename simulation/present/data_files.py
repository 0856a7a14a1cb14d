"""What does a brief say of a data file? How many lines, which columns were read, and quantiles of their numbers: no rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

import numpy as np


def describe_data(data: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return a term and a line for each data file that a scenario was read with.

    Parameters
    ----------
    data : mapping of str to str
        Text by name, every cell empty but those that were read; see `simulation.scenario.types.source.Source`.
    """
    return [(name, _described(text)) for name, text in data.items()]


def _described(text: str) -> str:
    separator = max(",;\t|", key=text.partition("\n")[0].count)
    header, *rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows = [row for row in rows if any(row)]
    columns = [(name.strip(), place) for place, name in enumerate(header) if name.strip()]
    parts = [_quantiles(name, [row[place] for row in rows if place < len(row)]) for name, place in columns]
    return f"{len(rows):,} lines; {'; '.join(parts)}"


def _quantiles(name: str, cells: list[str]) -> str:
    """Return P10, P50 and P90 of a column of numbers, or its name alone."""
    try:
        values = [float(cell.replace(",", ".")) for cell in cells if cell.strip()]
    except ValueError:
        return name
    if not values:
        return name
    low, middle, high = np.quantile(values, [0.1, 0.5, 0.9], method="inverted_cdf")
    return f"{name} P10 {low:g}, P50 {middle:g}, P90 {high:g}"
