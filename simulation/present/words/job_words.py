"""In which words is a scenario's job told? A field that is laid is ready; one that is taken up is done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.answer import CAUTIONS

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: What must not be forgotten where mats are taken up, beside all other cautions.
OF_TAKE_UP = (
    "Winching under load: nobody stands within reach of the cable or astride it; the winch is anchored and rated for the pull.",
    "Banding under tension: eye protection, and nobody in line with a band that is tightened or cut.",
    "Lifting: enough people for each mat, gloves, no fingers below an edge; forklifts and people on foot are kept apart.",
)


def ready_word(scenario: Scenario) -> str:
    """Return what a run is that has reached the milestone that answers count to."""
    return "done" if scenario.takes_up else "ready"


def ready_date(scenario: Scenario) -> str:
    """Return what the date is called on which a run has reached the milestone that answers count to."""
    return "end date" if scenario.takes_up else "ready date"


def cautions_of(scenario: Scenario) -> tuple[str, ...]:
    """Return what a planner must not forget of a scenario's job."""
    return (*CAUTIONS, *OF_TAKE_UP) if scenario.takes_up else CAUTIONS


def laid_word(scenario: Scenario) -> str:
    """Return what has happened to rows whose turn is over."""
    return "taken up" if scenario.takes_up else "laid"
