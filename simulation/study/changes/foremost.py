"""Which change is the foremost of those that a sentence may name, and how do others stand beside it?

The foremost goes on to the last look, and those beside it until they are behind it, or alike: as far ahead to within half a
shift. One that competes with the foremost gets no more runs once it is either, whatever else is known of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from typing import TYPE_CHECKING, Any

from simulation.stats.group_sequential import Effect
from simulation.study.outcomes import change_around_p80

if TYPE_CHECKING:
    from simulation.study.changes.trials import TrialRow


class Standing(Enum):
    """How a change stands beside the foremost of those that a sentence may name."""

    APART = "not beside it"
    FOREMOST = "the foremost"
    ALIKE = "as far ahead, to within the margin"
    RIVAL = "too close to call"
    BEHIND = "measurably behind"


@dataclass(frozen=True)
class Foremost:
    """Sees which change is the foremost of those that a sentence may name, and how others stand beside it.

    Parameters as for `try_changes`.
    """

    may_be_named: Callable[[TrialRow[Any]], float | None]
    competes: Callable[[Any], bool]
    margin: float

    def goes_on(self, row: TrialRow[Any]) -> bool:
        """Return whether a change gets more runs."""
        if row.standing is Standing.FOREMOST:
            return True
        if row.standing is Standing.RIVAL and not row.against.around_p80.lies_within(self.margin):
            return True  # one that surely does less than half a shift is no rival worth its runs
        settled = row.standing in (Standing.BEHIND, Standing.ALIKE) and self.competes(row.trial)
        return row.known is Effect.OPEN and not settled

    def place(self, rows: Mapping[int, TrialRow[Any]], confidence: float) -> dict[int, TrialRow[Any]]:
        """Return changes of as many runs with what each is beside the foremost of them."""
        index = self._find(rows)
        if index is None:
            return dict(rows)
        return {at: replace(row, standing=self._stand(row, rows[index], confidence)) for at, row in rows.items()}

    def place_at_the_end(self, rows: Mapping[int, TrialRow[Any]], confidences: Mapping[int, float]) -> dict[int, TrialRow[Any]]:
        """Return all changes with what each is beside the foremost of those of the most runs, in the runs that both have.

        What was behind one stays so, whoever overtook that one. After a stop nobody is the foremost.
        """
        most = {index: row for index, row in rows.items() if row.last}
        index = self._find(most)
        if index is None:
            return dict(rows)
        return {
            at: row
            if row.standing is Standing.BEHIND
            else replace(row, standing=self._stand(row, rows[index], confidences[row.runs]))
            for at, row in rows.items()
        }

    def _find(self, rows: Mapping[int, TrialRow[Any]]) -> int | None:
        """Return the change that is ahead by most hours on shift; None where a sentence may name none of them."""
        named = {index: far for index, row in rows.items() if (far := self.may_be_named(row)) is not None}
        return max(named, key=lambda index: named[index], default=None)

    def _stand(self, row: TrialRow[Any], first: TrialRow[Any], confidence: float) -> Standing:
        if row.trial is first.trial:
            return Standing.FOREMOST
        named = self.may_be_named(row) is not None
        if not named and row.known is not Effect.OPEN:
            return Standing.APART
        away = change_around_p80(first.outcome, row.outcome, confidence)
        if self.competes(row.trial) and away.above_zero:
            return Standing.BEHIND
        if not named or away.measurable:
            return Standing.APART
        return Standing.ALIKE if away.lies_within(self.margin) else Standing.RIVAL
