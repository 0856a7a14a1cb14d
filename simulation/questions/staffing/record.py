"""The search for the smallest team as numbers: the answer, every team with its verdict, and what more people or forklifts do.

A number that is not known is null. Changes of days are above zero where it comes later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, change_record, quantile_record, share_change_record, use_record
from simulation.stats.likelihood_words import likelihood_among
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.questions.staffing.limiting_factors import Limits
    from simulation.questions.staffing.study import StaffingResult
    from simulation.questions.staffing.verdicts import StaffingRow

#: The method of the interval of a team's chance.
_METHOD = "exact (Clopper-Pearson) of the first runs, then by bets on what the levels of later runs do not let expect"


def staffing_record(result: StaffingResult) -> dict[str, Any]:
    """Return everything the answer says, ready for `json.dumps`."""
    return {
        "units": ANSWER_UNITS,
        "starts": result.scenario.starts.isoformat(),
        "deadline": {
            "text": result.deadline.text,
            "days": result.deadline.hours / 24.0,
            "moment": result.calendar.moment(result.deadline.hours).isoformat(timespec="minutes"),
        },
        "wanted": result.confidence,
        "smallest": [row.candidate.name for row in result.answer],
        "no_larger_and_not_decided": [row.candidate.name for row in result.smaller],
        "left_out": [{"name": left.name, "why": left.why} for left in result.left_out],
        "teams": [_team_record(row) for row in result.teams],
        "more_people_stop_helping": _more_people_record(result),
        "one_more_forklift": _forklift_record(result),
        "limits": None if result.limits is None else _limits_record(result, result.limits),
        "runs": {"of_every_team": result.first, "of_one_team_at_most": result.most},
        "error": {"all_teams": result.error, "each_team": max(row.error for row in result.teams), "method": _METHOD},
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _team_record(row: StaffingRow) -> dict[str, Any]:
    candidate, calendar = row.candidate, make_calendar(row.candidate.scenario)
    people = [crew.people for crew in candidate.scenario.crew]
    return {
        "name": candidate.name,
        "crews": len(candidate.scenario.crew),
        "people_in_each": people[0] if len(set(people)) == 1 else people,
        "start": candidate.start,
        "forklifts": candidate.forklifts,
        "people_on_site": candidate.people,
        "p50": quantile_record(row.outcome.p50, calendar),
        "p80": quantile_record(row.outcome.p80, calendar),
        "on_time": {
            "share": row.chance,
            "interval": [row.low, row.high],
            "words": None if row.chance is None else likelihood_among(row.chance, row.runs),
            "method": _METHOD,
            "count": row.on_time,
            "runs": row.runs,
        },
        "verdict": row.verdict.value,
    }


def _more_people_record(result: StaffingResult) -> dict[str, Any] | None:
    helping = result.helping
    if helping.earliest is None or not helping.seen:
        return None
    team = result.teams[helping.at].candidate
    return {
        "team": team.name,
        "people_on_site": team.people,
        "earliest_larger_team": result.teams[helping.earliest].candidate.name,
        "p80_change": change_record(helping.gain),
    }


def _forklift_record(result: StaffingResult) -> dict[str, Any] | None:
    more = result.one_more
    if more is None:
        return None
    return {
        "team": result.teams[more.index].candidate.name,
        "forklifts": more.forklifts,
        "p80_change": change_record(more.against.p80),
        "on_time_change": share_change_record(more.against.chance),
    }


def _limits_record(result: StaffingResult, limits: Limits) -> dict[str, Any]:
    return {
        "team": result.teams[limits.index].candidate.name,
        "runs": limits.runs,
        "causes": [{"cause": cause.cause, "hours": cause.hours, "share": cause.share} for cause in limits.causes],
        "use": [use_record(use) for use in limits.use],
    }
