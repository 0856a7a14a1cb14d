"""The second site: what it needs, what it has of its own, and a run of laying with what comes from the first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.construction import simulate
from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.plan_parts import Arrival
from simulation.construction.plan.steps import EDGE, END, KIND, NUMBER, ROW
from simulation.construction.site.site import Site
from simulation.field import take_off, with_all_on_hand
from simulation.scenario import Mistake, ScenarioError

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class LaidAgain:
    """A run of the second site: hours since its start at which each milestone is reached, and at which square feet are covered.

    `ordered` are the mats whose lack made somebody order more, beside what was ordered for what did not come.
    """

    milestones: tuple[float, ...]
    covered: tuple[tuple[float, float], ...]
    ordered: int


def stock_of(second: Scenario) -> int:
    """Return the pallets that the second site has or gets of its own: on hand, or in all where `supply.total` is written."""
    supply = second.supply
    return supply.on_hand if supply.total is None else max(supply.total, supply.on_hand)


def needs_of(second: Scenario) -> tuple[int, int]:
    """Return the full and half mats of the second field."""
    quantities = take_off(second)
    return int(quantities.total("full")), int(quantities.total("half"))


def plan_second(second: Scenario, by_leg: float = math.inf) -> Plan:
    """Return the plan of laying the second field from its own stock alone; what comes from the first is put into it run by run.

    Parameters
    ----------
    second : Scenario
    by_leg : float, optional
        Loads that can come, for parts that are to come with one of them. Default: any number.

    Raises
    ------
    ScenarioError
        If it cannot be laid whatever comes.
    """
    plan = plan_from_start(with_all_on_hand(second), by_leg)
    total = stock_of(second)
    supply = second.supply
    most = supply.on_hand + sum(shipment.pallets for shipment in supply.shipments)
    if total > most and not (supply.trucks or supply.flights):
        wrong = f"{total} pallets are to come, {supply.on_hand} are on hand, and nothing brings the rest"
        right = "leave it out, since what is moved comes by the leg; or add [[supply.trucks]]"
        raise ScenarioError(second.title, [Mistake("supply.total", wrong, right)])
    return replace(plan, supply=replace(plan.supply, on_hand=supply.on_hand, total=total))


def lay_again(
    plan: Plan, second: Scenario, run: int, arrivals: tuple[Arrival, ...], crews_come: float, forklifts_come: float
) -> LaidAgain:
    """Lay the second field in one run.

    Parameters
    ----------
    plan : Plan
        Of `plan_second`.
    second : Scenario
    run : int
    arrivals : tuple of Arrival
    crews_come, forklifts_come : float
        Hours since its start at which those are here that come from the first site.
    """
    leg, forklifts = second.leg, plan.forklifts
    late = dict.fromkeys(leg.crews, crews_come)
    crews = tuple(replace(crew, since=_at_most(plan, max(crew.since, late.get(crew.name, 0.0)))) for crew in plan.crews)
    own = forklifts.count - leg.forklifts
    since = tuple(at if n < own else _at_most(plan, max(at, forklifts_come)) for n, at in enumerate(forklifts.since))
    within = tuple(load for load in arrivals if math.isfinite(load.hour))
    supply = replace(plan.supply, arrivals=within)
    done = simulate(replace(plan, crews=crews, forklifts=replace(forklifts, since=since), supply=supply), run)
    reached = tuple(math.inf if step is None else step[END] for step in done.site.reached)
    laid = LaidAgain(reached, tuple(_covered(done.site)), done.stock.ordered_full + done.stock.ordered_half)
    done.dismiss()
    return laid


def _covered(site: Site) -> Iterator[tuple[float, float]]:
    """Yield when rows lie, and the square feet of them."""
    before = [0] * len(site.edges)
    for step in site.trace:
        if step[KIND] == ROW:
            edge, laid = step[EDGE], step[NUMBER]
            yield step[END], (laid - before[edge]) * site.plan.edges[edge].row_area
            before[edge] = laid


def _at_most(plan: Plan, hour: float) -> float:
    """Return an hour, or one after the last day simulated where it never comes."""
    return min(hour, plan.horizon + 1.0)
