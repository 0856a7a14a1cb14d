"""What should a planner know of a record of weather, and what of it first? Or why can it not be read at all?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from simulation.scenario.types.texts.csv_form import FormError


class RecordError(FormError):
    """A record that cannot be read at all: the key, what is wrong, what would be right."""


@dataclass(frozen=True)
class Finding:
    """Something in a record that a planner should know of, the line that it is about, and how many hours are lost by it.

    `gap` says whether nothing stands there at all, rather than something that cannot be.
    """

    line: int
    text: str
    lost: int = 0
    gap: bool = False

    def __str__(self) -> str:
        return f"line {self.line}: {self.text}"


def by_weight(findings: Sequence[Finding]) -> list[Finding]:
    """Return findings by the hours that are lost by them, most first, and alike ones in the order of the lines.

    Whoever lists only the first of many can so leave out nothing that loses more than what is listed.
    """
    return sorted(findings, key=lambda finding: (-finding.lost, finding.line))
