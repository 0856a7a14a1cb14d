"""What holds the job up, and what would one more of each thing gain? Every change is tried on the same draws, run by run."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.present.words.change_format import change_format
from simulation.questions.bottlenecks.attribution import Leading, attribute_hours
from simulation.questions.bottlenecks.idea import CAN_BE, Kind
from simulation.questions.bottlenecks.what_ifs import LeftOut, WhatIf, list_what_ifs
from simulation.study.changes.foremost import Standing
from simulation.study.changes.trials import TrialRow, TrialsResult, try_changes
from simulation.study.run_context import RunContext
from simulation.study.runner import check_run_count

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.study.outcomes import Outcome

#: What one change would gain.
BottlenecksRow = TrialRow[WhatIf]


@dataclass(frozen=True)
class BottlenecksResult(TrialsResult[WhatIf]):
    """What holds a scenario up, and what would help: of the rows, the one that brings P80 forward most comes first.

    Attributes
    ----------
    leading : Leading
    left_out : tuple of LeftOut
    """

    leading: Leading
    left_out: tuple[LeftOut, ...]

    def best(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings the dates around P80 forward most, measurable, among some kinds; None where nothing does by a tenth.

        Nobody brings or changes anything for less. What went on to the most runs is the best, and of such the foremost: the
        others were measurably behind it, or as good to within the margin.
        """
        written = change_format(self.outcome)
        least = written.size * 10.0**-written.places
        rows = [
            row for row in self.rows if row.trial.kind in kinds and row.earns and (row.earlier_around_p80.value or 0.0) >= least
        ]
        return max(rows, key=lambda row: (row.runs, row.standing is Standing.FOREMOST), default=None)

    def best_mean(self, *kinds: Kind) -> BottlenecksRow | None:
        """Return what brings the mean forward most, measurable, among some kinds; None where nothing does."""
        rows = [row for row in self.rows if row.trial.kind in kinds and row.earns_mean]
        return max(rows, key=_mean_gain, default=None)


def bottlenecks(scenario: Scenario, context: RunContext = RunContext(), current: Outcome | None = None) -> BottlenecksResult:
    """Return what holds a scenario up, and what one more of each thing, or one trouble less, would gain.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs of the scenario, and of each thing that is tried at the most, and how they are done and kept.
    current : Outcome, optional
        What the current plan is said to come to, where that is read elsewhere.

    Raises
    ------
    ScenarioError, NothingFinished, StoreError, ClusterError, ValueError
        As for `try_changes`.

    Examples
    --------
    >>> from simulation import RunContext, bottlenecks, load_scenario
    >>> result = bottlenecks(load_scenario(), RunContext(deadline="9 day"))  # doctest: +SKIP
    >>> [(row.trial.name, row.earlier_p80.value) for row in result.rows]  # doctest: +SKIP
    """
    from simulation.construction import compile_plan

    check_run_count(context.runs)
    compile_plan(scenario)  # a plan that cannot finish is refused before anything is tried on it
    what_ifs, left_out = list_what_ifs(scenario)
    # A trouble competes as well: it is held against the best of what can be made, and costs no more than that would gain.
    result, runs = try_changes(
        scenario,
        what_ifs,
        context,
        current,
        _gain_if_named,
        competes=lambda what_if: True,
        needs_size=lambda what_if: what_if.kind is Kind.NIGHT,
    )
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    order = sorted(result.rows, key=lambda row: (-_gain(row, result.outcome), -_mean_gain(row), row.trial.name))
    sorted_result = replace(result, rows=tuple(order))
    return BottlenecksResult(**vars(sorted_result), leading=attribute_hours(runs, ready), left_out=left_out)


def _gain_if_named(row: BottlenecksRow) -> float | None:
    """Return the gain of what a sentence may call the most useful: what can be brought, hastened or done otherwise."""
    return row.earlier_around_p80.value if row.earns and row.trial.kind in CAN_BE else None


def _gain(row: BottlenecksRow, current: Outcome) -> float:
    """Return the hours by which dates around P80 come earlier; what comes by the last day simulated, or leaves it, counts as for
    ever.
    """
    if row.earlier_around_p80.value is not None:
        return row.earlier_around_p80.value
    before, after = current.p80.value, row.outcome.p80.value
    return 0.0 if before == after else before - after


def _mean_gain(row: BottlenecksRow) -> float:
    return row.earlier_mean.value or 0.0
