"""Which plan is ready first, and how sure is that? Several plans, build by build under the same luck, against one of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.analysis.deadline import read_deadline
from simulation.analysis.moments import Calendar
from simulation.analysis.outcomes import Against, Outcome, against, outcome_of
from simulation.analysis.readiness import BUILDS, MOST_BUILDS, NothingFinished, calendar_of

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Change, Scenario, Team

#: What the scenario is called among its variations.
AS_WRITTEN = "as written"
#: Plans of one comparison: more would fill pages that nobody reads. Planning value.
MOST_PLANS = 200


class Verdict(StrEnum):
    """What the paired interval of the difference in P80 says of a plan."""

    REFERENCE = "the reference"
    EARLIER = "earlier"
    LATER = "later"
    UNTOLD = "no difference told"
    BEYOND = "beyond the horizon"


@dataclass(frozen=True)
class Compared:
    """One plan of a comparison.

    Attributes
    ----------
    outcome : Outcome
    against : Against
        What it changes against the reference.
    verdict : Verdict
    mats : float
        Laid in all.
    shift_hours : float
        Median of the hours on the laying shift until readiness; infinite beyond the horizon.
    """

    outcome: Outcome
    against: Against
    verdict: Verdict
    mats: float
    shift_hours: float

    @property
    def mats_per_person_hour(self) -> float | None:
        """Mats over people on site times the median hours on shift until readiness; None beyond the horizon."""
        hours = self.outcome.people * self.shift_hours
        return self.mats / hours if math.isfinite(hours) else None


@dataclass(frozen=True)
class Comparison:
    """Several plans under the same luck.

    Attributes
    ----------
    plans : tuple of Compared
        In the order asked for.
    reference : int
        Which of them the others are held against.
    calendar : Calendar
        Of the reference.
    seed : int
    asked, replications : int
        Builds of each plan, asked for and done; fewer when the run was stopped early.
    stopped : str
        Why; empty where it was not.
    """

    plans: tuple[Compared, ...]
    reference: int
    calendar: Calendar
    seed: int
    asked: int
    replications: int
    stopped: str


def variations(
    scenario: Scenario,
    changes: Sequence[Sequence[Change]] = (),
    teams: Sequence[Team] = (),
    one_at_a_time: bool = False,
) -> list[tuple[str, Scenario]]:
    """Return a scenario as it is written, and its variations, each with its name.

    Parameters
    ----------
    scenario : Scenario
    changes : sequence of sequences of Change
        The values of one key each.
    teams : sequence of Team
        Each takes the place of the scenario's crews.
    one_at_a_time : bool
        Whether each value is put in alone, instead of with every value of the other keys.

    Raises
    ------
    ScenarioError
        If nothing is varied, a key twice, there are too many plans, or one of them is not sound.
    """
    from simulation.scenario import vary

    keys = [values[0].address for values in changes]
    factors = [[(f"{_short(change.address, keys)}={change.text}", change) for change in values] for values in changes]
    factors += [[(str(team), team.instead(scenario)) for team in teams]] if teams else []
    _refuse(factors, keys)
    cells = [[one] for values in factors for one in values] if one_at_a_time else [list(one) for one in product(*factors)]
    plans = [(AS_WRITTEN, scenario)]
    for cell in cells:
        varied = vary(scenario, [change for _, change in cell])
        if varied != scenario:  # a value that is the scenario's own makes no other plan
            plans.append((", ".join(name for name, _ in cell), varied))
    return plans


def _short(key: str, keys: Sequence[str]) -> str:
    """Return the last steps of an address, as many as tell it from the other keys that are varied."""
    steps = key.split(".")
    ends = [".".join(steps[-count:]) for count in range(1, len(steps) + 1)]
    return next((end for end in ends if sum(f".{one}".endswith(f".{end}") for one in keys) == 1), key)


def _refuse(factors: Sequence[Sequence[object]], keys: Sequence[str]) -> None:
    from simulation.scenario import Mistake, ScenarioError

    count = math.prod(len(values) for values in factors)
    twice = [key for place, key in enumerate(keys) if key in keys[:place]]
    if not factors:
        wrong, right = "nothing is varied", "name what to compare, such as --vary forklifts.count=2,3,4 or --crews 1x40,2x20"
    elif twice:
        wrong, right = f"{twice[0]} is varied twice", "write its values with commas behind one --vary"
    elif count > MOST_PLANS:
        wrong, right = f"{count:,} plans are too many", f"vary fewer keys or values, up to {MOST_PLANS} plans, or --one-at-a-time"
    else:
        return
    raise ScenarioError("compare", [Mistake("", wrong, right)])


def compare(
    plans: Sequence[tuple[str, Scenario]],
    replications: int = BUILDS,
    seed: int | None = None,
    workers: int | None = None,
    deadline: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    *,
    reference: int = 0,
    cluster: str | None = None,
    folder: Path | None = None,
    announce: Callable[[int, float], None] | None = None,
) -> Comparison:
    """Return how several plans stand against one of them, under the same luck.

    Parameters
    ----------
    plans : sequence of (str, Scenario)
        Names and scenarios; see `variations`.
    replications : int
        Builds of each.
    seed, workers, deadline, progress, cluster, folder
        As for `forecast`; the seed is the first plan's unless another is given.
    reference : int
        Place among `plans` of the one that the others are held against.
    announce : callable, optional
        Told before the first build how many are still to be done, and about how many seconds they take.

    Raises
    ------
    ScenarioError
        If a plan cannot finish, or the deadline cannot be read.
    NothingFinished
        If it was stopped before every plan had a build.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If `replications` or `reference` is out of range.

    Examples
    --------
    >>> from simulation import compare, load_scenario
    >>> from simulation.analysis.comparing import variations
    >>> from simulation.scenario import read_variation
    >>> plans = variations(load_scenario(), [read_variation("forklifts.count=2,3,4")])
    >>> [one.verdict for one in compare(plans).plans]  # doctest: +SKIP
    """
    from simulation.replicate import Alternatives, Workshop

    if not 1 <= replications <= MOST_BUILDS:
        raise ValueError(f"replications(={replications}) must be 1 to {MOST_BUILDS:,}")
    if not 0 <= reference < len(plans):
        raise ValueError(f"reference(={reference}) must be below the {len(plans)} plans")
    scenarios = [scenario for _, scenario in plans]
    limits = [None if deadline is None else read_deadline(deadline, calendar_of(scenario)) for scenario in scenarios]
    with Workshop(folder, workers, cluster) as workshop:
        builds = Alternatives(scenarios, workshop, seed, progress)
        builds.expected = replications * len(plans)
        if announce is not None:
            announce(*builds.estimate(replications))
        builds.reach(replications)
        tables = builds.common(replications)
    if tables[0].empty:
        raise NothingFinished("stopped before every plan had a build")
    outcomes = [
        outcome_of(name, scenario, table, limit) for (name, scenario), table, limit in zip(plans, tables, limits, strict=True)
    ]
    compared = (_compared(outcomes[reference], one, table) for one, table in zip(outcomes, tables, strict=True))
    return Comparison(
        tuple(compared), reference, calendar_of(scenarios[reference]), builds.seed, replications, len(tables[0]), builds.stopped
    )


def _compared(reference: Outcome, one: Outcome, builds: pd.DataFrame) -> Compared:
    from simulation.analysis.quantiles import order_statistic
    from simulation.field import take_off

    quantities = take_off(one.scenario)
    hours = [math.inf if math.isinf(ready) else laid for ready, laid in zip(one.hours, builds["laying hours"], strict=True)]
    found = against(reference, one)
    return Compared(
        one,
        found,
        _verdict(reference, one, found),
        quantities.total("full") + quantities.total("half"),
        order_statistic(hours, 0.5),
    )


def _verdict(reference: Outcome, one: Outcome, found: Against) -> Verdict:
    if one is reference:
        return Verdict.REFERENCE
    if found.p80.value is None:
        return Verdict.BEYOND
    if not found.p80.told_from_zero:
        return Verdict.UNTOLD
    return Verdict.EARLIER if found.p80.value < 0 else Verdict.LATER
