"""How is an hour of a run told that takes a field up; and when is somebody waiting, or stopped, whatever the job?"""

from __future__ import annotations

from simulation.construction.plan.steps import END_STANDS, KINDS
from simulation.present.words import wording
from simulation.questions.replay import activities as doings
from simulation.questions.replay.activities import Doing
from simulation.questions.replay.study import Frame


def is_waiting(doing: Doing) -> bool:
    """Return whether a crew does no work at a laying edge."""
    return doing.what.startswith(doings.WAITS) or doing.what in (
        doings.DONE,
        doings.TURN,
        "late start",
        "laying edge waits for a crew",
        KINDS[END_STANDS].name,
    )


def stop_words(cause: str) -> str:
    """Return what it is to be stopped by a cause that a clock names."""
    return cause if cause == "off shift" else f"stopped: {cause}"


def state_up(frame: Frame) -> str:
    """Return whether rows are being taken up, or what stops them."""
    if not sum(frame.stand.laid) + sum(frame.stand.in_work):
        left = frame.stand.full.at_edges + frame.stand.half.at_edges
        return f"all is up, {left:,} mats are still to come to the yard" if left else "all is up and in the yard or away"
    if frame.stopped:
        return f"taking up {stop_words(frame.stopped)}"
    at_it = [doing for doing in frame.doings if doing.kind == "crew" and not doing.stopped and not is_waiting(doing)]
    return "taking up on shift" if at_it else "on shift, nobody takes up"


def supply_up(frame: Frame) -> list[tuple[str, str]]:
    """Return where the mats and pallets of a field are that is taken up."""
    stand = frame.stand
    lie, loose = (getattr(stand.full, name) + getattr(stand.half, name) for name in ("laid", "at_edges"))
    return [
        ("lie", f"{lie:,} mats"),
        ("up, not in the yard", f"{loose:,} mats"),
        ("in the yard", wording.counted(stand.yard, "pallet")),
        ("being loaded", wording.counted(stand.waiting, "pallet")),
        ("on the road", wording.counted(stand.on_road, "pallet")),
        ("gone", wording.counted(stand.at_port, "pallet")),
    ]
