"""What might help where a field is taken up: other shares of a crew, more room, the other direction, less time for each thing?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.questions.bottlenecks.idea import SHORTER, Idea, Kind, come_earlier, make_idea

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: People of each crew who handle mats in the place of lifting, or the other way round. Planning value.
_MOVED = 2
#: What is a tenth shorter -> the keys of it.
_QUICKER = (
    ("drawing key strips out 10 % quicker", ("repair.draw_out", "repair.free")),
    ("lifting rows 10 % quicker", ("repair.take_up",)),
    ("cleaning and inspecting 10 % quicker", ("take_up.clean", "take_up.inspect")),
    ("stacking 10 % quicker", ("take_up.stack",)),
    ("banding 10 % quicker", ("take_up.band",)),
    ("loading out 10 % quicker", ("take_up.load_one",)),
)


def otherwise_taken_up(scenario: Scenario) -> Iterator[Idea]:
    """Yield what is neither more people nor quicker: how a crew is split, room beside it, the direction."""
    take_up = scenario.take_up
    own = {take_up.handlers_of(crew.people) for crew in scenario.crew}
    apart = "" if len(own) == 1 else "crews of several sizes have as many handlers each"
    for more, name in ((_MOVED, "lift"), (-_MOVED, "handle")):
        into = "handle mats, not lift" if name == "lift" else "lift, not handle mats"
        handlers = max(1, min(own) + more)
        yield make_idea(f"{_MOVED} of each crew {into}", Kind.OTHERWISE, ("take_up.handlers", str(handlers)), why_not=apart)
    yield make_idea("twice as many mats loose beside a crew", Kind.OTHERWISE, ("take_up.loose", "x2"))
    yield make_idea("twice as many pallets beside a crew", Kind.OTHERWISE, ("forklifts.staged_ahead", "x2"))
    other = "along" if take_up.direction == "against" else "against"
    yield make_idea(f"taken up {other} the direction of assembly", Kind.OTHERWISE, ("take_up.direction", other))


def quicker_taken_up(scenario: Scenario) -> Iterator[Idea]:
    """Yield each time of taking up a tenth shorter, and ships a day earlier."""
    for name, keys in _QUICKER:
        yield make_idea(name, Kind.QUICKER, *((key, SHORTER) for key in keys))
    if scenario.take_up.shipments:
        yield come_earlier("take_up", "ship", scenario.take_up.shipments)
        yield make_idea("bringing pallets on board 10 % quicker", Kind.QUICKER, ("take_up.shipments.*.discharge", SHORTER))
