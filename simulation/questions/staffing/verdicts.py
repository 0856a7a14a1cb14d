"""Does a team meet the deadline with the confidence that is asked for? Verdicts on many teams, and runs where they are open.

All teams get the same first runs. Then the smallest that is not yet decided gets more, look by look, until it is decided or has
had the most runs allowed; then the next, until one meets the deadline. What is larger than that one need not be known any
better and is left open. So every run after the first ones is one that the answer needs. A run that is on time says less where
its levels let expect it: each look expects of the next runs what those before it taught (`stats/adjusted_sequence.py`). A look
depends on runs 0 up to a fixed number and nothing else: a command that was stopped goes on to the same verdicts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from simulation.stats.adjusted_sequence import Expected, Seen, adjusted_interval
from simulation.stats.confidence_sequence import sequence_interval
from simulation.study.deadline import Deadline, on_time
from simulation.study.level_scores import LevelScores, scores_known
from simulation.study.outcomes import Outcome, summarise_hours

if TYPE_CHECKING:
    from simulation.construction import Plan
    from simulation.questions.staffing.candidates import Candidate
    from simulation.replicate import Alternatives

#: Confidence unless another is asked for: that of the P80 that planners commit to. Common practice.
CONFIDENCE = 0.8
#: Chance that any verdict is wrong, of all teams together. Planning value.
ERROR = 0.05
#: Runs of every team: enough for the picture and for what is far from the line. Two teams of which a sentence gives the
#: difference get twice as many for that. Planning value.
FIRST = 100
#: Runs between two looks at a team that is open. Planning value.
STEP = 100
#: Runs after which a team is too close to call, or sooner: as soon as its chance is known to lie as near to what is asked for as
#: that of a team with just this share of so many runs. Planning value: of 16 teams, one whose chance lies 5 points from 80 % is
#: decided by then in nine runs of ten, one at 3 points in three of ten; where levels explain much of the time, more of them.
MOST = 2000


class Verdict(StrEnum):
    """What the runs say of a team and the deadline; `OPEN`: it was not looked at to the end."""

    MEETS = "meets"
    DOES_NOT = "does not"
    TOO_CLOSE = "too close to call"
    OPEN = "left open"


@dataclass(frozen=True)
class StaffingRow:
    """One team and what its runs say.

    Attributes
    ----------
    candidate : Candidate
    verdict : Verdict
    on_time, runs : int
        In how many of how many runs it was ready by the deadline.
    low, high : float
        Interval of that chance: its confidence sequence at the error level of one team, adjusted for the luck of its levels.
    outcome : Outcome
        Of the same runs as its chance, so that a P80 by the deadline and a chance of at least 80 % are one; of the first runs
        that all teams have where it was stopped before any team was looked at.
    """

    candidate: Candidate
    verdict: Verdict
    on_time: int
    runs: int
    low: float
    high: float
    outcome: Outcome

    @property
    def chance(self) -> float | None:
        """Share of its runs that were ready by the deadline; None without runs."""
        return self.on_time / self.runs if self.runs else None


class TeamVerdicts:
    """What the runs of each team say by now, and which of the teams get more runs."""

    def __init__(
        self, alternatives: Alternatives, candidates: Sequence[Candidate], deadline: Deadline, confidence: float, most: int
    ) -> None:
        self.error = ERROR / len(candidates)
        self._alternatives, self._candidates = alternatives, candidates
        self._deadline, self._confidence, self._most = deadline, confidence, most
        self._hours: list[list[float]] = [[] for _ in candidates]  # of readiness, of the runs that were looked at
        self._surprises: list[list[float]] = [[] for _ in candidates]
        self._verdicts = [Verdict.OPEN for _ in candidates]
        self._near = sequence_interval(round(confidence * most), most, confidence, self.error)
        self._scores: dict[tuple[str, ...], LevelScores] = {}

    def find_answer(self) -> None:
        """Do and look at runs until the answer is known or work is stopped."""
        places = range(len(self._candidates))
        self._alternatives.expected = FIRST * len(places)
        for count in range(STEP, FIRST + 1, STEP):  # all of them in turns, so that after a stop all have some
            if not self._alternatives.reach(count):
                return
        for index in places:
            self._look(index, FIRST)
        for index in places:
            if self._above_the_answer(index):
                return
            while self._verdicts[index] is Verdict.OPEN:
                self._expect()
                count = min(len(self._hours[index]) + STEP, self._most)
                if not self._alternatives.reach(count, [index]):
                    return
                self._look(index, count)

    def _above_the_answer(self, index: int) -> bool:
        """Return whether a smaller team meets the deadline already."""
        smaller = (other for other in range(index) if self._candidates[other].size < self._candidates[index].size)
        return any(self._verdicts[other] is Verdict.MEETS for other in smaller)

    def _expect(self) -> None:
        """Set how many runs the question takes at most, by what is known now."""
        open_ones = [
            index for index, verdict in enumerate(self._verdicts) if verdict is Verdict.OPEN and not self._above_the_answer(index)
        ]
        done = sum(map(len, self._hours))
        self._alternatives.expected = done + sum(self._most - len(self._hours[index]) for index in open_ones)

    def _look(self, index: int, count: int) -> None:
        """Read a team's runs below `count`, and judge it by them."""
        runs, seen = self._alternatives.runs[index], self._hours[index]
        ready = next(milestone.name for milestone in self._candidates[index].scenario.milestones if milestone.ready)
        found = [hours for (hours,) in runs.values((f"milestone.{ready}",), len(seen), count)]
        self._surprises[index] += self._hold_against_expected(index, found)
        seen += found
        low, high = self._interval(index)
        if low > self._confidence or high < self._confidence:
            self._verdicts[index] = Verdict.MEETS if low > self._confidence else Verdict.DOES_NOT
        elif count >= self._most or (self._near[0] <= low and high <= self._near[1]):
            self._verdicts[index] = Verdict.TOO_CLOSE

    def _hold_against_expected(self, index: int, found: Sequence[float]) -> list[float]:
        """Return the surprises of a team's next runs, by what those that were looked at teach; none where they teach nothing."""
        import numpy as np

        plan, before = self._alternatives.runs[index].plan, self._hours[index]
        if not before or not scores_known(plan):
            return []
        scores = self._scores_of(plan).of_runs(len(before) + len(found))
        expected = Expected.fit(scores[: len(before)], np.minimum(before, plan.horizon))
        met = np.array([float(on_time(hours, self._deadline)) for hours in found])
        if expected is not None:
            return list(expected.surprises(scores[len(before) :], met, self._deadline.hours))
        return list(met) if self._surprises[index] else []

    def _scores_of(self, plan: Plan) -> LevelScores:
        """Return the scores of runs of a plan; plans with the same levels have the same."""
        return self._scores.setdefault(tuple(level.key for level in plan.levels), LevelScores(plan))

    def _interval(self, index: int) -> tuple[float, float]:
        import numpy as np

        if not self._hours[index]:
            return 0.0, 1.0
        met = np.array([float(on_time(hours, self._deadline)) for hours in self._hours[index]])
        return adjusted_interval(Seen(met, np.array(self._surprises[index])), self._confidence, self.error)

    def _count_on_time(self, index: int) -> int:
        return sum(on_time(hours, self._deadline) for hours in self._hours[index])

    def judge(self, index: int, first: Outcome) -> StaffingRow:
        """Return a team with what is known of it; `first` is what it comes to where it was not looked at."""
        candidate, hours = self._candidates[index], self._hours[index]
        outcome = summarise_hours(candidate.name, candidate.scenario, hours, self._deadline) if hours else first
        interval = self._interval(index)
        return StaffingRow(candidate, self._verdicts[index], self._count_on_time(index), len(hours), *interval, outcome)
