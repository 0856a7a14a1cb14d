"""Which files does the question for the smallest team leave? `staffing.json` and the picture of the teams as SVG and PNG."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.answer_files import write_answer
from simulation.present.cautions import CAUTIONS
from simulation.present.record_units import ANSWER_UNITS
from simulation.questions.staffing.picture import save_staff_picture
from simulation.questions.staffing.tables import answer_lines
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.staffing.limiting_factors import Limits
    from simulation.questions.staffing.study import StaffingResult
    from simulation.questions.staffing.verdicts import StaffingRow


def write_staff(found: StaffingResult, folder: Path, force: bool = False) -> list[Path]:
    """Write the files into a folder, which is made where it is missing, and return their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    return write_answer(
        folder, "staffing", "staffing", staff_record(found), lambda path: save_staff_picture(found, path), force=force
    )


def staff_record(found: StaffingResult) -> dict[str, Any]:
    """Return everything the answer says, ready for `json.dumps`; times are days, a number that is not known is null."""
    helping = found.helping
    return {
        "scenario": found.scenario.title,
        "units": ANSWER_UNITS,
        "seed": found.seed,
        "starts": found.scenario.starts.isoformat(),
        "deadline": {
            "text": found.deadline.text,
            "days": found.deadline.hours / 24.0,
            "moment": found.calendar.moment(found.deadline.hours).isoformat(timespec="minutes"),
        },
        "confidence": found.confidence,
        "answer": answer_lines(found),
        "smallest": [one.candidate.name for one in found.answer],
        "no_larger_and_not_decided": [one.candidate.name for one in found.smaller],
        "teams": [_team(one) for one in found.teams],
        "more_people_stop_helping": None
        if helping.earliest is None or not helping.seen
        else {
            "team": found.teams[helping.at].candidate.name,
            "people_on_site": found.teams[helping.at].candidate.people,
            "earliest_larger_team": found.teams[helping.earliest].candidate.name,
            "p80_difference_days": _days(helping.gain.value),
            "p80_difference_interval_days": [_days(helping.gain.low), _days(helping.gain.high)],
        },
        "one_more_forklift": None
        if found.one_more is None
        else {
            "team": found.teams[found.one_more.place].candidate.name,
            "forklifts": found.one_more.forklifts,
            "p80_difference_days": _days(found.one_more.against.p80.value),
            "p80_difference_interval_days": [_days(found.one_more.against.p80.low), _days(found.one_more.against.p80.high)],
            "on_time_difference": found.one_more.against.chance.value,
            "on_time_difference_interval": [found.one_more.against.chance.low, found.one_more.against.chance.high],
        },
        "limits": None if found.limits is None else _limits(found, found.limits),
        "runs": {"of_every_team": found.first, "of_one_team_at_most": found.most},
        "error": {"all_teams": found.error, "each_team": found.error_each, "method": "beta-binomial confidence sequence"},
        "interval_covers": SAMPLING_ERROR_ONLY,
        "stopped": found.stopped or None,
        "cautions": list(CAUTIONS),
    }


def _team(one: StaffingRow) -> dict[str, Any]:
    candidate = one.candidate
    people = [crew.people for crew in candidate.scenario.crew]
    return {
        "name": candidate.name,
        "crews": len(candidate.scenario.crew),
        "people_in_each": people[0] if len(set(people)) == 1 else people,
        "start": candidate.start,
        "forklifts": candidate.forklifts,
        "people_on_site": candidate.people,
        "p50_days": _days(one.outcome.p50.value),
        "p80_days": _days(one.outcome.p80.value),
        "p80_interval_days": [_days(one.outcome.p80.low), _days(one.outcome.p80.high)],
        "on_time": {"probability": one.chance, "interval": [one.low, one.high], "count": one.on_time, "runs": one.runs},
        "verdict": one.verdict.value,
    }


def _limits(found: StaffingResult, limits: Limits) -> dict[str, Any]:
    return {
        "team": found.teams[limits.place].candidate.name,
        "runs": limits.runs,
        "causes": [{"cause": one.cause, "hours": one.hours, "share": one.share} for one in limits.causes],
        "use": [
            {
                "actor": one.actor,
                "working": one.share(one.working),
                "repair": one.share(one.repair),
                "closing_work": one.share(one.closing),
                "rest_in_turn": one.share(one.resting),
                "waiting": one.share(one.waiting),
            }
            for one in limits.use
        ],
    }


def _days(hours: float | None) -> float | None:
    return None if hours is None or not math.isfinite(hours) else hours / 24.0
