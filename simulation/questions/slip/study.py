"""What does it cost if something comes late? Readiness with a delivery, a gang, a forklift or a crew later, same luck."""

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
    alike : bool
        Whether every run is ready at the very hour at which it is ready as it is.
    """

    late: Late
    delay: Delay
    changes: tuple[Change, ...]
    outcome: Outcome
    against: Against
    alike: bool

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
        The scenario as it is: the reference.
    what : tuple of str
        Names asked for; empty where each usual one was.
    by : str
        Delays as they were asked for.
    never_there : tuple of str
        What comes by the last day simulated or after it by the scenario itself, as a sentence calls it.
    seed : int
    asked : int
        Runs of each; fewer of the reference are done where the study was stopped early.
    slipped : tuple of Slipped
        Thing by thing in the order asked for, the shortest delay first.
    not_reached : int
        How many were not tried because the study was stopped early.
    manifest : Manifest or None
        Of the study of the scenario as it is.
    stopped : str
        Why there are fewer runs than asked for; empty where there are not.
    """

    outcome: Outcome
    what: tuple[str, ...]
    by: str
    never_there: tuple[str, ...]
    seed: int
    asked: int
    slipped: tuple[SlipRow, ...]
    not_reached: int
    manifest: Manifest | None
    stopped: str

    @property
    def runs(self) -> int:
        """Runs of the scenario as it is."""
        return len(self.outcome.hours)

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(one) for one in self.outcome.hours)


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
        If `run_count` is out of range.

    Examples
    --------
    >>> from simulation import load_scenario, slip
    >>> found = slip(load_scenario(), ["supply"], "1 day..5 day", deadline="9 day")  # doctest: +SKIP
    >>> [(one.delay.text, one.against.p80.value) for one in found.slipped]  # doctest: +SKIP
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
        slipped: list[SlipRow] = []
        for place, (late, delay, changes) in enumerate(asked, start=1):
            if alternatives.stopped or not alternatives.reach(context.runs, [place]):
                break
            name = f"{late.name}, {delay.text}"
            outcome = summarise_outcome(name, scenarios[place], alternatives.table(place, context.runs), limit)
            slipped.append(SlipRow(late, delay, changes, outcome, against(reference, outcome), outcome.hours == reference.hours))
        return SlipResult(
            outcome=reference,
            what=tuple(dict.fromkeys(what)),
            by=by,
            never_there=never_there(scenario),
            seed=alternatives.seed,
            asked=context.runs,
            slipped=tuple(slipped),
            not_reached=len(asked) - len(slipped),
            manifest=alternatives.runs[0].manifest(),
            stopped=alternatives.stopped,
        )
