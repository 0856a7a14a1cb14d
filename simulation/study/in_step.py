"""Have the same runs of several scenarios done, so that each can be held against each other run by run, also after a stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.study.runner import NothingFinished, announce, check_run_count

if TYPE_CHECKING:
    from simulation.replicate import Manifest
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario
    from simulation.study.run_context import RunContext

#: Runs of each scenario after which those of the next are done: a stop leaves them all but so many apart. Planning value.
ROUND = 20


@dataclass(frozen=True)
class InStep:
    """Runs that every one of several scenarios has.

    Attributes
    ----------
    tables : tuple of pandas.DataFrame
        One for each scenario, a row for each run, with the same runs in the same order.
    seed, asked : int
        Runs asked for of each; fewer are there where it was stopped.
    stopped : str
        Why; empty where it was not.
    manifest : Manifest
        Of the study of the first scenario.
    """

    tables: tuple[RunTable, ...]
    seed: int
    asked: int
    stopped: str
    manifest: Manifest

    @property
    def runs(self) -> int:
        """Runs of each scenario."""
        return len(self.tables[0])


def do_in_step(scenarios: Sequence[Scenario], context: RunContext) -> InStep:
    """Return the same runs of each of several scenarios.

    Raises
    ------
    NothingFinished
        If it was stopped before every scenario had a run.
    ScenarioError, StoreError, ClusterError, ValueError
        As for `Alternatives` and `check_run_count`.
    """
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    with context.workshop() as workshop:
        alternatives = Alternatives(scenarios, workshop, context.seed, context.progress)
        announce(alternatives, context.runs, context.tell)
        rounds = (min(done + ROUND, context.runs) for done in range(0, context.runs, ROUND))
        for _ in alternatives.reach_in_turn([(place, upto) for upto in rounds for place in range(len(scenarios))]):
            pass
        tables, stopped = alternatives.common(context.runs), alternatives.stopped
        manifest = alternatives.runs[0].manifest()
    if tables[0].empty:
        raise NothingFinished(f"{stopped}, before there was a run of everything that is tried")
    return InStep(tuple(tables), alternatives.seed, context.runs, stopped, manifest)
