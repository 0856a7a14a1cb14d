"""How much work is a question, in words, before it is begun?"""

from __future__ import annotations

import math


def in_words(runs: int, seconds: float) -> str:
    """Return what so many runs are, and how long about they take.

    Examples
    --------
    >>> in_words(11_640, 118.0), in_words(400, 3.2)
    ('about 12,000 runs, 2 minutes', '400 runs, a few seconds')
    """
    rounded = _two_digits(runs)
    many = f"{'' if rounded == runs else 'about '}{rounded:,} run{'' if runs == 1 else 's'}"
    return f"{many}, {_time(seconds)}"


def _time(seconds: float) -> str:
    if seconds < 10:
        return "a few seconds"
    for size, name in ((86400.0, "day"), (3600.0, "hour"), (60.0, "minute")):
        if seconds >= 1.5 * size:
            return f"{_two_digits(seconds / size)} {name}s"
    return f"{_two_digits(seconds)} seconds"


def _two_digits(value: float) -> int:
    whole = max(1, round(value))
    unit: int = 10 ** max(0, math.floor(math.log10(whole)) - 1)
    return round(whole / unit) * unit
