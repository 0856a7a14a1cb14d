"""How are runs done and kept? Said once for a question, and passed whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.study.runner import RUNS

if TYPE_CHECKING:
    from simulation.replicate import Workshop
    from simulation.scenario import Scenario
    from simulation.study.deadline import Deadline


@dataclass(frozen=True)
class RunContext:
    """How runs are done and kept.

    Attributes
    ----------
    runs : int
        Of the scenario, and of each plan that is tried.
    deadline : str, optional
        A duration from the start or a local date; see `read_deadline`.
    seed : int, optional
        Default: the scenario's own.
    sampling : str
        How levels are drawn: ``"random"``, or ``"lhs"`` in Latin hypercubes of 100 runs.
    workers : int, optional
        Processes. Default: one for each core. The numbers do not depend on it.
    cluster : str, optional
        Address of a cluster's scheduler, whose workers do the runs.
    folder : Path, optional
        Where every run is kept as soon as it is done, and sought first. Default: nowhere.
    progress : callable, optional
        Told runs done and runs asked; of something else than runs, what it is besides.
    tell : callable, optional
        Told in a sentence what the folder holds already, and how much there is to do.
    """

    runs: int = RUNS
    deadline: str | None = None
    seed: int | None = None
    sampling: str = "random"
    workers: int | None = None
    cluster: str | None = None
    folder: Path | None = None
    progress: Callable[..., None] | None = None
    tell: Callable[[str], None] | None = None

    def read_deadline(self, scenario: Scenario) -> Deadline | None:
        """Return the deadline, read by a scenario's calendar.

        Raises
        ------
        ScenarioError
            If it cannot be read.
        """
        from simulation.study import deadline
        from simulation.study.calendar import make_calendar

        return None if self.deadline is None else deadline.read_deadline(self.deadline, make_calendar(scenario))

    def workshop(self) -> Workshop:
        """Return a store and a team; whoever opens it closes it.

        Raises
        ------
        StoreError, ClusterError
            If the folder or the cluster cannot be used.
        """
        from simulation.replicate import Workshop

        return Workshop(self.folder, self.workers, self.cluster)
