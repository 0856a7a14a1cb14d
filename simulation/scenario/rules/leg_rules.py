"""Who cannot come with what is moved here?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import Mistake, did_you_mean

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario


def leg_mistakes(scenario: Scenario) -> Iterator[Mistake]:
    """Yield what is wrong with who comes from the other field: unknown crews, more forklifts than there are, nothing arrives."""
    leg, crews = scenario.leg, [crew.name for crew in scenario.crew]
    for number, name in enumerate(leg.crews):
        if name not in crews:
            yield Mistake("leg.crews", f'there is no crew "{name}"', did_you_mean(name, crews))
        elif name in leg.crews[:number]:
            yield Mistake("leg.crews", f'"{name}" stands in it twice', "write it once")
    if leg.forklifts > scenario.forklifts.count:
        wrong = f"{leg.forklifts} are more than the {scenario.forklifts.count} of this field"
        yield Mistake("leg.forklifts", wrong, f"write {scenario.forklifts.count} or less")
    if leg.arrives == 0:
        yield Mistake("leg.arrives", "nothing would arrive", "write more than 0")
