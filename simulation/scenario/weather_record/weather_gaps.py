"""Where does a record of weather have gaps, which of them are filled in, and how is that told?"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy import bool_, float64, intp
from numpy.typing import NDArray

from simulation.scenario.weather_record.weather_findings import Finding

Array = NDArray[float64]


def name_step(step: int) -> str:
    """Return what a record of so many hours a line is by: hours, or days."""
    return "hour" if step == 1 else "day"


def _counted(count: int, step: int) -> str:
    return f"{count} {name_step(step)}{'' if count == 1 else 's'}"


def fill_all(
    values: dict[str, Array],
    step: int,
    limit: float,
    lines: NDArray[intp],
    findings: list[Finding],
    bad: dict[tuple[str, int], int],
) -> dict[str, int]:
    """Fill the short gaps of every variable, tell of all, and return how many values of each were filled in.

    Values that are told of as `bad`, by variable and place, are not told of again: what became of them stands with them.
    """
    filled = dict.fromkeys(values, 0)
    gaps: dict[tuple[int, int, bool], list[str]] = {}
    told_before: set[int] = set()
    for name, series in values.items():
        known = ~np.isnan(series)
        if not known.any() or name == "gust":  # gusts are reported where there are any
            continue
        for start, end in find_runs(~known):
            short = start > 0 and end < len(series) and (end - start) * step <= limit
            mine = [at for index in range(start, end) if (at := bad.get((name, index))) is not None]
            if len(mine) < end - start:
                gaps.setdefault((start, end, short), []).append(name)
            elif short:
                for at in mine:
                    findings[at] = replace(findings[at], text=f"{findings[at].text}, filled in")
            else:
                # One line tells of a long run of them: each for itself would hide how long it is.
                first, *others = mine
                so = f", as are the values of the next {_counted(len(others), step)}" if others else ""
                text = f"{findings[first].text}{so}; not filled in"
                findings[first] = replace(findings[first], text=text, lost=len(mine) * step)
                told_before.update(others)
            if short:
                filled[name] += end - start
                _bridge(name, series, start, end)
    for (start, end, short), names in gaps.items():
        # The columns of an hour are most often missing together, and one line says so.
        count = end - start
        said = f"after it {_counted(count, step)} {'has' if count == 1 else 'have'} no value of {', '.join(names)}"
        said += "; filled in" if short else "; not filled in"
        findings.append(Finding(int(lines[:start].max(initial=1)), said, 0 if short else count * step, gap=True))
    findings[:] = [finding for at, finding in enumerate(findings) if at not in told_before]
    return filled


def _bridge(name: str, values: Array, start: int, end: int) -> None:
    """Fill one gap: rain by what was before, since it most often goes on; all else on a straight line."""
    if name == "rain":
        values[start:end] = values[start - 1]
    else:
        values[start:end] = np.interp(np.arange(start, end), [start - 1, end], [values[start - 1], values[end]])


def find_runs(flags: NDArray[bool_]) -> list[tuple[int, int]]:
    """Return the runs of true values as (from, up to)."""
    padded = np.concatenate(([False], flags, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1]).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))
