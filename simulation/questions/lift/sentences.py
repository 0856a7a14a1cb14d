"""What is said of taking a field up: by when, by how many crews, in which direction, who waits for whom."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.construction.site.edges.waits import FORKLIFTS, HANDLERS
from simulation.present.words import wording
from simulation.questions.forecast.yard_room import say_yard_room
from simulation.questions.lift.study import ALIKE, middle, quantile
from simulation.study.people import person_hours

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
    if enough.crews == most.crews > 1:
        return f"{most.crews} crews, the most that were tried, have all in the yard soonest"
    if most.crews == 1:
        return "Days until all is in the yard, with the one crew that was tried"
    if enough.crews == 1:
        return "One crew is enough: with more all is in the yard no sooner"
    return f"Up to {enough.crews} crews at once have all in the yard sooner; more gain nothing"


def lift_lines(result: LiftResult) -> list[str]:
    """Return the sentences around the answer."""
    asked, other = result.asked, result.other
    hours = middle(result.person_hours)
    rate = result.square_feet / hours if hours else 0.0
    area = result.scenario.measures.area
    labour = (
        f"{area.rounded(result.square_feet)} in {hours:,.0f} person-hours of all on site until all is in the yard (P50), "
        f"{area.rounded(rate, 1)} a person-hour"
    )
    if result.leaves and math.isfinite(whole := person_hours(result.scenario, middle(asked.gone))):
        labour += f"; {area.rounded(result.square_feet / whole, 1)} until the last load leaves, {whole:,.0f} person-hours"
    labour += "."
    turned = (middle(other.in_yard) - middle(asked.in_yard)) / 24.0
    way = f"{other.direction} the direction of assembly"
    if abs(turned) < 0.05:
        lines = [labour, f"{way.capitalize()} it takes as long to a tenth of a day (P50)."]
    else:
        than = "longer" if turned > 0 else "less"
        lines = [labour, f"{way.capitalize()} it takes {abs(turned):.1f} days {than} (P50)."]
    return [*lines, say_yard_room(result.yard), crews_words(result)]


def crews_words(result: LiftResult) -> str:
    """Return how far more crews help and what binds from there on; then whether the last load leaves sooner, too."""
    return " ".join(filter(None, (_crews_until_in_yard(result), _crews_until_gone(result))))


def _crews_until_in_yard(result: LiftResult) -> str:
    enough, most = result.enough, result.by_crews[-1]
    if enough.crews == most.crews:
        if most.crews == 1:
            return "Only 1 crew was tried."
        return (
            f"Up to {most.crews} crews were tried, and the most have all in the yard soonest, after {_p50(most.in_yard)} (P50)."
        )
    waits = {what: most.waits(what) for what in (HANDLERS, FORKLIFTS)}
    binds = "forklifts" if waits[FORKLIFTS] > 0.5 * waits[HANDLERS] else "handlers"
    return (
        f"More than {wording.counted(enough.crews, 'crew')} at once gain less than {100 * ALIKE:.0f} % until all is in the yard "
        f"(P50): with {most.crews} the {binds} hold the crews up."
    )


def _crews_until_gone(result: LiftResult) -> str:
    """Return from how many crews on the last load leaves no sooner; empty where nothing leaves or it is not known."""
    enough, most = result.enough_until_gone, result.by_crews[-1]
    if enough is None or most.crews == 1 or not all(math.isfinite(middle(row.gone)) for row in (enough, most)):
        return ""
    if enough.crews == most.crews:
        return f"With {most.crews} the last load leaves soonest, too, after {_p50(most.gone)}."
    return (
        f"The last load leaves no sooner with more than {wording.counted(enough.crews, 'crew')}, to within {100 * ALIKE:.0f} %: "
        f"after {_p50(enough.gone)}, with {most.crews} after {_p50(most.gone)} (P50)."
    )


def _p50(hours: Array) -> str:
    return f"{wording.days(middle(hours))} days"


def _days(hours: Array) -> str:
    return f"{wording.days(middle(hours))} days (P80 {wording.days(quantile(hours, 0.8).value)})"
