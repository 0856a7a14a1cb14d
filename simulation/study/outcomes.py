"""What does one plan come to, and what does it change against another? The numbers that plans are compared by."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.stats.around_quantile import difference_around_quantile
from simulation.stats.chances import METHOD_OF_CHANGE
from simulation.stats.paired_difference import (
    UNKNOWN,
    Difference,
    difference_of_chances,
    difference_of_means,
    difference_of_quantiles,
    measured,
)
from simulation.stats.quantiles import CONFIDENCE, QuantileEstimate, estimate, order_statistic, rank_of_share
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
#: Hours, or shares, that two sums of the same numbers may be apart.
_ROUNDING = 1e-9


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
        The hours that its quantiles and its chance are read from, earliest first, where it is told by a change; else none.
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

    @property
    def p90(self) -> QuantileEstimate:
        """Hours from the start."""
        return _read_quantile(self.hours, self.read_from, 0.9) if self.read_from else estimate(self.hours, 0.9)

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


def told_by_change(own: Outcome, paired: Outcome, reference: Outcome) -> Outcome:
    """Return a plan as it is told beside a reference of more, or of other, runs: what the reference comes to, and the change.

    So days, changes and chances on a page agree, although a plan is tried in fewer runs than the reference is read from: the
    luck of these fewer runs, which both have, falls out (a control variate). Intervals are as wide as those of
    its own runs.

    Parameters
    ----------
    own, paired : Outcome
        The plan, and the scenario as it is in runs of the same luck.
    reference : Outcome
        What is read elsewhere of the scenario as it is.

    Returns
    -------
    Outcome
        `own` itself where the reference is read from the runs that are paired, all of them, and where the change would leave P50
        before any run of the plan is ready, or P80 after all of them: under a dry sky there is none of the rain that these runs
        of the reference may have had too much, or too little, of.

    Notes
    -----
    Each run of the reference is moved by what the plan changes at its rank; quantiles and chance are read from these hours alone,
    so that P80 lies by the deadline where the chance is 80 % or more, and nowhere else.
    """
    both = min(len(paired.hours), len(own.hours))
    if reference.hours == paired.hours[:both] and len(own.hours) == both:
        return own
    hours = _move_each_rank(reference.hours, paired.hours[:both], own.hours[:both])
    if order_statistic(hours, 0.5) < min(own.hours[:both]) or order_statistic(hours, 0.8) > max(own.hours[:both]):
        return own
    p50, p80 = (_read_quantile(own.hours, hours, share) for share in (0.5, 0.8))
    chance = own.chance
    if chance is not None and own.deadline is not None:
        own_chance = deadline_chance(own.deadline, hours, own.scenario.horizon).chance
        by = own_chance.probability - chance.probability
        low, high = (min(1.0, max(0.0, end + by)) for end in (chance.low, chance.high))
        high = 1.0 if own_chance.at_least else high
        chance = replace(own_chance, low=low, high=high, by_change=both, method=METHOD_OF_CHANGE)
    return replace(own, p50=p50, p80=p80, chance=chance, by_change=both, read_from=hours)


def tell_change(change: Against, outcome: Outcome, reference: Outcome) -> Against:
    """Return the change of a plan that is told beside a reference of more, or of other, runs: what the two are said to differ by.

    The paired runs may say something else: at the deadline they say it of another rank than the one that the deadline has among
    all runs of the reference, and a plan that is told by its own runs is not told by the change. So an interval holds what the
    paired runs leave open, and the same beside the number that is said.
    """
    chances = (of.chance.probability if of.chance is not None else math.nan for of in (outcome, reference))
    return replace(
        change,
        p50=_differ_by(change.p50, outcome.p50.value - reference.p50.value),
        p80=_differ_by(change.p80, outcome.p80.value - reference.p80.value),
        chance=_differ_by(change.chance, next(chances) - next(chances), most=1.0),
    )


def _differ_by(change: Difference, value: float, most: float = math.inf) -> Difference:
    """Return a change of this value, with an interval that holds the one it had and the same one beside this value."""
    if change.value is None or not math.isfinite(value) or abs(by := value - change.value) < _ROUNDING:
        return change
    low = None if change.low is None else max(-most, min(change.low, change.low + by))
    high = None if change.high is None else min(most, max(change.high, change.high + by))
    return replace(change, value=value, low=low, high=high)


def _move_each_rank(reference: Sequence[float], paired: Sequence[float], own: Sequence[float]) -> tuple[float, ...]:
    """Return the hours of the reference, each moved by the change at its rank, earliest first.

    What is said of a plan are the changes of P50 and P80. Hours of other ranks that a gap between two shifts puts on their other
    side move up to them (Chernozhukov et al. 2010, Econometrica 78, put all in order: no worse an estimate; from memory).
    """
    reference, paired, own = sorted(reference), sorted(paired), sorted(own)

    def move(rank: int, share: float) -> float:
        then, now = (values[rank_of_share(len(values), share) - 1] for values in (paired, own))
        by = reference[rank - 1] - then
        return now + by if math.isfinite(by) else now  # what it comes to itself, where one of the other two is not known

    runs = len(reference)
    middle, late = rank_of_share(runs, 0.5), rank_of_share(runs, 0.8)
    p80 = move(late, 0.8)
    p50 = min(p80, move(middle, 0.5))
    hours = [move(rank, rank / runs) for rank in range(1, runs + 1)]
    hours[: middle - 1] = sorted(min(p50, hour) for hour in hours[: middle - 1])
    hours[middle - 1 : late - 1] = p50, *sorted(min(p80, max(p50, hour)) for hour in hours[middle : late - 1])
    hours[late - 1 :] = p80, *sorted(max(p80, hour) for hour in hours[late:])
    return tuple(hours)


def _read_quantile(own: Sequence[float], hours: Sequence[float], share: float) -> QuantileEstimate:
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
