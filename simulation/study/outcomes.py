"""What does one plan come to, and what does it change against another? The numbers that plans are compared by."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.stats.likelihood_words import FEW
from simulation.stats.paired_difference import (
    UNKNOWN,
    Difference,
    difference_of_chances,
    difference_of_means,
    difference_of_quantiles,
)
from simulation.stats.quantiles import CONFIDENCE, QuantileEstimate, estimate
from simulation.study.deadline import Deadline, deadline_chance, on_time
from simulation.study.people import count_people

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd

    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift
    from simulation.stats.chances import Chance

#: Two plans are alike whose P80 differ by less than this part of a shift: nobody commits to half of one. Planning value.
MARGIN = 0.5


@dataclass(frozen=True)
class Outcome:
    """One plan over its runs.

    Attributes
    ----------
    name : str
        What the plan is called in a table.
    scenario : Scenario
    hours : tuple of float
        Readiness of each run, in order of run; infinite where it was not reached.
    p50, p80 : QuantileEstimate
        Hours from the start.
    deadline : Deadline or None
    chance : Chance or None
        Of being ready by the deadline.
    by_change : int
        Runs that say what it changes, where its quantiles and its chance are those of another plan and that change; else 0.
    later_p90 : float
        Hours by which its P90 lies later than that of its runs, where it is told by a change.
    """

    name: str
    scenario: Scenario
    hours: tuple[float, ...]
    p50: QuantileEstimate
    p80: QuantileEstimate
    deadline: Deadline | None
    chance: Chance | None
    by_change: int = 0
    later_p90: float = 0.0

    @property
    def p90(self) -> QuantileEstimate:
        """Hours from the start."""
        return _moved(estimate(self.hours, 0.9), self.later_p90)

    @property
    def people(self) -> int:
        """People on site, operators and drivers included."""
        return count_people(self.scenario).total

    @property
    def crew_days(self) -> float:
        """Crews times the median days until readiness; infinite after the last day simulated."""
        return len(self.scenario.crew) * self.p50.value / 24.0


@dataclass(frozen=True)
class Against:
    """What a plan changes against a reference under the same luck: hours, and a chance; below zero is earlier, or less likely."""

    mean: Difference
    p50: Difference
    p80: Difference
    chance: Difference


def summarise_outcome(name: str, scenario: Scenario, runs: pd.DataFrame, deadline: Deadline | None = None) -> Outcome:
    """Return what a plan comes to over its runs."""
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    return summarise_hours(name, scenario, runs[f"milestone.{ready}"].tolist(), deadline)


def summarise_hours(name: str, scenario: Scenario, readiness: Sequence[float], deadline: Deadline | None = None) -> Outcome:
    """Return what a plan comes to whose runs are ready at these hours, in order of run."""
    hours = tuple(readiness)
    chance = None if deadline is None else deadline_chance(deadline, hours, scenario.horizon).chance
    return Outcome(name, scenario, hours, estimate(hours, 0.5), estimate(hours, 0.8), deadline, chance)


def against(reference: Outcome, other: Outcome, confidence: float = CONFIDENCE) -> Against:
    """Return what `other` changes against `reference` over the first runs, as many as both have, one by one."""
    both = min(len(reference.hours), len(other.hours))
    first, second = reference.hours[:both], other.hours[:both]
    return Against(
        difference_of_means(first, second, confidence, _jump(reference.scenario)),
        difference_of_quantiles(first, second, 0.5, confidence),
        difference_of_quantiles(first, second, 0.8, confidence),
        chance_against(reference, other, confidence),
    )


def chance_against(reference: Outcome, other: Outcome, confidence: float = CONFIDENCE) -> Difference:
    """Return what `other` changes in the chance of the deadline over the first runs that both have; unknown without one."""
    if reference.deadline is None or other.deadline is None:
        return UNKNOWN
    both = min(len(reference.hours), len(other.hours))
    met, then = ([on_time(hour, of.deadline) for hour in of.hours[:both]] for of in (reference, other) if of.deadline)
    return difference_of_chances(met, then, confidence)


def told_by_change(own: Outcome, paired: Outcome, reference: Outcome) -> Outcome:
    """Return a plan as it is told beside a reference of more, or of other, runs: what the reference comes to, and the change.

    So days, changes and chances on a page agree, although a plan is tried in fewer runs than the reference is read from: the
    luck of these fewer runs, which both have, falls out (a control variate). Intervals are those of the plan's own runs.

    Parameters
    ----------
    own, paired : Outcome
        The plan, and the scenario as it is in runs of the same luck.
    reference : Outcome
        What is read elsewhere of the scenario as it is.

    Returns
    -------
    Outcome
        `own` itself where the reference is read from the runs that are paired, all of them, and where the change would leave a
        date before any run of the plan is ready: under a dry sky there is none of the rain that these runs of the reference may
        have had too much of. A chance of few runs is told by its count, and stays.
    """
    both = min(len(paired.hours), len(own.hours))
    if reference.hours == paired.hours[:both] and len(own.hours) == both:
        return own
    first, second = paired.hours[:both], own.hours[:both]
    p50, p80, p90 = (
        _told(estimate(second, share), estimate(first, share), estimate(reference.hours, share)) for share in (0.5, 0.8, 0.9)
    )
    if min(p50.value, p80.value, p90.value) < min(second):
        return own
    chance = own.chance
    if chance is not None and reference.chance is not None and chance.runs >= FEW:
        change = against(paired, own).chance.value or 0.0
        probability = min(1.0, max(0.0, reference.chance.probability + change))
        by = probability - chance.probability
        low, high = (min(1.0, max(0.0, end + by)) for end in (chance.low, chance.high))
        chance = replace(chance, probability=probability, low=low, high=high)
    later = p90.value - estimate(own.hours, 0.9).value if math.isfinite(p90.value) else 0.0
    return replace(own, p50=p50, p80=p80, chance=chance, by_change=both, later_p90=later)


def _told(estimate: QuantileEstimate, paired: QuantileEstimate, reference: QuantileEstimate) -> QuantileEstimate:
    by = reference.value - paired.value
    return _moved(estimate, by) if math.isfinite(by) else estimate


def _moved(estimate: QuantileEstimate, by: float) -> QuantileEstimate:
    low, high = (None if end is None else end + by for end in (estimate.low, estimate.high))
    return replace(estimate, value=estimate.value + by, low=low, high=high)


def find_margin(scenario: Scenario) -> float:
    """Return the hours of P80 that do not matter: half of what a shift has, by the calendar."""
    from simulation.study.calendar import make_calendar

    return MARGIN * make_calendar(scenario).hours_a_day


def _jump(scenario: Scenario) -> float | None:
    """Return the hours beyond which a run has jumped a night or a day of rest; None where work never pauses so long."""
    from simulation.conditions.clock.shift_pattern import APART

    shifts: list[Shift] = [crew.shift or scenario.shifts.of("laying") for crew in scenario.crew]
    edges = sorted((start + day, end + day) for shift in shifts for start, end in shift.hours for day in (-24.0, 0.0, 24.0))
    until, longest = edges[0][1], 0.0
    for start, end in edges:
        if start < 24.0:
            longest = max(longest, start - until)
        until = max(until, end)
    rests = all(shift.rest_every is not None or shift.rest_on for shift in shifts)
    return APART if rests or longest >= APART else None
