"""What does each pallet of a delivery hold, where half mats come on pallets of their own?"""

from __future__ import annotations

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
    room = 2 * full + half
    whole, odd = divmod(room, 2)
    count = pallets * full // whole
    of_full = pallets * full - count * whole
    left = pallets * half - count * odd
    packed = [(whole, odd)] * count
    if of_full:
        packed.append((of_full, room - 2 * of_full))
        left -= room - 2 * of_full
    packed += [(0, room)] * (left // room)
    return packed[::-1] if half_first else packed
