"""`keystrip check`: is a scenario sound?"""

from __future__ import annotations

import typer

from simulation.session import session as talk
from simulation.session.data_option import data_folders


def check(scenario: talk.SCENARIO = None, units: talk.UNITS = None, as_json: talk.JSON = False) -> None:
    """Say that a scenario is sound, or name every mistake and every warning."""
    from simulation.construction import find_warnings, trial_warnings
    from simulation.questions.check.record import check_record
    from simulation.scenario import Mistake, ScenarioError, load_scenario

    file = talk.file_of(scenario)
    warnings: list[Mistake] = []
    read_as: list[tuple[str, str]] = []
    wrong, hours = None, float("inf")
    try:
        loaded = load_scenario(file, talk.units_of(units), data_folders())
        read_as += [(one.key, one.told(loaded.measures)) for one in loaded.snapped]
        warnings += find_warnings(loaded)
        hours, found = trial_warnings(loaded)
        warnings += found
    except ScenarioError as error:
        wrong = ScenarioError(str(file), error.mistakes)
    if as_json:
        talk.show(
            True, lambda: check_record(str(file), wrong.mistakes if wrong else (), warnings, hours, read_as), lambda _: None
        )
        raise typer.Exit(talk.MISTAKE if wrong else talk.DONE)
    talk.say_warnings(str(file), warnings)
    if wrong is not None:
        talk.refuse(wrong)
    drawn = "" if hours == float("inf") else f"; one drawn run is ready after {hours / 24:.1f} days"
    for key, told in read_as:
        talk.tell(f"{file}: {key}: {told}")
    talk.tell(f"{file}: sound{drawn}")
