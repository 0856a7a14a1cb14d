"""The answer to what comes back of a field that is taken up: mats by state, pallets, pounds, loads."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from simulation.field.coming_back import ComingBack, count_coming_back
from simulation.present.answer import Table
from simulation.present.pictures.figure import listed
from simulation.present.words import wording

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def coming_back_table(scenario: Scenario, found: ComingBack) -> Table:
    """Return mats, pallets and pounds by state."""
    mass = scenario.measures.mass
    rows = [
        (one.state, f"{one.full:,.0f}", f"{one.half:,.0f}", f"{one.pallets:,}", mass.number(one.mass)) for one in found.by_state
    ]
    rows.append(("all", f"{found.full:,}", f"{found.half:,}", f"{found.pallets:,}", mass.number(found.mass)))
    notes = (
        "At the mean shares of [take_up]. The fewest pallets: each state and size has pallets of its own, and each crew ends "
        "with begun ones, so that a forecast has some more.",
    )
    columns = ("", "full mats", "half mats", "pallets", f"{mass.name} gross")
    return Table("What comes back", columns, tuple(rows), notes=notes, ends=frozenset({len(rows) - 2}))


def say_coming_back(scenario: Scenario, found: ComingBack) -> str:
    """Return what comes back in one sentence."""
    loads = [f"{wording.counted(one.loads, 'load')} by {one.carrier}" for one in found.loads.by]
    away = f"; {' or '.join(loads)} take them away" if loads else ""
    return (
        f"{found.full:,} full and {found.half:,} half mats come back, {scenario.measures.area.rounded(found.square_feet)}: at "
        f"least {wording.counted(found.pallets, 'pallet')}, {scenario.measures.mass.rounded(found.mass)} gross{away}."
    )


def say_states(found: ComingBack) -> str:
    """Return how many mats are not good."""
    each = [f"{one.full + one.half:,.0f} {one.state}" for one in found.by_state]
    return f"Of the mats on average: {listed(each)}."


def coming_back_record(scenario: Scenario) -> dict[str, Any] | None:
    """Return the same as data; None where the field is laid."""
    if not scenario.takes_up:
        return None
    found = count_coming_back(scenario)
    return {
        "by_state": [asdict(one) for one in found.by_state],
        "pallets": found.pallets,
        "mass": found.mass,
        "loads": {one.carrier: one.loads for one in found.loads.by},
    }
