"""What share of the hours that a clock leaves crews do they lay, and not wait for mats, ground or a way? A few runs say it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import (
    ACTOR,
    END,
    KIND,
    OF_LAYING,
    START,
)
from simulation.construction.running import simulate

#: Runs that say it. Planning value: enough for a mean and a spread, and soon done.
_RUNS = 10

#: A shift of a crew: its number in the plan, and from when to when.
CrewShift = tuple[int, float, float]


def shares_at_work(plan: Plan, shifts: Sequence[CrewShift]) -> NDArray[float64]:
    """Return the share of the clock's hours of each shift that its crew laid, in each of some runs; NaN where it had none.

    Parameters
    ----------
    plan : Plan
        From the start.
    shifts : sequence of (int, float, float)
    """
    until = max((end for _, _, end in shifts), default=0.0)
    shares = np.full((_RUNS, len(shifts)), np.nan)
    for number in range(_RUNS):
        run = simulate(plan, number, until=until)
        steps = [step for step in run.site.trace if step[KIND] in OF_LAYING]
        for column, (crew, start, end) in enumerate(shifts):
            clock = run.site.clocks[plan.crews[crew].clock]
            mine = [step for step in steps if step[ACTOR] == run.crews[crew].number and step[START] < end and step[END] > start]
            open_hours = clock.worked(start, end)
            if mine and open_hours > 0.0:
                laid = sum(clock.worked(max(step[START], start), min(step[END], end)) for step in mine)
                shares[number, column] = min(laid / open_hours, 1.0)
        run.dismiss()
    return shares
