"""Where does work that has begun stand, and what has been learned from it? Its site log, read once, for the plan of its runs.

A log tells of the scenario as written. What is tried of it, a forklift more or other crews, begins from the same field and has
learned the same: whoever is new stands idle, and a truck that is not there any more leaves its load.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache, partial
from typing import TYPE_CHECKING

from simulation.chance import Learned
from simulation.construction.at_work import shares_at_work
from simulation.construction.learning.lessons import learn
from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.plan.field_state import UNLOADING, FieldState
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import shifts_of_log
from simulation.construction.site_log.reading import LogReading, read_site_log
from simulation.scenario.reading.reading import parse_scenario
from simulation.scenario.types.mistakes import LogError, Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def continue_plan(plan: Plan, scenario: Scenario) -> Plan:
    """Return a plan that begins where the site log of its scenario says that the field stands, with what was learned.

    Raises
    ------
    ScenarioError, LogError
        As `compile_plan`.
    """
    begun = _begun(scenario)
    if begun.read.state is None:
        return plan
    return replace(plan, state=_for_plan(begun.read.state, begun.plan, plan, scenario), learned=begun.learned)


def read_log(scenario: Scenario) -> LogReading:
    """Return what the site log of a scenario comes to."""
    return _begun(scenario).read


def list_shifts(scenario: Scenario) -> list[list[tuple[float, float]]]:
    """Return the shifts of each crew for which a log has lines, in hours since the start."""
    laying = scenario.shifts.of("laying")
    return [shifts_of_log(crew.shift or laying, scenario.starts, scenario.horizon) for crew in scenario.crew]


@dataclass(frozen=True)
class _Begun:
    """What a log comes to on the scenario as written: its plan from the start, the field, and what was learned."""

    plan: Plan
    read: LogReading
    learned: Learned | None


class _Written:
    """A scenario with a log, without what was changed of it; two of one text, data and log are the same."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario, source = scenario, scenario.source
        self._key = (source.text, source.log, source.units, tuple(sorted(source.data.items())))

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        mine, theirs = self.scenario, other.scenario if isinstance(other, _Written) else None
        return theirs is not None and (mine is theirs or (bool(mine.source.text) and self._key == other._key))  # type: ignore[attr-defined]


def _begun(scenario: Scenario) -> _Begun:
    return _read(_Written(scenario))


# A question tries dozens of changes of one scenario, a comparison a few scenarios: each log is read and learned from once.
@lru_cache(maxsize=4)
def _read(written: _Written) -> _Begun:
    scenario, source = written.scenario, written.scenario.source
    assert source.log is not None
    if source.changes:
        data = source.data if source.data else None
        scenario = parse_scenario(source.text, source.file, source.folder, scenario.title, data, (), source.units, source.also)
    plan = plan_from_start(scenario)
    read = read_site_log(scenario, plan, source.log)
    taught = read.state is not None and source.log.teaches
    return _Begun(plan, read, learn(plan, read.evidence, partial(shares_at_work, plan)) if taught else None)


def _for_plan(state: FieldState, written: Plan, plan: Plan, scenario: Scenario) -> FieldState:
    """Return the field for a plan that may differ from the one that its log tells of."""
    if [(edge.area, edge.first, edge.last, edge.upward) for edge in written.edges] != [
        (edge.area, edge.first, edge.last, edge.upward) for edge in plan.edges
    ]:
        wrong = "what is changed makes another field of it than the one that the log tells of"
        log = scenario.source.log
        raise LogError("site log" if log is None else log.file, [Mistake("", wrong, "change what is still to come")])
    crews = {crew.name: number for number, crew in enumerate(written.crews)}
    places = [crews.get(crew.name, -1) for crew in plan.crews]
    counts = [fleet.count for fleet in plan.supply.fleets]
    trucks = tuple(fleet[:count] for fleet, count in zip(state.trucks, counts, strict=False))
    gone = [
        truck for fleet, count in zip(state.trucks, counts, strict=False) for truck in fleet[count:] if truck.stage == UNLOADING
    ]
    hold = state.apart.loads if state.apart is not None else ((),) * len(state.loads)
    loads = sorted([*zip(state.loads, hold, strict=True), *((truck.pallets, truck.hold) for truck in gone)])
    milestones = {milestone.name: number for number, milestone in enumerate(written.milestones)}
    works = {work.name: number for number, work in enumerate(written.follows)}
    reached = [milestones.get(milestone.name) for milestone in plan.milestones]
    followed = [works.get(work.name) for work in plan.follows]
    return replace(
        state,
        crews=tuple(-1 if number < 0 else state.crews[number] for number in places),
        rows_by_crew=tuple(0 if number < 0 else state.rows_by_crew[number] for number in places),
        trucks=trucks,
        loads=tuple(pallets for pallets, _ in loads),
        apart=None if state.apart is None else replace(state.apart, loads=tuple(hold for _, hold in loads)),
        forklifts=state.forklifts[: plan.forklifts.count],
        reached=tuple(None if number is None else state.reached[number] for number in reached),
        swept_since=tuple(None if number is None else state.swept_since[number] for number in reached),
        followed=tuple(0 if number is None else state.followed[number] for number in followed),
    )
