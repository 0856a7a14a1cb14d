"""What does a check of a scenario say, as one object for JSON?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.scenario import Mistake


def check_record(
    file: str, mistakes: Iterable[Mistake], warnings: Iterable[Mistake], hours: float, read_as: Iterable[tuple[str, str]] = ()
) -> dict[str, Any]:
    """Return what was found in a scenario.

    Parameters
    ----------
    file : str
        The scenario's.
    mistakes, warnings : iterable of Mistake
        Each becomes an object with `key`, `wrong` and `right`; the key of what concerns the whole file is empty.
    hours : float
        From hour zero until one drawn build is ready; infinite where it is not, or was not drawn.
    read_as : iterable of tuple
        Key of each length that is read as a whole number of rows or mats, and how.
    """
    wrong = [_parts(one) for one in mistakes]
    return {
        "file": file,
        "sound": not wrong,
        "mistakes": wrong,
        "warnings": [_parts(one) for one in warnings],
        "read_as": [{"key": key, "how": told} for key, told in read_as],
        "drawn_build_ready_days": hours / 24 if math.isfinite(hours) else None,
    }


def _parts(mistake: Mistake) -> dict[str, str]:
    return {"key": mistake.key, "wrong": mistake.wrong, "right": mistake.right}
