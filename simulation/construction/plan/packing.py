"""What does each pallet of a delivery hold, where half mats come on pallets of their own?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

#: Full and half mats of a pallet.
Mix = tuple[int, int]


def pack(pallets: int, full: int, half: int, half_first: bool) -> list[Mix]:
    """Return what each pallet of a delivery holds, in the order in which they come, if full and half mats are packed apart.

    Parameters
    ----------
    pallets : int
    full, half : int
        Mats of either kind on a pallet that holds both.
    half_first : bool
        Whether the half mats come first; else they come last.

    Returns
    -------
    list of (int, int)
        As many pallets, with as many mats of either kind, as where every pallet holds both: one has room for twice its full mats
        and its half ones, a full mat taking the room of two. Where that is an odd number, a half mat fills the odd place on a
        pallet of full ones. One pallet at most, between the two kinds, holds what is left of both.
    """
    return pack_mats((pallets * full, pallets * half), 2 * full + half, half_first)


def pack_mats(mats: Mix, room: int, half_first: bool) -> list[Mix]:
    """Return what the pallets hold on which so many full and half mats are, packed apart, with room for `room` half mats each.

    What is left of a delivery that has come in part is packed as it was in the whole.
    """
    full, half = mats
    whole, odd = divmod(room, 2)
    packed: list[Mix] = []
    while full > 0:
        on = min(whole, full), min(max(half, 0), max(odd, room - 2 * full))
        packed.append(on)
        full -= on[0]
        half -= on[1]
    while half > 0:
        packed.append((0, min(room, half)))
        half -= room
    return packed[::-1] if half_first else packed


def spread(mats: Mix, pallets: int) -> list[Mix]:
    """Return what so many pallets hold that share full and half mats as evenly as whole mats can be."""
    upto = [tuple(kind * number // pallets for kind in mats) for number in range(pallets + 1)]
    return [(after[0] - before[0], after[1] - before[1]) for before, after in pairwise(upto)]


def count_mats(pallets: Iterable[Mix]) -> Mix:
    """Return the full and half mats that pallets hold together."""
    full = half = 0
    for pallet in pallets:
        full += pallet[0]
        half += pallet[1]
    return full, half


def find_pallet(pallets: Iterable[Mix], due: Mix, takes: Mix) -> Mix | None:
    """Return the pallet for a laying edge: with most of what it lacks most, as a share of all that it takes; None if none serves.

    Parameters
    ----------
    pallets : iterable of (int, int)
        Of which one may be taken.
    due : (int, int)
        Full and half mats that the laying edge still lacks.
    takes : (int, int)
        All that its rows take.
    """
    lacks = sorted((kind for kind in (0, 1) if due[kind] > 0), key=lambda kind: due[kind] / max(takes[kind], 1), reverse=True)
    there: Sequence[Mix] = list(pallets)
    for kind in lacks:
        fullest = max((pallet for pallet in there if pallet[kind]), key=lambda pallet: pallet[kind], default=None)
        if fullest is not None:
            return fullest
    return None
