"""Tries other crews, another start and other forklifts in every combination: a small grid, done beforehand."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from simulation.questions.compare.row import CompareRow
from simulation.questions.compare.study import CompareResult, compare
from simulation.scenario import Change, Scenario
from simulation.scenario.types.remembered import remembered
from simulation.study.changes.default_plans import CENTRE_OUT, ONE_END, sound_or_why, start_change
from simulation.study.outcomes import Outcome
from simulation.study.run_context import RunContext

#: What the people of each crew are multiplied by, and forklifts added. Planning values: what can be found or lent within a day.
PEOPLE, FORKLIFTS = (0.75, 1.0, 1.25), (-1, 0, 1)
#: Why a plan is left out that has none.
NO_FORKLIFT = "no forklift is left"


@dataclass(frozen=True, order=True)
class Choice:
    """One combination.

    Attributes
    ----------
    people : int
        In the crews, operators and drivers left out.
    start : str
        Of the first area, ``one-end`` or ``centre-out``; empty where a field is taken up.
    forklifts : int
    """

    people: int
    start: str
    forklifts: int


@dataclass(frozen=True)
class PlanGrid:
    """Every combination that is sound, with the same random draws.

    Attributes
    ----------
    choices : tuple of Choice
        In the order of the comparison's plans; the scenario as written is its reference.
    comparison : Comparison
    left_out : dict of Choice to str
        Combinations that are not sound, or cannot finish, and the first reason why.
    """

    choices: tuple[Choice, ...]
    comparison: CompareResult
    left_out: dict[Choice, str]

    @property
    def as_written(self) -> Choice:
        """The combination that the scenario has."""
        return self.choices[self.comparison.reference]

    def plan(self, choice: Choice) -> CompareRow:
        """Return the plan of a combination."""
        return self.comparison.plans[self.choices.index(choice)]


@remembered
def list_choices(scenario: Scenario) -> tuple[dict[Choice, Scenario], dict[Choice, str]]:
    """Return the combinations with their scenarios, by people, start and forklifts, and those that are left out with why."""
    scenarios: dict[Choice, Scenario] = {}
    left_out: dict[Choice, str] = {}
    count = scenario.forklifts.count
    starts = ("",) if scenario.takes_up else (ONE_END, CENTRE_OUT)  # where a field lies, it lies
    for times, start, forklifts in product(PEOPLE, starts, (count + added for added in FORKLIFTS)):
        people = [max(1, round(times * crew.people)) for crew in scenario.crew]
        choice = Choice(sum(people), start, forklifts)
        if choice in scenarios or choice in left_out:
            continue  # of few people a quarter may be nobody
        varied = sound_or_why(scenario, _changes(scenario, people, start, forklifts)) if forklifts else NO_FORKLIFT
        if isinstance(varied, str):
            left_out[choice] = varied
        else:
            scenarios[choice] = varied
    return scenarios, left_out


def plan_grid(scenario: Scenario, context: RunContext = RunContext(), plan: Outcome | None = None) -> PlanGrid:
    """Return the grid of a scenario: people of each crew a quarter fewer and more, both starts, a forklift fewer and more.

    Parameters
    ----------
    scenario, runs, seed, workers, deadline, progress, cluster, folder, told
        As for `compare`.
    context : RunContext
        How many runs there are, and how they are done and kept.

    Raises
    ------
    ScenarioError, NothingFinished, StoreError, ClusterError, ValueError
        As for `compare`.
    """
    scenarios, left_out = list_choices(scenario)
    choices = tuple(scenarios)
    start = "" if scenario.takes_up else scenario.area[0].start
    own = Choice(sum(crew.people for crew in scenario.crew), start, scenario.forklifts.count)
    plans = [(words(choice), varied) for choice, varied in scenarios.items()]
    comparison = compare(plans, context, reference=choices.index(own), current=plan)
    return PlanGrid(choices, comparison, left_out)


def words(choice: Choice) -> str:
    """Return how a combination is called."""
    return f"{crews_words(choice)}, {choice.forklifts} forklift{'' if choice.forklifts == 1 else 's'}"


def crews_words(choice: Choice, whose: str = "in the crews") -> str:
    """Return the people of a combination, and its start where it has one."""
    from simulation.study.changes.default_plans import STARTS

    return f"{choice.people} {whose}{f', {STARTS[choice.start]}' if choice.start else ''}"


def _changes(scenario: Scenario, people: list[int], start: str, forklifts: int) -> list[Change]:
    """Return what makes a combination of a scenario: nothing where it is its own."""
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    changes = [
        Change(f"crew.{block_name(index, crew.name)}.people", str(some))
        for index, (crew, some) in enumerate(zip(scenario.crew, people, strict=True))
        if some != crew.people
    ]
    if start and start != scenario.area[0].start:
        changes.append(start_change(scenario, start))
    if forklifts != scenario.forklifts.count:
        changes.append(Change("forklifts.count", str(forklifts)))
    return changes
