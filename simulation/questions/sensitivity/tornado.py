"""What would it change to know one level today? Each in turn is fixed low and high, all else under the same luck.

A level that is fixed at its P10 or P90 keeps its scatter; levels that share a name fully are fixed together. Every other level
and all other luck stay as they are, run by run, so that the differences are paired. Only the levels that may matter by the runs
that are there already get runs of their own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.level_inputs import HIGH, LOW, LevelInput
from simulation.questions.sensitivity.shipment_luck import Input, ShipmentLuck
from simulation.stats.group_sequential import look_confidences
from simulation.stats.paired_difference import Difference, difference_of_quantiles
from simulation.study.changes.trials import TrialRow, TrialsResult

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario
    from simulation.study.outcomes import Outcome

#: Inputs that get bars: the fewest where there are as many, and the most. Planning values: what a reader takes in at a glance.
FEWEST_BARS, MOST_BARS = 4, 10


@dataclass(frozen=True)
class FixedLevel:
    """One input that is known: a trial.

    Attributes
    ----------
    name : str
        What it is fixed at, in the planner's units.
    input : Input
    changes : tuple of Change
    scenario : Scenario
        With the changes in it.
    """

    name: str
    input: Input
    changes: tuple[Change, ...]
    scenario: Scenario


#: One end of a bar.
End = TrialRow[FixedLevel]


@dataclass(frozen=True)
class Bar:
    """One input, fixed at its P10 and at its P90.

    Attributes
    ----------
    input : Input
    low, high : End
    swing : Difference
        From the earliest P80 to the latest of three: as it is, and at either end. Unknown if one of them is.
    """

    input: Input
    low: End
    high: End
    swing: Difference

    @property
    def span(self) -> float:
        """Hours of the swing; infinite if it is not known."""
        return math.inf if self.swing.value is None else self.swing.value

    @property
    def measurable(self) -> bool:
        """Whether its swing is measurable, and one end at least; one that reaches after the last day simulated is.

        A swing alone is not enough: it is the largest of three differences, so chance alone makes it large now and then.
        """
        ends = any(end.against.p80.measurable for end in (self.low, self.high))
        return self.swing.value is None or (ends and self.swing.measurable)


def fix_levels(scenario: Scenario, inputs: Sequence[Input]) -> list[FixedLevel]:
    """Return two trials for each input, in turn: with it fixed at its P10, and at its P90.

    Raises
    ------
    ScenarioError
        If a scenario was not read from a text, so that nothing of it can be fixed.
    """
    return [_fix(scenario, level, share) for level in inputs for share in (LOW, HIGH)]


def _fix(scenario: Scenario, level: Input, share: float) -> FixedLevel:
    from simulation.scenario import vary

    if isinstance(level, ShipmentLuck):
        known = level.fixed_at(scenario, share)
        return FixedLevel(level.label(share), level, known, vary(scenario, known))
    values = level.at(share)
    changes = level.fixed_at(values)
    varied = vary(scenario, changes)
    if any(change.factor is not None for change in scenario.source.changes):
        # What the scenario multiplies is multiplied after all else is set: what is set must make up for it.
        drawn = _known_values(varied, level)
        changes = level.fixed_at(tuple(value * value / now if now else value for value, now in zip(values, drawn, strict=True)))
        varied = vary(scenario, changes)
    return FixedLevel(level.label(share), level, tuple(changes), varied)


def _known_values(scenario: Scenario, level: LevelInput) -> list[float]:
    from simulation.construction import compile_plan

    levels = {plan.key: plan.level.quantile(0.0) for plan in compile_plan(scenario).levels}
    return [levels[key] for key in level.keys]


def make_bars(result: TrialsResult[FixedLevel]) -> tuple[Bar, ...]:
    """Return a bar for each input of which both ends were tried: the longest swing first, all measurable before the rest."""
    confidences = dict(zip(result.looks, look_confidences(result.looks), strict=True))
    rows = result.rows
    pairs = [(low, high) for low, high in pairwise(rows) if low.trial.input is high.trial.input]
    bars = []
    for low, high in pairs:
        runs = min(low.runs, high.runs)
        swing = _swing((result.outcome, low.outcome, high.outcome), runs, confidences[runs])
        bars.append(Bar(low.trial.input, low, high, swing))
    return tuple(sorted(bars, key=lambda bar: (not bar.measurable, -bar.span)))


def _swing(outcomes: Sequence[Outcome], runs: int, confidence: float) -> Difference:
    each = sorted(outcomes, key=lambda outcome: outcome.p80.value)
    return difference_of_quantiles(each[0].hours[:runs], each[-1].hours[:runs], 0.8, confidence)
