"""What came of a run that took a field up: mats by state, pallets, loads, what lies bare, and who waited for what?"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import EDGE, END, KIND, LIFT
from simulation.construction.plan.take_up_plan import AWAY, IN_YARD, UP
from simulation.construction.running import Finished, simulate
from simulation.construction.site.edges.waits import WHEN_UP, list_waits
from simulation.construction.take_up.mat_luck import STATES
from simulation.construction.take_up.pallet_up import LoadOff

_SIZES = ("full", "half")
#: The most pallets that stood in the yard at once, and the hour from which on they did.
YARD_MOST = ("up.most in yard", "up.most in yard since")


@dataclass(frozen=True)
class TakenUp:
    """What came of one run of taking a field up.

    Attributes
    ----------
    rows_up, in_yard, gone : float
        When the last row was up, the last pallet in the yard, and on its way out of it: hours since the start, infinite where the
        last day simulated came first, or nothing brings pallets away.
    mats : dict of (str, bool) to int
        That came up, by state and whether full.
    pallets : dict of str to int
        That were banded, by state of their mats.
    loads : int
        That left the yard.
    off : tuple of LoadOff
        What is off the site and when, in the order in which it left the yard.
    bare : tuple of (float, float)
        Hours at which rows came up, and the square feet of each, in the order of the hours.
    most : (int, float)
        The most pallets that stood in the yard at once, and the hour from which on they did.
    waits : dict of str to float
        Hours that crews, and their handlers, waited for each of `waits.WHEN_UP`, nights included.
    """

    rows_up: float
    in_yard: float
    gone: float
    mats: dict[tuple[str, bool], int]
    pallets: dict[str, int]
    loads: int
    off: tuple[LoadOff, ...]
    bare: tuple[tuple[float, float], ...]
    most: tuple[int, float]
    waits: dict[str, float]


def read_taken_up(run: Finished) -> TakenUp:
    """Return what came of a run of taking a field up; it is read before the run is dismissed."""
    field, site = run.up, run.site
    assert field is not None
    mats: Counter[tuple[str, bool]] = Counter()
    for area, row in field.lifted:
        for state, sizes in zip(STATES, field.luck.mats[area][row].tolist(), strict=True):
            for half, count in enumerate(sizes):
                if count:
                    mats[state, not half] += count
    waits = dict.fromkeys(WHEN_UP, 0.0)
    for wait in list_waits(site, site.env.now):
        waits[wait.what] += wait.end - wait.start
    over = site.env.now
    lifted = (
        (step[END], site.plan.edges[step[EDGE]].row_area) for step in site.trace if step[KIND] == LIFT and step[END] <= over
    )
    return TakenUp(
        rows_up=field.when[UP],
        in_yard=field.when[IN_YARD],
        gone=field.when[AWAY] if field.plan.leaves else math.inf,
        mats=dict(mats),
        pallets=dict(Counter(pallet.state for pallet in field.pallets)),
        loads=field.loads,
        off=tuple(field.off),
        bare=tuple(sorted(lifted)),
        most=field.most,
        waits=waits,
    )


def take_up_once(plan: Plan, run_number: int) -> TakenUp:
    """Return what came of one run of a plan that takes a field up."""
    run = simulate(plan, run_number)
    came = read_taken_up(run)
    run.dismiss()
    return came


def taken_up_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_taken_up` returns; none where the field is laid."""
    if plan.take_up is None:
        return ()
    mats = (f"up.{state}.{size} mats" for state in STATES for size in _SIZES)
    return (*mats, *(f"up.{state}.pallets" for state in STATES), "up.loads", *YARD_MOST)


def measure_taken_up(run: Finished) -> tuple[float, ...]:
    """Return how many mats, pallets and loads came of a run that takes up, by state; nothing of one that lays."""
    if run.up is None:
        return ()
    came = read_taken_up(run)
    mats = (float(came.mats.get((state, size == "full"), 0)) for state in STATES for size in _SIZES)
    return (*mats, *(float(came.pallets.get(state, 0)) for state in STATES), float(came.loads), *map(float, came.most))
