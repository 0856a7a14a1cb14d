"""What does one plan come to, and what does it change against another? The numbers that plans are compared by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.analysis.chances import Chance
from simulation.analysis.deadline import Deadline, deadline_chance, on_time
from simulation.analysis.paired import (
    UNKNOWN,
    Difference,
    difference_of_chances,
    difference_of_means,
    difference_of_quantiles,
)
from simulation.analysis.people import people_of
from simulation.analysis.quantiles import QuantileEstimate, estimate

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Outcome:
    """One plan over its builds.

    Attributes
    ----------
    name : str
        What the plan is called in a table.
    scenario : Scenario
    hours : tuple of float
        Readiness of each build, in order of replication; infinite where it was not reached.
    p50, p80 : QuantileEstimate
        Hours from hour zero.
    deadline : Deadline or None
    chance : Chance or None
        Of being ready by the deadline.
    """

    name: str
    scenario: Scenario
    hours: tuple[float, ...]
    p50: QuantileEstimate
    p80: QuantileEstimate
    deadline: Deadline | None
    chance: Chance | None

    @property
    def people(self) -> int:
        """People on site, operators and drivers included."""
        return people_of(self.scenario).total

    @property
    def crew_days(self) -> float:
        """Crews times the median days until readiness; infinite beyond the horizon."""
        return len(self.scenario.crew) * self.p50.value / 24.0


@dataclass(frozen=True)
class Against:
    """What a plan changes against a reference under the same luck: hours, and a chance; below zero is earlier, or less likely."""

    mean: Difference
    p50: Difference
    p80: Difference
    chance: Difference


def outcome_of(name: str, scenario: Scenario, builds: pd.DataFrame, deadline: Deadline | None = None) -> Outcome:
    """Return what a plan comes to over its builds."""
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    hours = tuple(builds[f"milestone.{ready}"].tolist())
    chance = None if deadline is None else deadline_chance(deadline, hours, scenario.horizon).chance
    return Outcome(name, scenario, hours, estimate(hours, 0.5), estimate(hours, 0.8), deadline, chance)


def against(reference: Outcome, other: Outcome) -> Against:
    """Return what `other` changes against `reference` over the first builds, as many as both have, one by one."""
    both = min(len(reference.hours), len(other.hours))
    first, second = reference.hours[:both], other.hours[:both]
    chance = UNKNOWN
    if reference.deadline is not None and other.deadline is not None:
        met = [on_time(one, reference.deadline) for one in first]
        chance = difference_of_chances(met, [on_time(one, other.deadline) for one in second])
    return Against(
        difference_of_means(first, second, jump=_jump(reference.scenario)),
        difference_of_quantiles(first, second, 0.5),
        difference_of_quantiles(first, second, 0.8),
        chance,
    )


def _jump(scenario: Scenario) -> float | None:
    """Return the hours beyond which a build has jumped a night or a day of rest; None where work never pauses so long."""
    from simulation.conditions.shift_pattern import APART
    from simulation.scenario.people import Shift

    shifts: list[Shift] = [crew.shift or scenario.shifts.of("laying") for crew in scenario.crew]
    edges = sorted((start + day, end + day) for shift in shifts for start, end in shift.hours for day in (-24.0, 0.0, 24.0))
    until, longest = edges[0][1], 0.0
    for start, end in edges:
        if start < 24.0:
            longest = max(longest, start - until)
        until = max(until, end)
    rests = all(shift.rest_every is not None or shift.rest_on for shift in shifts)
    return APART if rests or longest >= APART else None
