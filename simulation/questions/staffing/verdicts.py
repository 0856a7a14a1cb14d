"""Does a team meet the deadline with the confidence that is asked for? Verdicts on many teams, and runs where they are open.

All teams get the same few runs first, which decide what lies far from the line. Then the smallest that is not yet decided gets
more, look by look, until it is decided or has had the most runs allowed; then the next, until one meets the deadline. What is
larger than that one need not be known any better and is left open. A run that is on time says less where its levels let expect
it: each look expects of the next runs what those before it taught (`stats/adjusted_sequence.py`). The first runs also say to
which teams the search is likely to come, and these have most of the error that later looks may make: those looks judge by later
runs alone, so that the promise holds whatever the first ones say. A look depends on runs 0 up to a fixed number and nothing else:
a command that was stopped goes on to the same verdicts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist
from typing import TYPE_CHECKING

from simulation.stats.adjusted_sequence import Expected, interval_by_bets
from simulation.stats.chances import estimate_chance
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
#: What part of it the first look has: what is far from the line is so by far. Planning value.
FIRST_PART = 0.1
#: Runs of every team: enough for what is far from the line, and to say where it lies. Planning value.
FIRST = 50
#: Runs of a team that a sentence names, at the least: fewer bear no likelihood word.
NAMED = 100
#: Runs between two looks at a team that is open. Planning value.
STEP = 50
#: Runs that a team near the line takes, for the progress. Measured on the shipped scenario.
USUAL = 500
#: A team that is open has at least this part of the error of the one that has most, however unlikely the search is to come to it.
LEAST_PART = 0.05
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
        Interval of that chance, adjusted for the luck of its levels where more than the first runs were looked at.
    error : float
        Chance that the verdict is wrong, at most; that of each end of the interval.
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
    error: float
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
        self._alternatives, self._candidates = alternatives, candidates
        self._deadline, self._confidence, self._most = deadline, confidence, most
        self._hours: list[list[float]] = [[] for _ in candidates]  # of readiness, of the runs that were looked at
        self._surprises: list[list[float]] = [[] for _ in candidates]  # of those behind the first ones
        self._every: list[list[float]] = [[] for _ in candidates]
        self._verdicts = [Verdict.OPEN for _ in candidates]
        self._first_error = FIRST_PART * ERROR / len(candidates)
        self._errors = [self._first_error for _ in candidates]
        self._parts = [0.0 for _ in candidates]  # how likely the search is to come to each that is open behind the first runs
        self._scores: dict[tuple[str, ...], LevelScores] = {}

    def find_answer(self) -> None:
        """Do and look at runs until the answer is known or work is stopped."""
        places = range(len(self._candidates))
        self._alternatives.expected = FIRST * len(places)
        if not self._alternatives.reach(FIRST):
            return
        for index in places:
            self._read(index, FIRST)
            self._judge(index)
        self._share_error()
        for index in places:
            if self._above_the_answer(index):
                return
            while self._verdicts[index] is Verdict.OPEN:
                self._expect()
                count = min(len(self._hours[index]) + STEP, self._most)
                if not self._alternatives.reach(count, [index]):
                    return
                self._look(index, count)

    def show(self, places: Sequence[int]) -> None:
        """Have the runs done and read that a team has at the least which a sentence names; its verdict stays."""
        if not self._alternatives.stopped and self._alternatives.reach(NAMED, places):
            for index in places:
                self._read(index, max(NAMED, len(self._hours[index])))

    def _share_error(self) -> None:
        """Share out what later looks may err by, most to teams to which the search is likely to come, by the first runs."""
        likely = 1.0
        for index, verdict in enumerate(self._verdicts):
            if self._above_the_answer(index):
                break
            if verdict is Verdict.OPEN:
                self._parts[index] = max(likely, LEAST_PART)
                likely *= 1.0 - self._seems_to_meet(index)
        for index, part in enumerate(self._parts):
            if part:
                self._errors[index] = (1.0 - FIRST_PART) * ERROR * part / sum(self._parts)

    def _seems_to_meet(self, index: int) -> float:
        """Return how likely it is by the first runs alone that a team meets the deadline; nothing that is said rests on it."""
        away = self._count_on_time(index) / FIRST - self._confidence
        return NormalDist().cdf(away / math.sqrt(self._confidence * (1.0 - self._confidence) / FIRST))

    def _above_the_answer(self, index: int) -> bool:
        """Return whether a smaller team meets the deadline already."""
        smaller = (other for other in range(index) if self._candidates[other].size < self._candidates[index].size)
        return any(self._verdicts[other] is Verdict.MEETS for other in smaller)

    def _expect(self) -> None:
        """Set about how many runs the question takes, by what is known now: an open team as many as most of them do."""
        done = sum(map(len, self._hours))
        self._alternatives.expected = done + sum(
            round(self._parts[index] * min(max(STEP, USUAL - len(self._hours[index])), self._most))
            for index, verdict in enumerate(self._verdicts)
            if verdict is Verdict.OPEN and not self._above_the_answer(index)
        )

    def _read(self, index: int, count: int) -> list[float]:
        """Read a team's runs below `count`, and return those that were not read before."""
        runs, seen = self._alternatives.runs[index], self._hours[index]
        ready = next(milestone.name for milestone in self._candidates[index].scenario.milestones if milestone.ready)
        found = [hours for (hours,) in runs.values((f"milestone.{ready}",), len(seen), count)]
        seen += found
        return found

    def _look(self, index: int, count: int) -> None:
        """Read a team's runs below `count`, hold them against what those before them let expect, and judge it."""
        found = self._read(index, count)
        self._bet(index, found)
        self._judge(index)

    def _judge(self, index: int) -> None:
        low, high = self._interval(index)
        if low > self._confidence or high < self._confidence:
            self._verdicts[index] = Verdict.MEETS if low > self._confidence else Verdict.DOES_NOT
            return
        near = sequence_interval(round(self._confidence * self._most), self._most, self._confidence, self._errors[index])
        if len(self._hours[index]) >= self._most or (near[0] <= low and high <= near[1]):
            self._verdicts[index] = Verdict.TOO_CLOSE

    def _bet(self, index: int, found: Sequence[float]) -> None:
        """Note by how much a team's next runs differ from what those before them let expect; where nothing is, what they are."""
        import numpy as np

        plan, before = self._alternatives.runs[index].plan, self._hours[index][: -len(found)]
        met = np.array([float(on_time(hours, self._deadline)) for hours in found])
        expected, limit = None, self._deadline.hours
        if scores_known(plan):
            scores = self._scores_of(plan).of_runs(len(before) + len(found))
            expected = Expected.fit(scores[: len(before)], np.minimum(before, plan.horizon))
        if expected is None:
            self._surprises[index] += met.tolist()
            self._every[index] += [self._confidence] * len(found)
        else:
            self._surprises[index] += expected.surprises(scores[len(before) :], met, limit).tolist()
            self._every[index] += [expected.every(limit)] * len(found)

    def _scores_of(self, plan: Plan) -> LevelScores:
        """Return the scores of runs of a plan; plans with the same levels have the same."""
        return self._scores.setdefault(tuple(level.key for level in plan.levels), LevelScores(plan))

    def _interval(self, index: int) -> tuple[float, float]:
        """Return the interval of a team's chance: the share that was seen always lies within it."""
        import numpy as np

        hours = self._hours[index]
        if not hours:
            return 0.0, 1.0
        share = self._count_on_time(index) / len(hours)
        if self._surprises[index]:
            low, high = interval_by_bets(np.array(self._surprises[index]), np.array(self._every[index]), self._errors[index])
        else:
            first = hours[:FIRST]
            chance = estimate_chance(
                sum(on_time(each, self._deadline) for each in first), len(first), 1.0 - 2.0 * self._first_error
            )
            low, high = chance.low, chance.high
        return min(share, low), max(share, high)

    def _count_on_time(self, index: int) -> int:
        return sum(on_time(hours, self._deadline) for hours in self._hours[index])

    def rows(self, first: Sequence[Outcome]) -> tuple[StaffingRow, ...]:
        """Return all teams with what is known of them; `first` is what each comes to where none was looked at."""
        return tuple(self._row(index, outcome) for index, outcome in enumerate(first))

    def _row(self, index: int, first: Outcome) -> StaffingRow:
        candidate, hours = self._candidates[index], self._hours[index]
        outcome = summarise_hours(candidate.name, candidate.scenario, hours, self._deadline) if hours else first
        counts, interval = (self._count_on_time(index), len(hours)), self._interval(index)
        return StaffingRow(candidate, self._verdicts[index], *counts, *interval, self._errors[index], outcome)
