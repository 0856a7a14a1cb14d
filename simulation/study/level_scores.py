"""How lucky was a run with what nobody knows today? The scores behind its levels, which every plan of the same seed has."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.construction import Plan


class LevelScores:
    """Standard normal scores of the runs of a plan, independent of each other.

    Parameters
    ----------
    plan : Plan
        Its levels are to be drawn at random: see `scores_known`.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._scores: list[list[float]] = []

    def of_runs(self, upto: int) -> NDArray[np.float64]:
        """Return the scores of runs 0 up to, not including, `upto`, a row for each; no column where nothing is uncertain."""
        import numpy as np

        from simulation.chance import Streams  # here: the help of a command loads this room
        from simulation.chance.levels import draw_scores

        for number in range(len(self._scores), upto):
            scores = draw_scores(self._plan.levels, Streams(self._plan.seed, number), self._plan.sampling)
            self._scores.append(list(scores.values()))
        return np.array(self._scores[:upto])


def scores_known(plan: Plan) -> bool:
    """Return whether the scores of runs are independent and normal: not where a log has taught what the levels may be."""
    return plan.learned is None and plan.sampling == "random"
