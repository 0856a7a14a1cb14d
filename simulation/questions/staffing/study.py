"""Which is the smallest team that meets a deadline with a stated confidence? Runs go where that is still open.

Every team in question is looked at by itself: none is inferred from another, because more people are not always faster. Which
runs are done, and how they are looked at, stands in `verdicts.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.questions.staffing.candidates import LeftOut, Search, list_candidates, usual_search
from simulation.questions.staffing.effort import describe_effort, estimate_effort
from simulation.questions.staffing.limiting_factors import Limits, limits_of
from simulation.questions.staffing.more_forklifts import OneMore, one_more_forklift
from simulation.questions.staffing.more_people import MorePeople, TeamsBeside, more_people
from simulation.questions.staffing.verdicts import CONFIDENCE, ERROR, FIRST, MOST, NAMED, StaffingRow, TeamVerdicts, Verdict
from simulation.scenario.types.mistakes import refusal
from simulation.study.calendar import Calendar, make_calendar
from simulation.study.deadline import Deadline, read_deadline
from simulation.study.outcomes import find_margin
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, NothingFinished

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.replicate.manifest import Manifest
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class StaffingResult:
    """The answer to the question for the smallest team.

    Attributes
    ----------
    scenario : Scenario
    calendar : Calendar
    seed : int
    deadline : Deadline
    confidence : float
        The chance of being ready by then that is asked for.
    error : float
        Chance that any verdict is wrong, at most, of all teams together; that of one stands with it.
    first, most : int
        Runs that all teams share; the most of one team.
    teams : tuple of StaffingRow
        By people on site, then by forklifts.
    helping : MorePeople
        From where on more people stop helping; its places are those of `teams`.
    limits : Limits or None
        What limits the team that is most often on time, where none meets the deadline; None before the first look.
    one_more : OneMore or None
        What one more forklift gains the answer, or that team; None where the question was stopped.
    stopped : str
        Why the question was not worked through to the end; empty where it was.
    manifest : Manifest or None
        Of the study of the smallest team.
    left_out : tuple of LeftOut
        Usual teams that break a rule, and why.
    """

    scenario: Scenario
    calendar: Calendar
    seed: int
    deadline: Deadline
    confidence: float
    error: float
    first: int
    most: int
    teams: tuple[StaffingRow, ...]
    helping: MorePeople
    limits: Limits | None
    one_more: OneMore | None
    stopped: str
    manifest: Manifest | None
    left_out: tuple[LeftOut, ...] = ()

    @property
    def ready_word(self) -> str:
        """What a run is that has reached the milestone that answers count to."""
        from simulation.present.words.job_words import ready_word

        return ready_word(self.scenario)

    def of(self, verdict: Verdict) -> tuple[StaffingRow, ...]:
        """Return the teams with a verdict, the smallest first."""
        return tuple(row for row in self.teams if row.verdict is verdict)

    @property
    def answer(self) -> tuple[StaffingRow, ...]:
        """The smallest team that meets the deadline, those of the same size after it, the earliest first; none if none does."""
        meeting = self.of(Verdict.MEETS)
        same_size = [row for row in meeting if row.candidate.size == meeting[0].candidate.size]
        return tuple(sorted(same_size, key=lambda row: row.outcome.p80.value))

    @property
    def smaller(self) -> tuple[StaffingRow, ...]:
        """Teams no larger than the answer that may meet the deadline too: too close to call, or left open by a stop."""
        size = self.answer[0].candidate.size if self.answer else None
        undecided = (Verdict.TOO_CLOSE, Verdict.OPEN)
        return tuple(row for row in self.teams if row.verdict in undecided and (size is None or row.candidate.size <= size))


def staffing(
    scenario: Scenario,
    context: RunContext = RunContext(),
    confidence: float = CONFIDENCE,
    search: Search | None = None,
    most: int = MOST,
) -> StaffingResult:
    """Return the smallest team that meets a deadline with a stated confidence, and how all teams in question stand.

    Parameters
    ----------
    scenario : Scenario
        Each team in turn stands in the place of its crews, with what these have: hours, late starts, areas.
    context : RunContext
        How runs are done and kept, and the deadline; how many there are is decided as they come.
    confidence : float
        The chance of being ready by then that is asked for, between 0 and 1.
    search : Search, optional
        Default: `usual_search(scenario)`.
    most : int
        Runs of one team, after which it is too close to call; at least `NAMED`.

    Raises
    ------
    ScenarioError
        If a team that was asked for cannot do the work, or the deadline cannot be read or lies after the last day simulated.
    NothingFinished
        If it was stopped before every team had a run.
    StoreError, ClusterError
        If the folder or the cluster cannot be used.
    ValueError
        If `confidence` or `most` is out of range.

    Examples
    --------
    >>> from simulation import RunContext, load_scenario, staffing
    >>> result = staffing(load_scenario(), RunContext(deadline="16 d"), 0.8)  # doctest: +SKIP
    >>> result.answer[0].candidate.name  # doctest: +SKIP
    """
    from simulation.replicate import Alternatives

    if not 0.0 < confidence < 1.0:
        raise ValueError(f"confidence(={confidence}) must lie between 0 and 1")
    if not NAMED <= most <= MOST_RUNS:
        raise ValueError(f"most(={most}) must be {NAMED} to {MOST_RUNS:,}")
    calendar = make_calendar(scenario)
    limit = _within(read_deadline(context.deadline or "", calendar), scenario)
    candidates, left_out = list_candidates(scenario, search or usual_search(scenario))
    with context.workshop() as workshop:
        alternatives = Alternatives([candidate.scenario for candidate in candidates], workshop, context.seed, context.progress)
        effort = describe_effort(estimate_effort(alternatives, most))
        if effort and context.tell is not None:
            context.tell(effort)
        verdicts = TeamVerdicts(alternatives, candidates, limit, confidence, most)
        verdicts.find_answer()
        common = alternatives.common(FIRST)
        if common[0].empty:
            raise NothingFinished("stopped before every team had a run")
        beside = TeamsBeside(alternatives, candidates, common, limit, find_margin(scenario))
        manifest = alternatives.runs[0].manifest()
        teams = verdicts.rows(beside.outcomes)
        looked_at = any(row.runs for row in teams)
        meeting, best, named = _find_named(teams)
        if looked_at:
            verdicts.show(named)
            teams = verdicts.rows(beside.outcomes)
        laying = [sum(crew.people for crew in candidate.scenario.crew) for candidate in candidates]
        helping = more_people(beside.outcomes, laying, find_margin(scenario), beside.measure)
        limits = one_more = None
        stopped = alternatives.stopped
        if looked_at and not meeting:
            limits = limits_of(best, candidates[best].scenario, alternatives.table(best, max(FIRST, teams[best].runs)))
        if looked_at and not stopped:
            best_index = min(named, key=lambda index: teams[index].outcome.p80.value)
            one_more, stopped = one_more_forklift(candidates, best_index, limit, workshop, alternatives.seed)
    return StaffingResult(
        scenario, calendar, alternatives.seed, limit, confidence, ERROR, len(common[0]), most, teams,
        helping, limits, one_more, stopped, manifest, left_out,
    )  # fmt: skip


def _find_named(teams: Sequence[StaffingRow]) -> tuple[list[int], int, list[int]]:
    """Return which teams meet the deadline, which one is nearest to it, and which ones sentences are about: the smallest."""
    meeting = [index for index, row in enumerate(teams) if row.verdict is Verdict.MEETS]
    best = max(range(len(teams)), key=lambda index: _promise(teams[index]))
    smallest = min((teams[index].candidate.size for index in meeting), default=None)
    return meeting, best, [index for index in meeting if teams[index].candidate.size == smallest] or [best]


def _promise(row: StaffingRow) -> tuple[float, float, float, int]:
    """Return what is compared of teams that do not meet the deadline: of two never on time, the earlier, then the larger."""
    return row.chance or 0.0, -row.outcome.p80.value, -row.outcome.p50.value, row.candidate.people


def _within(limit: Deadline, scenario: Scenario) -> Deadline:
    """Return a deadline that the runs can be held to: of one after the last day simulated it is not known who was late."""
    if limit.hours > scenario.horizon:
        wrong = f"{limit.text} lies beyond the {scenario.horizon / 24:g} days simulated"
        raise refusal("deadline", wrong, "write an earlier one, or a longer horizon in the scenario")
    return limit
