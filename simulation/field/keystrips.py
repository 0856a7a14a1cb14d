"""Which pieces make up one key strip across an area, so that no joint of it lines up with one of the mats?"""

from __future__ import annotations

from collections import Counter
from functools import cache

#: Lengths are compared in hundredths of an inch, so that metric ones meet.
_FINE = 1200


def lengths_of(lengths: tuple[float, ...], full: float) -> tuple[float, ...]:
    """Return the lengths that key strips come in: a quarter, three quarters and all of a full mat where none are written."""
    return lengths or (full / 4, 3 * full / 4, full)


@cache
def pieces_across(width: float, lengths: tuple[float, ...], half: float) -> tuple[float, ...]:
    """Return the pieces of a key strip across `width`, from the left edge.

    The fewest pieces that fill the width with no joint at a whole number of half mats, where the end joints of mats may lie; the
    shorter piece first. Where no pieces do that, as many of the longest as cover the width, the last one to be cut.

    Parameters
    ----------
    width : float
        Of the area, or of one lane.
    lengths : tuple of float
        That there are.
    half : float
        Length of a half mat.

    Examples
    --------
    >>> pieces_across(72.0, (3.0, 9.0, 12.0), 6.0)
    (3.0, 12.0, 12.0, 12.0, 12.0, 12.0, 9.0)
    """
    end, module = round(width * _FINE), round(half * _FINE)
    sizes = sorted({round(length * _FINE): length for length in lengths}.items())
    came: dict[int, tuple[int, float] | None] = {0: None}
    front = [0]
    while front and end not in came:
        reached: list[int] = []
        for at in front:
            for size, length in sizes:
                to = at + size
                if to not in came and (to == end or (to < end and to % module)):
                    came[to] = (at, length)
                    reached.append(to)
        front = reached
    if end not in came:
        longest = max(lengths)
        return (longest,) * -(-end // round(longest * _FINE))
    pieces: list[float] = []
    step = came[end]
    while step is not None:
        pieces.append(step[1])
        step = came[step[0]]
    return tuple(reversed(pieces))


def count_by_length(widths: tuple[float, ...], lengths: tuple[float, ...], half: float) -> Counter[float]:
    """Return how many pieces of each length make up one key strip across lanes of these widths."""
    return Counter(piece for width in widths for piece in pieces_across(width, lengths, half))
