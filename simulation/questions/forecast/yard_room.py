"""How many pallets stand in the yard of a take-up at once, at the most, and when? It is what the yard is laid out for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulation.construction.trace.taken_up import YARD_MOST
from simulation.present.words import wording
from simulation.stats.quantiles import estimate

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable


@dataclass(frozen=True)
class YardRoom:
    """The most pallets that stood in the yard at once in each run, and the hour since the start from which on they did."""

    most: tuple[float, ...]
    since: tuple[float, ...]
    leaves: bool

    @classmethod
    def of(cls, most: Sequence[tuple[float, float]], leaves: bool) -> YardRoom:
        """Return the room from the most and its hour in each run; `leaves` is whether anything brings pallets away."""
        return cls(tuple(pallets for pallets, _ in most), tuple(hour for _, hour in most), leaves)

    @classmethod
    def of_runs(cls, runs: RunTable, leaves: bool) -> YardRoom:
        """Return the room from the records of a take-up's runs."""
        pallets, hours = (runs[name].tolist() for name in YARD_MOST)
        return cls(tuple(pallets), tuple(hours), leaves)

    def pallets(self, share: float) -> float:
        """Return a quantile of the most pallets."""
        return estimate(self.most, share).value

    @property
    def hour(self) -> float:
        """The middle of the hours."""
        return estimate(self.since, 0.5).value


def say_yard_room(room: YardRoom, yard: str = "the yard") -> str:
    """Return for how many pallets a yard is to be laid out, and when they stand there."""
    most = f"{wording.counted(round(room.pallets(0.8)), 'pallet')} at once in four runs of five (P50 {room.pallets(0.5):,.0f})"
    if not room.leaves:
        return f"Room to stack: all stay, so {yard} never holds more than {most}."
    return f"Room to stack: {yard} never holds more than {most}; the most stand there after {wording.days(room.hour)} days (P50)."


def yard_record(room: YardRoom) -> dict[str, Any]:
    """Return the same, ready for `json.dumps`."""
    return {
        "most_pallets": {f"p{round(100 * share)}": room.pallets(share) for share in (0.1, 0.5, 0.8, 0.9)},
        "after_days": {"p50": room.hour / 24.0},
    }
