"""What does it cost if a delivery, a gang, a forklift or a crew comes late? Every delay is tried on the same draws."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.slip.delays import BY, Delay, Late, delayable_items, never_there, read_delays
from simulation.study.changes.trials import TrialRow, TrialsResult, try_changes
from simulation.study.run_context import RunContext
from simulation.study.runner import check_run_count

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario


@dataclass(frozen=True)
class LateBy:
    """One thing that comes so much late.

    Attributes
    ----------
    late : Late
    delay : Delay
    changes : tuple of Change
    scenario : Scenario
        With the changes in it.
    longest : bool
        Whether it comes no later in any other trial.
    """

    late: Late
    delay: Delay
    changes: tuple[Change, ...]
    scenario: Scenario
    longest: bool

    @property
    def name(self) -> str:
        """What it is called in a table."""
        return f"{self.late.name}, {self.delay.text}"

    @property
    def parts_beyond(self) -> int:
        """How many parts of it come by the last day simulated or after it."""
        return sum(since + self.delay.hours >= self.scenario.horizon for since in self.late.since)


#: What it costs if one thing comes so much late: above zero is later, or more likely.
SlipRow = TrialRow[LateBy]


@dataclass(frozen=True)
class SlipResult(TrialsResult[LateBy]):
    """What it costs if things come late: of the rows, thing by thing in the order asked for, the shortest delay first.

    Attributes
    ----------
    what : tuple of str
        Names asked for; empty where each usual one was.
    by : str
        Delays as they were asked for.
    never_there : tuple of str
        What comes by the last day simulated or after it by the scenario itself, as a sentence calls it.
    """

    what: tuple[str, ...]
    by: str
    never_there: tuple[str, ...]


def slip(scenario: Scenario, context: RunContext = RunContext(), what: Sequence[str] = (), by: str = BY) -> SlipResult:
    """Return what it costs if something comes late.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are of the scenario, and of each delay at the most, and how they are done and kept.
    what : sequence of str
        Names such as ``supply``, ``grading``, ``forklift``, ``crew.B``; see `delays.delayable_items`. Default: each of these.
    by : str
        How late; see `delays.read_delays`.

    Raises
    ------
    ScenarioError
        If a name, a delay or the deadline cannot be read, or the scenario cannot finish.
    NothingFinished, StoreError, ClusterError, ValueError
        As for `try_changes`.

    Examples
    --------
    >>> from simulation import RunContext, load_scenario, slip
    >>> result = slip(load_scenario(), RunContext(deadline="9 day"), ["supply"], "1 day..5 day")  # doctest: +SKIP
    >>> [(row.trial.delay.text, row.against.p80.value) for row in result.rows]  # doctest: +SKIP
    """
    from simulation.scenario import vary

    check_run_count(context.runs)
    delays = read_delays(by)
    trials = [
        LateBy(late, delay, late.later(delay.hours), vary(scenario, late.later(delay.hours)), delay is delays[-1])
        for late in delayable_items(scenario, tuple(what))
        for delay in delays
    ]
    result, _ = try_changes(scenario, trials, context, may_be_named=_cost_if_named, needs_size=lambda trial: trial.longest)
    return SlipResult(**vars(result), what=tuple(dict.fromkeys(what)), by=by, never_there=never_there(scenario))


def _cost_if_named(row: SlipRow) -> float | None:
    """Return the cost of what a sentence may say to cost most: each thing at its longest delay."""
    return row.against.around_p80.value if row.trial.longest and row.costs else None
