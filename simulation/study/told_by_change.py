"""How is a plan of fewer runs told beside a reference of more, so that its days, its chance and its changes agree?"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.stats.chances import METHOD_OF_CHANGE
from simulation.stats.quantiles import order_statistic, rank_of_share
from simulation.study.deadline import deadline_chance, on_time
from simulation.study.outcomes import read_quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.stats.chances import Chance
    from simulation.stats.paired_difference import Difference
    from simulation.study.outcomes import Against, Outcome

#: Hours, or shares, that two sums of the same numbers may be apart.
_ROUNDING = 1e-9


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
        `own` itself where the reference is read from the runs that are paired, all of them. Its own quantiles where the change
        would leave P50 before any run of the plan is ready, or P80 after all of them: under a dry sky there is none of the rain
        that these runs of the reference may have had too much, or too little, of.

    Notes
    -----
    Each run of the reference is moved by what the plan changes at its rank; quantiles are read from these hours. The chance is
    the reference's and the change of the chance among the paired runs: read from the moved hours it would move by what the plan
    changes at P80 or so, however many of the paired runs met the deadline. So the two may contradict each other near the deadline
    by what these few runs leave open: see `disagrees`.
    """
    both = min(len(paired.hours), len(own.hours))
    if reference.hours == paired.hours[:both] and len(own.hours) == both:
        return own
    hours = _move_each_rank(reference.hours, paired.hours[:both], own.hours[:both])
    apart = order_statistic(hours, 0.5) < min(own.hours[:both]) or order_statistic(hours, 0.8) > max(own.hours[:both])
    told = own
    if not apart:
        p50, p80 = (read_quantile(own.hours, hours, share) for share in (0.5, 0.8))
        told = replace(own, p50=p50, p80=p80, by_change=both, read_from=hours)
    if own.chance is None or own.deadline is None or reference.chance is None:
        return told
    at_least = deadline_chance(own.deadline, own.hours if apart else hours, own.scenario.horizon).chance.at_least
    return replace(told, chance=_move_chance(own, paired, reference.chance, both, at_least), paired=paired.hours[:both])


def disagrees(outcome: Outcome) -> bool:
    """Return whether P80 lies by the deadline while the chance is below 80 %, or after it while the chance is 80 % or more."""
    if outcome.deadline is None or outcome.chance is None:
        return False
    return on_time(outcome.p80.value, outcome.deadline) != (outcome.chance.probability >= 0.8 - _ROUNDING)


def _move_chance(own: Outcome, paired: Outcome, reference: Chance, both: int, at_least: bool) -> Chance:
    """Return the chance of the reference and the change among the runs of both, within 0 and 1.

    Its interval holds that of the plan's own runs, and the same one beside this chance: of a plan that all of its runs met the
    deadline of, more is not known than that.
    """
    assert own.chance is not None and own.deadline is not None
    met, then = (sum(on_time(hour, own.deadline) for hour in of.hours[:both]) for of in (own, paired))
    share = min(1.0, max(0.0, reference.probability + (met - then) / both))
    by = share - own.chance.probability
    low, high = min(own.chance.low, own.chance.low + by), max(own.chance.high, own.chance.high + by)
    return replace(
        own.chance,
        count=round(share * reference.runs),
        runs=reference.runs,
        probability=share,
        low=max(0.0, low),
        high=1.0 if at_least else min(1.0, high),
        method=METHOD_OF_CHANGE,
        at_least=at_least,
        by_change=both,
    )


def tell_change(change: Against, outcome: Outcome, reference: Outcome) -> Against:
    """Return the change of a plan that is told beside a reference of more, or of other, runs: what the two are said to differ by.

    The paired runs may say something else: a chance ends at 0 and at 100 %, and a plan whose P80 is told by its own runs is not
    told by the change. So an interval holds what the paired runs leave open, and the same beside the number that is said.
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
