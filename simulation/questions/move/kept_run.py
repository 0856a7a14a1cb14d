"""The record of one run of a move, as it is kept in the folder and read again to the bit: lists of numbers, compressed."""

from __future__ import annotations

import json
import zlib
from dataclasses import dataclass
from typing import Any

from simulation.construction.take_up.pallet_up import LoadOff, PalletUp
from simulation.construction.trace.taken_up import TakenUp
from simulation.questions.move.on_the_way import OnTheWay, SentLoad
from simulation.questions.move.second_site import LaidAgain


@dataclass(frozen=True)
class MoveRun:
    """One run of a move: the first site taken up, what came of it on the way, and the second laid."""

    taken: TakenUp
    way: OnTheWay
    laid: LaidAgain


#: A run of every way: all of the one as written, and when each milestone of the second site is reached by each of the others.
Ways = tuple[MoveRun, tuple[tuple[float, ...], ...]]


def pack_ways(ways: Ways) -> bytes:
    """Return the record of a run of every way."""
    asked, reached = ways
    taken, sent, laid = asked.taken, asked.way, asked.laid
    loads = [
        (load.hour, [(pallet.state, pallet.full, pallet.mats, pallet.by_area) for pallet in load.pallets]) for load in taken.off
    ]
    parts = {
        "taken": (taken.rows_up, taken.in_yard, taken.gone, taken.loads),
        "mats": [(state, full, count) for (state, full), count in taken.mats.items()],
        "pallets": list(taken.pallets.items()),
        "off": loads,
        "bare": taken.bare,
        "most": taken.most,
        "waits": list(taken.waits.items()),
        "sent": [(load.leaves, load.comes, load.pallets, load.lost) for load in sent.loads],
        "ordered": sent.ordered,
        "laid": (laid.milestones, laid.covered, laid.ordered),
        "reached": reached,
    }
    return zlib.compress(json.dumps(parts).encode())


def read_ways(record: bytes) -> Ways:
    """Return a run of every way from its record."""
    parts = json.loads(zlib.decompress(record))
    rows_up, in_yard, gone, loads = parts["taken"]
    taken = TakenUp(
        rows_up=rows_up,
        in_yard=in_yard,
        gone=gone,
        mats={(state, full): count for state, full, count in parts["mats"]},
        pallets=dict(parts["pallets"]),
        loads=loads,
        off=tuple(
            LoadOff(hour, tuple(PalletUp(state, full, mats, _tuples(by)) for state, full, mats, by in pallets))
            for hour, pallets in parts["off"]
        ),
        bare=_tuples(parts["bare"]),
        most=tuple(parts["most"]),
        waits=dict(parts["waits"]),
    )
    sent = tuple(SentLoad(leaves, comes, _tuples(pallets), lost) for leaves, comes, pallets, lost in parts["sent"])
    milestones, covered, ordered = parts["laid"]
    laid = LaidAgain(tuple(milestones), _tuples(covered), ordered)
    return MoveRun(taken, OnTheWay(sent, _tuples(parts["ordered"])), laid), _tuples(parts["reached"])


def _tuples(lists: list[list[Any]]) -> tuple[tuple[Any, ...], ...]:
    return tuple(map(tuple, lists))
