"""`keystrip plan`: the best plan of all that may be chosen, within what is there."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session.asking import Asking, with_options
from simulation.session.lines import say, stop
from simulation.session.options import SCENARIO

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.result import PlanResult
    from simulation.questions.plan.space import Option
    from simulation.scenario import Scenario
    from simulation.study.run_context import RunContext


#: Runs of one plan at the most: see `study.MOST`, which is not loaded for help.
MOST = 1600
#: Runs of all plans together at the most: see `study.BUDGET`.
BUDGET = 8_000


def _limit(flag: str, what: str, otherwise: str = "") -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(
        flag, min=1, max=100_000, metavar="N", help=f"{what} Default: what [limits] of the scenario says{otherwise}."
    )
    return option


@with_options(runs="Runs of one plan at the most.", usual=MOST)
def plan(
    scenario: SCENARIO = None,
    choose: Annotated[
        list[str] | None,
        typer.Option(
            "--choose",
            metavar="KEY=V1,V2,…",
            help="What may be chosen besides what is written: a key by its address and its values, or crews=1x48,2x24. May be "
            "given several times. Default: what [choose] of it says, else start, forklifts, trucks, grading gangs, the hours of "
            "those who serve crews, and crews: their order, hours, areas and people.",
        ),
    ] = None,
    people: Annotated[
        int | None,
        _limit(
            "--people",
            "People on site at any hour, operators and drivers included.",
            "; else, without --choose, as many as written",
        ),
    ] = None,
    forklifts: Annotated[int | None, _limit("--forklifts", "Forklifts.")] = None,
    loads: Annotated[int | None, _limit("--loads", "Pallets that may come to the yard in a day.")] = None,
    goal: Annotated[
        str | None,
        typer.Option(
            "--goal",
            metavar="GOAL",
            help="What is to be best: P80 or another quantile, mean, or chance (of --deadline). Default: [choose], else P80.",
        ),
    ] = None,
    milestone: Annotated[
        str | None,
        typer.Option(
            "--milestone", metavar="NAME", help="Of which milestone. Default: what [choose] says, else that of readiness."
        ),
    ] = None,
    write: Annotated[
        Path | None, typer.Option("--write", metavar="FILE", help="Write the best plan as a scenario, comments kept.")
    ] = None,
    budget: Annotated[
        int, typer.Option("--budget", min=100, max=10_000_000, metavar="N", help="Runs of all plans together at the most.")
    ] = BUDGET,
    *,
    asking: Asking,
) -> None:
    """Find the plan that is ready first of all that may be chosen, within limits of people, forklifts and loads.

    Plans outside the limits are never simulated. A few runs of each propose, more runs of the best few select: with 95 %
    confidence the plan named is the best of those tried, or within half a shift of it. Of plans that are as good it names the
    one of fewer people.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.plan.answer import plan_answer
    from simulation.questions.plan.limits import Limits
    from simulation.questions.plan.study import NoPlanError, best_plan
    from simulation.session.session import may_write

    name, loaded = asking.load(scenario)
    options = _read_choices(loaded, choose or list(loaded.choose.values), "--choose" if choose else f"{name}: choose.values")
    if write is not None:
        may_write("--write", "plan", asking.force, write)

    objective = _read_objective(name, loaded, goal, milestone, asking.deadline)

    def ask(context: RunContext) -> Answer:
        result = best_plan(loaded, context, Limits.of(loaded, people, forklifts, loads), options, objective, budget)
        if write is not None:
            _write(result, write, asking)
        return plan_answer(result)

    try:
        asking.answer(name, [loaded], ("plan", answer_files("plan")), ask, announced=False)
    except NoPlanError as error:
        stop(f"plan: {error}")


def _write(result: PlanResult, file: Path, asking: Asking) -> None:
    """Write the best plan as a scenario, and say by which commands it is checked and gives the same dates."""
    from simulation.present.own_files import write_file
    from simulation.scenario.reading.changed_text import write_changed

    best = result.best.scenario
    try:
        write_file(file, lambda draft: draft.write_text(write_changed(best), encoding="utf-8"), "plan", asking.force)
    except OSError as error:
        stop(f"--write: {file} cannot be written ({error.strerror or error}); name a file in a folder that exists")
    source, reads = best.source, ""
    if source.data and file.parent.resolve() != source.folder.resolve():
        reads = f" --data {source.folder}"
    if asking.log is not None:
        reads += f" --log {asking.log}{'' if asking.at is None else f' --at {asking.at}'}"
    seed = "" if asking.seed is None else f" --seed {asking.seed}"
    runs = f" --runs {len(result.outcome.hours)}"
    say(f"best plan in {file}: keystrip check {file}{reads}; keystrip forecast {file}{runs}{seed}{reads}")


def _read_objective(name: str, scenario: Scenario, goal: str | None, milestone: str | None, deadline: str | None) -> Objective:
    from simulation.questions.plan.objective import read_objective
    from simulation.scenario import ScenarioError
    from simulation.study.run_context import RunContext

    try:
        return read_objective(scenario, goal, milestone, RunContext(deadline=deadline).read_deadline(scenario))
    except ScenarioError as error:
        mistake = error.mistakes[0]
        stop(f"{name}: {mistake}" if mistake.key.startswith("choose") else str(mistake))


def _read_choices(scenario: Scenario, texts: list[str], where: str) -> tuple[tuple[Option, ...], ...] | None:
    from simulation.questions.plan.space import read_choices
    from simulation.session.session import mistakes_in_option

    if not texts:
        return None
    with mistakes_in_option(where):
        return read_choices(scenario, texts)
