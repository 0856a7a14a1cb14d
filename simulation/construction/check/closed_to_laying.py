"""Does a field that is flown from leave anybody time to lay?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.conditions import between_flights, clock_plans, closed_spans, crew_clock, dry_clock
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def closed_to_laying(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line where flying windows close every hour of every crew on an area, or leave no gap for taking an end up."""
    if area_closed(scenario):
        back = scenario.flying.stand_back
        near = "" if back is None else f" within {scenario.measures.length.text(back)} of what is in use (stand_back)"
        wrong = f"close every hour of the crews, so from {scenario.flying.since} on no row of {scenario.flown}{near} is laid"
        closing = _closing(scenario)
        yield Mistake(f"flying.{closing}", wrong, f"write shorter {closing}, or hours for the crews between them")
    elif held_by_end(scenario):
        wrong = f"leave no gap on shift long enough for taking a temporary end up, a row and making it again, {_needed(scenario)}"
        wrong += f", so from {scenario.flying.since} on hardly a row of {scenario.flown} is laid"
        yield Mistake(f"flying.{_closing(scenario)}", wrong, "write fewer of them, or hours for the crews between them")


def held_by_end(scenario: Scenario) -> bool:
    """Return whether no gap between two windows is long enough, in the mean, to take a temporary end up and make it again."""
    end, flying = scenario.temporary_end, scenario.flying
    if end is None or not scenario.makes_ends or scenario.flown is None or not flying.closes or flying.stand_back == 0.0:
        return False
    plans, spans = clock_plans(scenario), closed_spans(scenario)
    clocks = [dry_clock([plans[crew_clock(scenario, number)]]) for number in range(len(scenario.crew))]
    need = end.make.mean + end.take_up.mean
    gaps = [(max(before, 0.0), after) for (_, before), (after, _) in pairwise(spans) if 0.0 < after < scenario.horizon]
    return bool(gaps) and all(clock.worked(low, high) <= need for clock in clocks for low, high in gaps)


def _needed(scenario: Scenario) -> str:
    end = scenario.temporary_end
    assert end is not None
    return f"{60 * end.take_up.mean:.0f} min and {60 * end.make.mean:.0f} min in the mean"


def _closing(scenario: Scenario) -> str:
    return "windows" if scenario.flying.windows else "movements"


def area_closed(scenario: Scenario) -> str:
    """Return the area of which flying windows close every hour of every crew; an empty text where there is none."""
    if scenario.flown is None or not scenario.flying.closes or scenario.flying.stand_back == 0.0:
        return ""
    plans = clock_plans(scenario)
    clocks = {between_flights(crew_clock(scenario, number)) for number in range(len(scenario.crew))}
    return "" if any(rate for clock in clocks for _, _, rate, _ in plans[clock].calendar) else scenario.flown
