"""What does a check of a scenario say, as one object for JSON?"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from simulation.scenario.types.mistakes import MOST_TOLD

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
        Each of the first becomes an object with `key`, `wrong` and `right`; the key of what concerns the whole file is
        empty. Beside them stands how many there are in all.
    hours : float
        From start until one drawn run is ready; infinite where it is not, or was not drawn.
    read_as : iterable of tuple
        Key of each length that is read as a whole number of rows or mats, and how.
    """
    wrong, odd = list(mistakes), list(warnings)
    return {
        "file": file,
        "sound": not wrong,
        "mistakes_in_all": len(wrong),
        "mistakes": [_parts(one) for one in wrong[:MOST_TOLD]],
        "warnings_in_all": len(odd),
        "warnings": [_parts(one) for one in odd[:MOST_TOLD]],
        "read_as": [{"key": key, "how": told} for key, told in read_as],
        "drawn_run_ready_days": hours / 24 if math.isfinite(hours) else None,
    }


def _parts(mistake: Mistake) -> dict[str, str]:
    return {"key": mistake.key, "wrong": mistake.wrong, "right": mistake.right}
