"""A run that begins after the start: what was reached by then, what stands in the yard, and the gates that have been passed."""

from __future__ import annotations

from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.steps import H_HOUR
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site


def go_on(site: Site, board: Board, state: FieldState) -> None:
    """Let a run begin where the field stands so: before its actors do anything, and after all of its gates are there."""
    for number, moment in enumerate(state.reached):
        if moment is not None:
            site.reached[number] = (0.0, moment, None, 0.0, H_HOUR, -1, -1, -1)
    if all(step is not None for step in site.reached):
        return
    hold = state.apart.loads if state.apart is not None else ((),) * len(state.loads)
    for pallets, mats in zip(state.loads, hold, strict=True):
        board.arrive(pallets, site.zero, mats)
    for area in site.areas:
        if any(edge.laid for edge in area.edges):  # somebody went there before what it joins was laid
            site.open_area(area)
    for edge in site.edges:
        for gates in (edge.plan.after_row, edge.plan.after_check):
            for row in sorted(gates):
                if row <= edge.laid:
                    site.gates.pass_on(gates[row], site.zero)
    for area in site.areas:
        site.gates.look_at_length(area, site.zero)
    for number, moment in enumerate(state.reached):
        if moment is not None:
            site.flying.begin_with(number)
