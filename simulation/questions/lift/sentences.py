"""What is said of taking a field up: by when, by how many crews, in which direction, who waits for whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.site.waits import FORKLIFTS, HANDLERS
from simulation.present.words import wording
from simulation.questions.lift.study import ALIKE, middle, quantile

if TYPE_CHECKING:
    from simulation.questions.lift.study import Array, LiftResult


def lift_headline(result: LiftResult) -> str:
    """Return the answer in one sentence."""
    asked = result.asked
    gone = f", and the last one leaves after {_days(asked.gone)}" if result.leaves else ""
    at = f"{wording.counted(asked.crews, 'crew')}, {asked.people} people on site"
    return f"All mats are up and in the yard after {_days(asked.in_yard)}{gone}: {at}."


def picture_title(result: LiftResult) -> str:
    """Return what the picture shows: up to how many crews more of them help."""
    enough, most = result.enough, result.by_crews[-1]
    if enough.crews == most.crews:
        return f"Each crew more helps, up to the {most.crews} that were tried"
    if enough.crews == 1:
        return "One crew is enough: more of them gain nothing"
    return f"Up to {enough.crews} crews at once help; more gain nothing"


def lift_lines(result: LiftResult) -> list[str]:
    """Return the sentences around the answer."""
    asked, other = result.asked, result.other
    hours = middle(result.person_hours)
    rate = result.square_feet / hours if hours else 0.0
    area = result.scenario.measures.area
    labour = f"{area.rounded(result.square_feet)} in {hours:,.0f} person-hours (P50), {area.rounded(rate, 1)} a person-hour."
    turned = (middle(other.in_yard) - middle(asked.in_yard)) / 24.0
    way = f"{other.direction} the direction of assembly"
    if abs(turned) < 0.05:
        lines = [labour, f"{way.capitalize()} it takes as long to a tenth of a day (P50)."]
    else:
        than = "longer" if turned > 0 else "less"
        lines = [labour, f"{way.capitalize()} it takes {abs(turned):.1f} days {than} (P50)."]
    return [*lines, crews_words(result)]


def crews_words(result: LiftResult) -> str:
    """Return how far more crews help, and what binds from there on."""
    enough, most = result.enough, result.by_crews[-1]
    if enough.crews == most.crews:
        return f"Up to {wording.counted(most.crews, 'crew')} were tried, and each helps."
    waits = {what: most.waits(what) for what in (HANDLERS, FORKLIFTS)}
    binds = "forklifts" if waits[FORKLIFTS] > 0.5 * waits[HANDLERS] else "handlers"
    return (
        f"More than {wording.counted(enough.crews, 'crew')} at once gain less than {100 * ALIKE:.0f} % (P50): "
        f"with {most.crews} the {binds} hold the crews up."
    )


def _days(hours: Array) -> str:
    return f"{wording.days(middle(hours))} days (P80 {wording.days(quantile(hours, 0.8).value)})"
