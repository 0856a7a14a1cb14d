"""Which hours might be kept instead? Those that crews keep, by whoever serves them; and where the hours of a scenario stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.scenario.types.spans import join_spans

if TYPE_CHECKING:
    from collections.abc import Iterable

    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift

Spans = tuple[tuple[float, float], ...]


def shift_addresses(scenario: Scenario) -> list[str]:
    """Return where the shifts of a scenario stand: everybody's, those of kinds of work, and those of crews."""
    from simulation.scenario.types.mistakes import block_name

    kinds = [f"shifts.{kind}" for kind in ("laying", "forklift", "haul", "grading") if getattr(scenario.shifts, kind)]
    crews = [f"crew.{block_name(index, crew.name)}.shift" for index, crew in enumerate(scenario.crew) if crew.shift]
    return ["shifts.all", *kinds, *crews]


def also_with_crews(scenario: Scenario, work: str) -> list[tuple[str, str]]:
    """Return the changes that put a kind of work on shift whenever a crew is, too; none where it is so already.

    Parameters
    ----------
    scenario : Scenario
    work : str
        ``forklift``, ``haul`` or ``grading``.

    Returns
    -------
    list of (str, str)
        Addresses and values. Lights come with it where a crew works under them.
    """
    own = scenario.shifts.of(work)
    crews: list[Shift] = [crew.shift or scenario.shifts.of("laying") for crew in scenario.crew]
    before, after = _of_a_day(own.hours), _of_a_day([*own.hours, *(span for shift in crews for span in shift.hours)])
    if after == before:
        return []
    there = f"shifts.{work}"
    changes = [] if getattr(scenario.shifts, work) else [(there, "copy of shifts.all")]
    changes.append((f"{there}.hours", "[" + ", ".join(f'"{_clock(low)}-{_clock(high)}"' for low, high in after) + "]"))
    if not own.lighting and any(shift.lighting for shift in crews):
        changes.append((f"{there}.lighting", "true"))
    return changes


def _of_a_day(spans: Iterable[tuple[float, float]]) -> Spans:
    """Return the union of spans of hours, in order from midnight to midnight."""
    return tuple(
        join_spans(
            piece
            for low, high in spans
            for piece in ((low, min(high, 24.0)), (max(low, 24.0) - 24.0, high - 24.0))
            if piece[0] < piece[1]
        )
    )


def _clock(hour: float) -> str:
    minutes = round(60 * hour)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
