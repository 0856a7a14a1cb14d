"""In which sections does a field come up? From one key strip to the next, each opened at the one and taken up to the other."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.field.laying_edges import make_edges
from simulation.field.rows import AreaRows, make_rows

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area


@dataclass(frozen=True)
class TakeUpSection:
    """Rows that one crew takes up in one go.

    Attributes
    ----------
    area : int
        Index of the area in the scenario.
    part : int
        Which of the laying edges of its area laid it.
    rows : tuple of int
        In the order in which they come off.
    strip : int or None
        Number of the key strip that is drawn out to open it; None where it is open at its end, or behind the section before.
    starter : bool
        Whether the starter key strip comes off with it.
    ramp : int
        End ramps in it, whose backfill is dug out first.
    """

    area: int
    part: int
    rows: tuple[int, ...]
    strip: int | None
    starter: bool
    ramp: int


def areas_in_order(scenario: Scenario) -> tuple[str, ...]:
    """Return the areas that are taken up, in order: as written, or from the last that was laid to the first."""
    return scenario.take_up.areas or _joiners_first(scenario)


def _joiners_first(scenario: Scenario) -> tuple[str, ...]:
    left, order = list(reversed(scenario.area)), []
    while left:
        needed = {area.joins.area for area in left if area.joins}
        free = next(area for area in left if area.name not in needed)
        left.remove(free)
        order.append(free.name)
    return tuple(order)


def list_sections(scenario: Scenario, area: Area, along: bool) -> tuple[TakeUpSection, ...]:
    """Return the sections of an area in the order in which crews take them: those without an end ramp first.

    Parameters
    ----------
    scenario : Scenario
    area : Area
        One of its areas.
    along : bool
        Along the direction of assembly from the key strip that was set first, or else against it from the one that was set later.
    """
    number = next(index for index, other in enumerate(scenario.area) if other.name == area.name)
    rows, sections = make_rows(area, scenario.mat), []
    for part, edge in enumerate(make_edges(area, rows)):
        places = [0, *sorted(edge.key_strips), len(edge.rows)]
        strip_at = {row: strip for strip, row in enumerate(rows.key_strips)}
        for low, high in pairwise(places):
            opened = low if along else high
            order = edge.rows[low:high] if along else edge.rows[low:high][::-1]
            strip = None
            if opened in edge.key_strips:
                strip = strip_at[edge.rows[opened] + (0 if edge.upward else 1)]
            starter = rows.starter is not None and part == 0 and low == 0
            sections.append(TakeUpSection(number, part, tuple(order), strip, starter, _ramps(rows, order)))
    last_laid_first = sections if along else sections[::-1]
    return tuple(sorted(last_laid_first, key=lambda section: section.ramp > 0))


def _ramps(rows: AreaRows, order: tuple[int, ...]) -> int:
    """Return how many end ramps begin or end in some rows."""
    return int(0 in rows.ramps and 0 in order) + int(rows.count - 1 in rows.ramps and rows.count - 1 in order)
