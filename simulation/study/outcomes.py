"""What does one plan come to, and what does it change against another? The numbers that plans are compared by."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.stats.around_quantile import difference_around_quantile
from simulation.stats.paired_difference import (
    UNKNOWN,
    Difference,
    difference_of_chances,
    difference_of_means,
    difference_of_quantiles,
    measured,
)
from simulation.stats.quantiles import CONFIDENCE, QuantileEstimate, estimate, order_statistic
from simulation.study.deadline import Deadline, deadline_chance, on_time
from simulation.study.hours_on_shift import find_hours_on_shift
from simulation.study.people import count_people

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.replicate.run_table import RunTable
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
    read_from : tuple of float
        The hours that its quantiles are read from, earliest first, where they are told by a change; else none.
    paired : tuple of float
        Readiness of the reference in the runs of the same luck, in order of run, where its chance is told by a change; else none.
    """

    name: str
    scenario: Scenario
    hours: tuple[float, ...]
    p50: QuantileEstimate
    p80: QuantileEstimate
    deadline: Deadline | None
    chance: Chance | None
    by_change: int = 0
    read_from: tuple[float, ...] = ()
    paired: tuple[float, ...] = ()

    @property
    def p90(self) -> QuantileEstimate:
        """Hours from the start."""
        return read_quantile(self.hours, self.read_from, 0.9) if self.read_from else estimate(self.hours, 0.9)

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
    """What a plan changes against a reference under the same luck; below zero is earlier, or less likely.

    Attributes
    ----------
    mean, p50, p80 : Difference
        Hours.
    chance : Difference
    around_p80 : Difference
        Of the dates around P80, in hours on shift: the change by which plans are judged.
    """

    mean: Difference
    p50: Difference
    p80: Difference
    chance: Difference
    around_p80: Difference


def summarise_outcome(name: str, scenario: Scenario, runs: RunTable, deadline: Deadline | None = None) -> Outcome:
    """Return what a plan comes to over its runs."""
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    return summarise_hours(name, scenario, runs[f"milestone.{ready}"].tolist(), deadline)


def summarise_hours(name: str, scenario: Scenario, readiness: Sequence[float], deadline: Deadline | None = None) -> Outcome:
    """Return what a plan comes to whose runs are ready at these hours, in order of run."""
    hours = tuple(readiness)
    chance = None if deadline is None else deadline_chance(deadline, hours, scenario.horizon).chance
    return Outcome(name, scenario, hours, estimate(hours, 0.5), estimate(hours, 0.8), deadline, chance)


def against(reference: Outcome, other: Outcome, confidence: float = CONFIDENCE) -> Against:
    """Return what `other` changes against `reference` over the first runs, as many as both have, one by one.

    From fewer than `FEWEST` runs nothing is measured: no change has an interval then.
    """
    both = min(len(reference.hours), len(other.hours))
    first, second = reference.hours[:both], other.hours[:both]
    changes = (
        difference_of_means(first, second, confidence, _jump(reference.scenario)),
        difference_of_quantiles(first, second, 0.5, confidence),
        difference_of_quantiles(first, second, 0.8, confidence),
        chance_against(reference, other, confidence),
        change_around_p80(reference, other, confidence),
    )
    return Against(*(measured(change, both) for change in changes))


def change_around_p80(reference: Outcome, other: Outcome, confidence: float = CONFIDENCE) -> Difference:
    """Return what `other` changes of the dates around P80, over the first runs that both have.

    It is in hours that are on shift under the reference: no run is ready at night, so work of a few minutes puts a run off by a
    night now and then, and P80 moves by nights from sample to sample. Counted in hours on shift a change is what it is in work.
    All that is set against one plan is so measured by one rule, longer hours of a change too.
    """
    both = min(len(reference.hours), len(other.hours))
    counted = find_hours_on_shift(reference.scenario)
    change = difference_around_quantile(reference.hours[:both], other.hours[:both], 0.8, confidence, counted)
    return measured(change, both)


def chance_against(reference: Outcome, other: Outcome, confidence: float = CONFIDENCE) -> Difference:
    """Return what `other` changes in the chance of the deadline over the first runs that both have; unknown without one."""
    if reference.deadline is None or other.deadline is None:
        return UNKNOWN
    both = min(len(reference.hours), len(other.hours))
    met, then = ([on_time(hour, of.deadline) for hour in of.hours[:both]] for of in (reference, other) if of.deadline)
    return difference_of_chances(met, then, confidence)


def read_quantile(own: Sequence[float], hours: Sequence[float], share: float) -> QuantileEstimate:
    """Return a quantile of some hours with an interval as wide as that of a plan's own runs."""
    known, value = estimate(own, share), order_statistic(hours, share)
    by = value - known.value
    if not math.isfinite(by):
        return replace(known, value=value)
    low, high = (None if end is None else end + by for end in (known.low, known.high))
    return replace(known, value=value, low=low, high=high)


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
