"""What does it cost if a delivery, a gang, a forklift or a crew comes late? Every delay is tried on the same draws."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.slip.delays import BY, Delay, Late, delayable_items, never_there, read_delays
from simulation.study.outcomes import Against, Outcome, against, summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import announce, check_run_count, own_runs

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.scenario import Change, Scenario


@dataclass(frozen=True)
class SlipRow:
    """What it costs if one thing comes so much late.

    Attributes
    ----------
    late : Late
    delay : Delay
    changes : tuple of Change
    outcome : Outcome
    against : Against
        Above zero is later, or more likely.
    identical : bool
        Whether every run is ready at the very hour at which it is ready under the current plan.
    """

    late: Late
    delay: Delay
    changes: tuple[Change, ...]
    outcome: Outcome
    against: Against
    identical: bool

    @property
    def parts_beyond(self) -> int:
        """How many parts of it come by the last day simulated or after it."""
        return sum(since + self.delay.hours >= self.outcome.scenario.horizon for since in self.late.since)

    @property
    def share(self) -> float | None:
        """What part of the delay P80 is put off by; None where that is not known."""
        return None if self.against.p80.value is None else self.against.p80.value / self.delay.hours


@dataclass(frozen=True)
class SlipResult:
    """What it costs if things come late. Hours count from the start.

    Attributes
    ----------
    outcome : Outcome
        The current plan: the reference.
    what : tuple of str
        Names asked for; empty where each usual one was.
    by : str
        Delays as they were asked for.
    never_there : tuple of str
        What comes by the last day simulated or after it by the scenario itself, as a sentence calls it.
    seed : int
    asked : int
        Runs of each; fewer of the reference are done where the study was stopped early.
    rows : tuple of SlipRow
        Thing by thing in the order asked for, the shortest delay first.
    not_reached : int
        How many were not tried because the study was stopped early.
    manifest : Manifest or None
        Of the study of the current plan.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    outcome: Outcome
    what: tuple[str, ...]
    by: str
    never_there: tuple[str, ...]
    seed: int
    asked: int
    rows: tuple[SlipRow, ...]
    not_reached: int
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs of the current plan."""
        return len(self.outcome.hours)

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(hours) for hours in self.outcome.hours)


def slip(scenario: Scenario, context: RunContext = RunContext(), what: Sequence[str] = (), by: str = BY) -> SlipResult:
    """Return what it costs if something comes late.

    Parameters
    ----------
    scenario : Scenario
    context : RunContext
        How many runs there are, and how they are done and kept.
    what : sequence of str
        Names such as ``supply``, ``grading``, ``forklift``, ``crew.B``; see `delays.delayable_items`. Default: each of these.
    by : str
        How late; see `delays.read_delays`.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish, or a name, a delay or the deadline cannot be read.
    NothingFinished
        If it was stopped before the first run was done.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If the number of runs is out of range.

    Examples
    --------
    >>> from simulation import RunContext, load_scenario, slip
    >>> result = slip(load_scenario(), RunContext(deadline="9 day"), ["supply"], "1 day..5 day")  # doctest: +SKIP
    >>> [(row.delay.text, row.against.p80.value) for row in result.rows]  # doctest: +SKIP
    """
    from simulation.replicate import Alternatives
    from simulation.scenario import vary

    check_run_count(context.runs)
    limit = context.read_deadline(scenario)
    delays = read_delays(by)
    asked = [(late, delay, late.later(delay.hours)) for late in delayable_items(scenario, tuple(what)) for delay in delays]
    scenarios = [scenario, *(vary(scenario, changes) for _, _, changes in asked)]
    with context.workshop() as workshop:
        alternatives = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(alternatives, context.runs, context.tell)
        runs = own_runs(alternatives, context.runs)
        reference = summarise_outcome("as it is", scenario, runs, limit)
        rows: list[SlipRow] = []
        for number, (late, delay, changes) in enumerate(asked, start=1):
            if alternatives.stopped or not alternatives.reach(context.runs, [number]):
                break
            name = f"{late.name}, {delay.text}"
            outcome = summarise_outcome(name, scenarios[number], alternatives.table(number, context.runs), limit)
            identical = outcome.hours == reference.hours
            rows.append(SlipRow(late, delay, changes, outcome, against(reference, outcome), identical))
        return SlipResult(
            outcome=reference,
            what=tuple(dict.fromkeys(what)),
            by=by,
            never_there=never_there(scenario),
            seed=alternatives.seed,
            asked=context.runs,
            rows=tuple(rows),
            not_reached=len(asked) - len(rows),
            manifest=alternatives.runs[0].manifest(),
            stopped=alternatives.stopped,
        )
