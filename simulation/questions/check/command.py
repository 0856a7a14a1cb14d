"""`keystrip check`: is a scenario sound?"""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session import session
from simulation.session.data_option import data_folders, outlook_changes
from simulation.session.exit_codes import DONE, MISTAKE
from simulation.session.lines import put, tell
from simulation.session.options import JSON, SCENARIO, UNITS


def check(
    scenario: SCENARIO = None,
    units: UNITS = None,
    as_json: JSON = False,
    schema: Annotated[
        bool, typer.Option("--schema", help="Print instead how every JSON object is made up: a JSON Schema.")
    ] = False,
) -> None:  # fmt: skip
    """Say that a scenario is sound, or name every mistake and every warning."""
    from simulation.present.renderers.record import answer_record
    from simulation.present.renderers.record import as_json as json_of
    from simulation.questions.check.answer import check_answer
    from simulation.questions.check.record_schema import record_schema
    from simulation.questions.check.study import check_scenario
    from simulation.scenario import ScenarioError

    if schema:
        put(json_of(record_schema()) + "\n")
        return
    file = session.file_of(scenario)
    with session.progress(workers=1) as advance:
        result = check_scenario(file, session.units_of(units), data_folders(), outlook_changes(file), advance)
    answer = check_answer(result)
    if as_json:
        put(json_of(answer_record(answer)) + "\n")
        raise typer.Exit(MISTAKE if result.mistakes else DONE)
    session.say_warnings(result.file, result.warnings)
    if result.mistakes:
        session.refuse(ScenarioError(result.file, result.mistakes))
    for line in (*answer.lines, answer.headline):
        tell(line)
