"""The codes with which a command ends."""

from __future__ import annotations

DONE, DISAGREES, MISTAKE, STOPPED, FAULT, NOTHING_KEPT = 0, 1, 2, 3, 70, 130

#: What each says.
MEANINGS = {
    DONE: "done",
    DISAGREES: "a repeated study does not agree",
    MISTAKE: "a mistake in what was asked",
    STOPPED: "stopped early with results kept",
    FAULT: "a fault in the program itself",
    NOTHING_KEPT: "stopped with nothing to report",
}
