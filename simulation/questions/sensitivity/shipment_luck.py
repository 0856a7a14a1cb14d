"""Whether a shipment comes on its first date is drawn too: an input like a level, though it has no value that is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.level_inputs import LOW, LevelInput

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.construction import Plan
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Change, Scenario
    from simulation.scenario.tables.supply import Shipment

#: A chance of coming at which no run sees a shipment: above 0, as a chance has to be.
_NEVER = 1e-9


@dataclass(frozen=True)
class ShipmentLuck:
    """Whether one shipment comes on its first date, by its chance.

    Attributes
    ----------
    key : str
        Of the shipment, such as ``supply.shipments.1``.
    words : str
        What nobody knows of it.
    number : int
        Its place among the shipments, from 0.
    again : float or None
        Hours by which it comes later where it misses a date; None where it then never comes.
    can_be_fixed : bool
        Whether a run can be given either: not where a site log has lived through some of its dates.
    """

    key: str
    words: str
    number: int
    again: float | None
    can_be_fixed: bool

    @property
    def name(self) -> str:
        """The key of its chance."""
        return f"{self.key}.chance"

    @property
    def keys(self) -> tuple[str, ...]:
        """The same, alone."""
        return (self.name,)

    def label(self, share: float) -> str:
        """Return what it does at its low end and at its high end, which is later."""
        if share == LOW:
            return "it comes on its first date"
        return "it misses its first date" if self.again is not None else "it never comes"

    def fixed_at(self, scenario: Scenario, share: float) -> tuple[Change, ...]:
        """Return the change by which a scenario has it come on its first date, or miss it.

        Whether it comes on a later date is as likely as before: dates do not depend on each other.
        """
        from simulation.scenario import Change

        if share == LOW or self.again is None:
            return (Change(self.name, str(1.0 if share == LOW else _NEVER)),)
        put_off = _shipments(scenario)[self.number].put_off + self.again
        return (Change(f"{self.key}.put_off", f"{put_off!r} h"),)


#: What differs from run to run and may matter.
Input = LevelInput | ShipmentLuck


def list_shipment_luck(scenario: Scenario, plan: Plan) -> tuple[ShipmentLuck, ...]:
    """Return the shipments of which nobody knows whether they come on their first date."""
    from simulation.construction import dates_missed

    drawn = dates_missed(plan, 0, plan.seed)
    kind, key = ("ship", "take_up.shipments") if scenario.takes_up else ("shipment", "supply.shipments")
    lucks = []
    for number, shipment in enumerate(_shipments(scenario)):
        if f"{key}.{number + 1}" in drawn:
            again = shipment.again
            date = "on its first date" if again is not None else "at all"
            words = f"whether {kind} {shipment.name or number + 1} comes {date}"
            lucks.append(ShipmentLuck(f"{key}.{number + 1}", words, number, again, plan.state is None and not _scaled(scenario)))
    return tuple(lucks)


def _shipments(scenario: Scenario) -> Sequence[Shipment]:
    return scenario.take_up.shipments if scenario.takes_up else scenario.supply.shipments


def _scaled(scenario: Scenario) -> bool:
    """Return whether something of shipments is multiplied, which is done after all else is set."""
    return any(change.factor is not None and "shipments" in change.address for change in scenario.source.changes)


def values_of(inputs: tuple[Input, ...], runs: RunTable, plan: Plan, seed: int) -> list[NDArray[np.float64]]:
    """Return what each run drew of each input: a level, or on how many of its dates a shipment did not come."""
    import numpy as np

    from simulation.construction import dates_missed

    lucky = any(isinstance(each, ShipmentLuck) for each in inputs)
    missed = [dates_missed(plan, int(number), seed) for number in runs["run"]] if lucky else []
    return [
        np.array([run[each.key] for run in missed] if isinstance(each, ShipmentLuck) else runs[each.column], dtype=float)
        for each in inputs
    ]
