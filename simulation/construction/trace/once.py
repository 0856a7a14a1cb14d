"""One run of a scenario, to be looked at: when its milestones were reached, what drove them, and every step."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from simulation.conditions.clock.calendar import FLYING
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, KINDS, NUMBER, START, WORK
from simulation.construction.planning import compile_plan
from simulation.construction.running import Finished, simulate
from simulation.construction.trace.balance import Balance, balances
from simulation.construction.trace.chain import LOSSES, hours_by_cause, losses, tied_share
from simulation.construction.trace.record import columns, make_record

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario

#: Hours: sums of many steps are not exact to the last bit.
_SLACK = 1e-9


@dataclass(frozen=True)
class Run:
    """One simulated construction.

    Attributes
    ----------
    run_number : int
    milestones : dict of str to float
        Hours since the start; infinite where a milestone was not reached by the last day simulated.
    causes : dict of str to dict of str to float
        For each milestone that was reached, the hours of its chain of causes by cause; they sum to it.
    record : dict of str to float
        What a forecast keeps of this run.
    balance : tuple of Balance
        Where all full and all half mats are at the end.
    tied_share : float
        Share of the last milestone's chain that another chain could claim as well.
    """

    run_number: int
    milestones: dict[str, float]
    causes: dict[str, dict[str, float]]
    record: dict[str, float]
    balance: tuple[Balance, Balance]
    tied_share: float
    finished: Finished = field(repr=False)

    @property
    def steps(self) -> pd.DataFrame:
        """Every step, in the order in which they began.

        Columns: ``step`` its number; ``actor``, ``work`` who did what; ``area`` and ``number`` where (rows laid from the edge's
        first row, a truck's trip, …); ``start``, ``end`` hours since the start; ``hours`` of work in between; ``because`` the
        number of the step whose end let it start, −1 for start; ``waited`` hours without a step of its actor before it;
        ``held up`` hours of a pause itself, such as by the daily limit; ``off shift``, ``dark`` and so on, one column for each of
        `chain.LOSSES`, and for flying where an area is closed for it, the hours that its clock
        lost. Work, hours held up and lost make up the time from the start to end.
        """
        import pandas as pd

        site = self.finished.site
        number = {id(step): index for index, step in enumerate(site.trace)}
        names = [f"{actor.kind} {actor.name}" if actor.kind != "weather" else "weather" for actor in self.finished.actors]
        rows = [
            (
                index,
                names[step[ACTOR]] if step[ACTOR] >= 0 else "site",
                KINDS[step[KIND]].name,
                self._where(step[EDGE]),
                step[NUMBER],
                step[START],
                step[END],
                step[WORK],
                number[id(step[BECAUSE])] if step[BECAUSE] is not None else -1,
            )
            for index, step in enumerate(site.trace)
        ]
        table = pd.DataFrame(rows, columns=["step", "actor", "work", "area", "number", "start", "end", "hours", "because"])
        table["waited"] = self._waited()
        lost = [losses(step, site.clocks) for step in site.trace]
        spans = zip(site.trace, lost, strict=True)
        rest = [step[END] - step[START] - step[WORK] - math.fsum(hours.values()) for step, hours in spans]
        table["held up"] = [hours if hours > _SLACK else 0.0 for hours in rest]
        for cause in (*LOSSES, *(() if site.plan.flying is None else (FLYING,))):
            table[cause] = [hours.get(cause, 0.0) for hours in lost]
        return table

    def _waited(self) -> list[float]:
        """Return the hours before each step in which its actor did nothing."""
        ended: dict[int, float] = {}
        waited = []
        for step in self.finished.site.trace:
            waited.append(max(0.0, step[START] - ended.get(step[ACTOR], step[START])))
            ended[step[ACTOR]] = max(ended.get(step[ACTOR], 0.0), step[END])
        return waited

    def _where(self, edge: int) -> str:
        if edge < 0:
            return ""
        plan = self.finished.site.plan
        area = plan.areas[plan.edges[edge].area]
        if len(area.edges) == 1:
            return area.name
        return f"{area.name}, {'high' if plan.edges[edge].upward else 'low'} side"


def run_once(scenario: Scenario, run_number: int = 0, seed: int | None = None) -> Run:
    """Return one run of a scenario.

    Parameters
    ----------
    scenario : Scenario
    run_number : int
        Number of the run, from 0; the same number gives the same run to the bit.
    seed : int, optional
        Default: the scenario's.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.

    Examples
    --------
    >>> from simulation import run_once, load_scenario
    >>> run = run_once(load_scenario("configs/first_look.toml"))
    >>> sorted(run.milestones)
    ['operational readiness']
    """
    plan = compile_plan(scenario)
    done = simulate(plan, run_number, seed)
    reached = {milestone.name: step for milestone, step in zip(plan.milestones, done.site.reached, strict=True)}
    last = max((step for step in done.site.reached if step is not None), key=lambda step: step[END], default=done.site.zero)
    return Run(
        run_number=run_number,
        milestones={name: float("inf") if step is None else step[END] for name, step in reached.items()},
        causes={name: hours_by_cause(step, done) for name, step in reached.items() if step is not None},
        record=dict(zip(columns(plan), make_record(done), strict=True)),
        balance=balances(done),
        tied_share=tied_share(last, done.site.trace),
        finished=done,
    )
