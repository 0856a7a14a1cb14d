"""A strip for the question how many people, certain but for one level, so that each team's chance is known; and its answers."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from statistics import NormalDist
from tempfile import TemporaryDirectory

from scenarios import CERTAIN, Tables, make_scenario
from scipy.optimize import brentq

from simulation import staffing
from simulation.questions.staffing.candidates import read_search
from simulation.replicate import do_runs
from simulation.scenario import Change, Scenario, Team, vary
from simulation.study.run_context import RunContext

#: Seconds for placing one mat: the one thing that nobody knows. Lognormal, so its chances can be written down.
P10, P90 = 20.0, 90.0
UNKNOWN = {"p10": f"{P10} s", "p90": f"{P90} s"}


def staffed(
    place: str | Tables = UNKNOWN,
    seed: int = 5,
    length: int = 20,
    start: str | None = None,
    rows_in_work: int = 50,
    forklifts: int = 2,
    handle: str = "1 s",
) -> Scenario:
    """Return the strip with one crew of 16."""
    quick = {"lock": "2 s", "key_strip": "5 min", "starter_key_strip": "5 min", "check": "0 min"}
    return make_scenario(
        {key: table for key, table in CERTAIN.items() if key not in ("top", "grading")},
        top={"title": "Staffed strip", "seed": seed, "horizon": "90 day"},
        area=[{"name": "strip", "length": f"{length} ft", "width": "72 ft", **({"start": start} if start else {})}],
        crew=[{"name": "red", "people": 16, "areas": ["strip"]}],
        laying={**quick, "place": place, "rows_in_work": rows_in_work},
        forklifts={"count": forklifts, "speed": "8 mph", "handle": handle, "repair": "1 h"},
        grading={"efficiency": 1.0, "done": 1.0},
    )


@cache
def known_hours(people: int, seconds: float) -> float:
    """Return when one crew is ready if placing a mat takes so many seconds."""
    scenario = staffed(f"{seconds} s")
    return float(do_runs(vary(scenario, [Team(1, people).instead(scenario)]), 1, workers=1)["milestone.operational readiness"][0])


def seconds_met(people: int, deadline: float) -> float:
    """Return the slowest placing with which one crew is ready by a deadline: the slower, the later."""
    return float(brentq(lambda seconds: known_hours(people, seconds) - deadline, 1.0, 2000.0, xtol=1e-4))


def level(chance: float) -> float:
    """Return the seconds that placing a mat stays below with a chance."""
    law = _law()
    return math.exp(law.inv_cdf(chance))


def true_chance(people: int, deadline: float) -> float:
    """Return the chance that one crew is ready by a deadline."""
    return _law().cdf(math.log(seconds_met(people, deadline)))


def _law() -> NormalDist:
    low, high = math.log(P10), math.log(P90)
    return NormalDist((low + high) / 2, (high - low) / 2 / NormalDist().inv_cdf(0.9))


#: One crew of 16 is ready by then in 79.5 of 100 runs.
DEADLINE = known_hours(16, level(0.795))
FULL = {"p10": "50 s", "p90": "90 s"}

QUESTIONS = {
    "answered": {"crews": "1x14..20:2"},
    "left open": {"crews": "1x18,2x14", "deadline": known_hours(14, level(0.82))},
    "not met": {"crews": "1x12..14:2", "deadline": 8.2, "forklifts": "1..3"},
    "full laying edge": {"scenario": staffed(FULL, rows_in_work=1), "crews": "1x24..32:4", "deadline": 24.0},
    "one team": {"crews": "1x20", "deadline": 12.0},
    "as many people": {"crews": "1x20", "start": "one-end,centre-out", "deadline": 400.0},
    "never ready": {"scenario": vary(staffed(), [Change("horizon", "8.2 h")]), "crews": "1x8..10:2", "deadline": 8.1},
    "many kinds": {"crews": "1..4x12", "start": "one-end,centre-out", "forklifts": "1..2", "scenario": staffed(length=8)},
}


#: Runs of teams that several questions ask about.
_KEPT = TemporaryDirectory()


@cache
def answer(name):
    asked = {"scenario": staffed(), "deadline": DEADLINE, "start": None, "forklifts": None, **QUESTIONS[name]}
    search = read_search(asked["crews"], asked["start"], asked["forklifts"])
    context = RunContext(deadline=f"{asked['deadline']!r} h", workers=1, folder=Path(_KEPT.name))
    return staffing(asked["scenario"], context, search=search, most=300)


@cache
def stopped():
    """Return an answer to a question that was stopped among the first runs."""

    def impatient(done, _):
        if done >= 120:
            raise KeyboardInterrupt

    return staffing(
        staffed(),
        RunContext(deadline=f"{DEADLINE!r} h", workers=1, progress=impatient),
        search=read_search("1x14..18:2"),
        most=300,
    )
