"""What would it change to know one level today? Each in turn is fixed low and high, all else under the same luck.

A level that is fixed at its P10 or P90 keeps its scatter; levels that share a name fully are fixed together. Every other level
and all other luck stay as they are, run by run, so that the differences are paired.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.level_inputs import HIGH, LOW, LevelInput
from simulation.stats.paired_difference import Difference, difference_of_quantiles
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome

if TYPE_CHECKING:
    from simulation.replicate import Alternatives
    from simulation.scenario import Scenario
    from simulation.study.deadline import Deadline


@dataclass(frozen=True)
class End:
    """One end of a bar.

    Attributes
    ----------
    label : str
        What the level is fixed at, in the planner's units.
    outcome : Outcome
    against : Against
        What it changes against the current plan.
    """

    label: str
    outcome: Outcome
    against: Against


@dataclass(frozen=True)
class Bar:
    """One input, fixed at its P10 and at its P90.

    Attributes
    ----------
    input : LevelInput
    low, high : End
    swing : Difference
        From the earliest P80 to the latest of three: as it is, and at either end. Unknown if one of them is.
    """

    input: LevelInput
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


def fixed_scenarios(scenario: Scenario, inputs: Sequence[LevelInput]) -> list[Scenario]:
    """Return two scenarios for each input, in turn: with it fixed at its P10, and at its P90.

    Raises
    ------
    ScenarioError
        If a scenario was not read from a text, so that nothing of it can be fixed.
    """
    return [_fix(scenario, level, level.at(share)) for level in inputs for share in (LOW, HIGH)]


def _fix(scenario: Scenario, level: LevelInput, values: tuple[float, ...]) -> Scenario:
    from simulation.scenario import vary

    varied = vary(scenario, level.fixed_at(values))
    if all(change.factor is None for change in scenario.source.changes):
        return varied
    # What the scenario multiplies is multiplied after all else is set: what is set must make up for it.
    drawn = _known_values(varied, level)
    return vary(
        scenario, level.fixed_at(tuple(value * value / now if now else value for value, now in zip(values, drawn, strict=True)))
    )


def _known_values(scenario: Scenario, level: LevelInput) -> list[float]:
    from simulation.construction import compile_plan

    levels = {plan.key: plan.level.quantile(0.0) for plan in compile_plan(scenario).levels}
    return [levels[key] for key in level.keys]


def make_bars(
    alternatives: Alternatives, scenarios: Sequence[Scenario], inputs: Sequence[LevelInput], count: int, deadline: Deadline | None
) -> tuple[Bar, ...]:
    """Return a bar for each input whose runs are all there: the longest swing first, all measurable before the rest.

    Parameters
    ----------
    alternatives : Alternatives
        The current plan, then two for each input as `fixed_scenarios` has them.
    scenarios : sequence of Scenario
        The same.
    inputs : sequence of LevelInput
    count : int
        Runs of each.
    deadline : Deadline, optional
    """
    base = alternatives.table(0, count)
    reference = summarise_outcome("current plan", scenarios[0], base, deadline)
    numbers = base["run"].tolist()

    def read_end(index: int, label: str) -> End | None:
        table = alternatives.table(index, count)
        if table["run"].tolist() != numbers:
            return None
        outcome = summarise_outcome(label, scenarios[index], table, deadline)
        return End(label, outcome, against(reference, outcome))

    bars = []
    for number, level in enumerate(inputs):
        low, high = read_end(2 * number + 1, level.label(LOW)), read_end(2 * number + 2, level.label(HIGH))
        if low is not None and high is not None:
            bars.append(Bar(level, low, high, _swing(reference, low, high)))
    return tuple(sorted(bars, key=lambda bar: (not bar.measurable, -bar.span)))


def _swing(reference: Outcome, low: End, high: End) -> Difference:
    each = sorted((reference, low.outcome, high.outcome), key=lambda outcome: outcome.p80.value)
    return difference_of_quantiles(each[0].hours, each[-1].hours, 0.8)
