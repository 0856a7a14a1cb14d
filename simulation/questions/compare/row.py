"""What is known of one plan of a comparison? Its outcome, what it changes against the reference, and what that means."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from simulation.questions.compare.verdicts import Verdict, judge_plan
from simulation.study.outcomes import Against, Outcome, against
from simulation.study.people import person_hours
from simulation.study.told_by_change import tell_change, told_by_change


@dataclass(frozen=True)
class CompareRow:
    """One plan of a comparison.

    Attributes
    ----------
    outcome : Outcome
    against : Against
        What it changes against the reference.
    verdict : Verdict
    mats : float
        Laid in all.
    person_hours : float
        Of everybody on site until the median of readiness, rain included; infinite after the last day simulated.
    """

    outcome: Outcome
    against: Against
    verdict: Verdict
    mats: float
    person_hours: float

    @property
    def mats_per_person_hour(self) -> float | None:
        """Mats over the person-hours on site until the median; None after the last day simulated."""
        return self.mats / self.person_hours if 0 < self.person_hours < math.inf else None

    @property
    def runs(self) -> int:
        """Those that its quantiles and its chance are of; more than are paired where more of it are kept."""
        return len(self.outcome.hours)

    @property
    def unfinished(self) -> int:
        """Runs that were not ready by the last day simulated."""
        return sum(math.isinf(hours) for hours in self.outcome.hours)


def compare_row(
    reference: Outcome, other: Outcome, current: Outcome | None, margin: float, confidence: float, screened: bool
) -> CompareRow:
    """Return a plan against the reference: its outcome as it is told, its change and what is known of it."""
    from simulation.field import take_off

    outcome, change, verdict = other, against(reference, other, confidence), Verdict.REFERENCE
    if other is not reference:
        verdict = judge_plan(reference, other, change, margin, screened)
        if current is not None or len(other.hours) < len(reference.hours):
            outcome = told_by_change(other, reference, current or reference)
            change = tell_change(change, outcome, current or reference)
    elif current is not None:
        outcome = replace(current, name=other.name)
    mats = sum(take_off(other.scenario).total(kind) for kind in ("full", "half"))
    return CompareRow(outcome, change, verdict, mats, person_hours(outcome.scenario, outcome.p50.value))
