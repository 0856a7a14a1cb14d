"""How did the forecast go as the work went on? One forecast after each shift of a log, beside what came true."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.stats.quantiles import estimate
from simulation.study.outcomes import Outcome, summarise_outcome
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.scenario import Scenario

#: Moments at the most: of a longer log they are spread evenly. Planning value.
MOST_MOMENTS = 20
#: Shares of the runs that a forecast is told by.
SHARES = (0.1, 0.5, 0.8, 0.9)


@dataclass(frozen=True)
class HistoryRow:
    """The forecast as it was at one moment: hours since the start, and by share of the runs when they are ready."""

    moment: float
    outcome: Outcome
    quantiles: dict[float, float]

    @property
    def left(self) -> float:
        """Hours between P10 and P90."""
        return self.quantiles[0.9] - self.quantiles[0.1]


@dataclass(frozen=True)
class HistoryResult:
    """The forecasts that followed each other, the one from the start first.

    Attributes
    ----------
    scenario : Scenario
    rows : tuple of HistoryRow
    truth : float or None
        When readiness was reached by the log; None where it was not yet.
    seed, asked : int
    manifest : Manifest or None
        Of the last one.
    stopped : str
    """

    scenario: Scenario
    rows: tuple[HistoryRow, ...]
    truth: float | None
    seed: int
    asked: int
    manifest: Manifest | None
    stopped: str

    def inside(self, low: float, high: float) -> tuple[int, int] | None:
        """Return how many of the forecasts before readiness had the truth between two shares, and how many there are."""
        if self.truth is None:
            return None
        before = [row for row in self.rows if row.moment < self.truth]
        return sum(row.quantiles[low] <= self.truth <= row.quantiles[high] for row in before), len(before)

    def covered(self, share: float) -> tuple[int, int] | None:
        """Return in how many of the forecasts before readiness the truth came by the time of a share, and how many there are."""
        if self.truth is None:
            return None
        before = [row for row in self.rows if row.moment < self.truth]
        return sum(self.truth <= row.quantiles[share] + 1e-6 for row in before), len(before)


def history(scenario: Scenario, context: RunContext = RunContext()) -> HistoryResult:
    """Return how the forecast of a scenario went, from its start and after each shift of its site log.

    Parameters
    ----------
    scenario : Scenario
        With a site log.
    context : RunContext

    Raises
    ------
    ScenarioError, LogError, NothingFinished, StoreError, ClusterError, ValueError
        As for `update`.
    """
    from simulation.construction import tell_log
    from simulation.replicate import Alternatives
    from simulation.scenario import begin_by

    check_run_count(context.runs)
    log = scenario.source.log
    assert log is not None
    limit = context.read_deadline(scenario)
    read_log = tell_log(scenario)
    last = 0.0 if read_log.state is None else read_log.state.at
    ends = sorted({round(row.end, 6) for row in read_log.evidence.rows} | ({last} if last else set()))
    if len(ends) > MOST_MOMENTS:
        ends = [ends[round(index * (len(ends) - 1) / (MOST_MOMENTS - 1))] for index in range(MOST_MOMENTS)]
    written = [f"{hours!r} h" for hours in ends]
    scenarios = [begin_by(scenario, None), *(begin_by(scenario, replace(log, at=at)) for at in written)]
    with context.workshop() as workshop:
        runs = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(runs, context.runs, context.tell)
        runs.expected = context.runs * len(scenarios)
        rows = []
        moments = [0.0, *ends]
        for index in runs.reach_in_turn([(index, context.runs) for index in range(len(moments))]):
            outcome = summarise_outcome("", scenarios[index], runs.table(index, context.runs), limit)
            rows.append(HistoryRow(moments[index], outcome, {share: estimate(outcome.hours, share).value for share in SHARES}))
        manifest, stopped, seed = runs.runs[-1].manifest(), runs.stopped, runs.seed
    if not rows:
        raise NothingFinished(stopped)
    ready = next(index for index, milestone in enumerate(scenario.milestones) if milestone.ready)
    truth = None if read_log.state is None else read_log.state.reached[ready]
    return HistoryResult(scenario, tuple(rows), truth, seed, context.runs, manifest, stopped)
