"""Many builds of a scenario as one table."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.build import columns, compile_plan
from simulation.build.record import Record
from simulation.replicate.batches import Progress, run_all

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario


def run_builds(
    scenario: Scenario,
    replications: int,
    seed: int | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
) -> pd.DataFrame:
    """Return one row for each build, in order of replication.

    Parameters
    ----------
    scenario : Scenario
    replications : int
        How many builds.
    seed : int, optional
        Default: the scenario's.
    workers : int, optional
        Processes. Default: one for each core where the work is worth it. The numbers are the same to the bit for any.
    progress : callable, optional
        Called with builds done and builds asked for.

    Returns
    -------
    pandas.DataFrame
        Column ``replication`` and those of `simulation.build.columns`. After an interrupt, fewer rows than were asked for.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.
    """
    import pandas as pd

    plan = compile_plan(scenario)
    if seed is not None:
        plan = replace(plan, seed=seed)
    records: dict[int, Record] = {}
    try:
        for number, record in run_all(plan, replications, workers, progress):
            records[number] = record
    except KeyboardInterrupt:
        pass  # what is done is kept; the caller sees that it is less than it asked for
    numbers = sorted(records)
    table = pd.DataFrame([records[number] for number in numbers], columns=list(columns(plan)), dtype=float)
    table.insert(0, "replication", numbers)
    return table
