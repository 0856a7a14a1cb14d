"""Is a field fed by a leg, from another that is taken up? Then its own pallets do not say whether it can be laid."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.field.takeoff import shortfall, take_off
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def fed_by_leg(scenario: Scenario) -> bool:
    """Return whether a field has a [leg], and its own pallets do not cover it."""
    return "leg" in scenario.model_fields_set and not scenario.takes_up and bool(shortfall(scenario))


def not_alone() -> Mistake:
    """Return why a field that a leg feeds cannot be answered for by itself."""
    return Mistake("leg", "its mats come by [leg], so it has no answer alone", "ask keystrip move FIRST SECOND")


def with_all_on_hand(scenario: Scenario) -> Scenario:
    """Return a site as if all that it takes were there: what can be wrong with it then is no matter of what comes."""
    enough = scenario.supply.model_copy(update={"on_hand": take_off(scenario).order.pallets, "total": None})
    return scenario.model_copy(update={"supply": enough})
