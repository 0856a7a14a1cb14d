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


def coming_back_table(scenario: Scenario, coming_back: ComingBack) -> Table:
    """Return mats, pallets and pounds by state."""
    mass = scenario.measures.mass
    rows = [
        (mats.state, f"{mats.full:,.0f}", f"{mats.half:,.0f}", f"{mats.pallets:,}", mass.number(mats.mass))
        for mats in coming_back.by_state
    ]
    rows.append(
        ("all", f"{coming_back.full:,}", f"{coming_back.half:,}", f"{coming_back.pallets:,}", mass.number(coming_back.mass))
    )
    notes = (
        "At the mean shares of [take_up]. The fewest pallets: each state and size has pallets of its own, and each crew ends "
        "with begun ones, so that a forecast has some more.",
    )
    columns = ("", "full mats", "half mats", "pallets", f"{mass.name} gross")
    return Table("What comes back", columns, tuple(rows), notes=notes, ends=frozenset({len(rows) - 2}))


def say_coming_back(scenario: Scenario, back: ComingBack) -> str:
    """Return what comes back in one sentence."""
    loads = [f"{wording.counted(load.loads, 'load')} by {load.carrier}" for load in back.loads.by if load.loads]
    away = [f"{wording.counted(back.loads.shipped, 'pallet')} by ship"] if back.loads.shipped else []
    away += [f"{'the others in ' if away else ''}{' or '.join(loads)}"] if loads else []
    leave = f"; {', '.join(away)} leave" if away else ""
    return (
        f"{back.full:,} full and {back.half:,} half mats come back, {scenario.measures.area.rounded(back.square_feet)}: at "
        f"least {wording.counted(back.pallets, 'pallet')}, {scenario.measures.mass.rounded(back.mass)} gross{leave}."
    )


def say_states(coming_back: ComingBack) -> str:
    """Return how many mats are not good."""
    each = [f"{mats.full + mats.half:,.0f} {mats.state}" for mats in coming_back.by_state]
    return f"Of the mats on average: {listed(each)}."


def coming_back_record(scenario: Scenario) -> dict[str, Any] | None:
    """Return the same as data; None where the field is laid."""
    if not scenario.takes_up:
        return None
    coming_back = count_coming_back(scenario)
    return {
        "by_state": [asdict(mats) for mats in coming_back.by_state],
        "pallets": coming_back.pallets,
        "mass": coming_back.mass,
        "loads": {load.carrier: load.loads for load in coming_back.loads.by},
    }
