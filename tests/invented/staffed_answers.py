"""Answers to the question for the smallest team, worked out once each for the tests of how they are shown."""

from functools import cache

from staffed_field import field, level
from staffed_field import hours as known_hours

from simulation import staffing
from simulation.questions.staffing.candidates import read_search
from simulation.scenario import Change, vary
from simulation.study.run_context import RunContext

#: One crew of 16 is ready by then in 79.5 of 100 runs.
DEADLINE = known_hours(16, level(0.795))
FULL = '{ p10 = "50 s", p90 = "90 s" }'

QUESTIONS = {
    "answered": {"crews": "1x14..20:2"},
    "left open": {"crews": "1x18,2x14", "deadline": known_hours(14, level(0.82))},
    "not met": {"crews": "1x12..14:2", "deadline": 8.2, "forklifts": "1..3"},
    "full laying edge": {"scenario": field(FULL, rows_in_work=1), "crews": "1x24..32:4", "deadline": 24.0},
    "one team": {"crews": "1x20", "deadline": 12.0},
    "as many people": {"crews": "1x20", "start": "one-end,centre-out", "deadline": 400.0},
    "never ready": {"scenario": vary(field(), [Change("horizon", "8.2 h")]), "crews": "1x8..10:2", "deadline": 8.1},
    "many kinds": {"crews": "1..4x12", "start": "one-end,centre-out", "forklifts": "1..2", "scenario": field(length=8)},
}


@cache
def answer(name):
    asked = {"scenario": field(), "deadline": DEADLINE, "start": None, "forklifts": None, **QUESTIONS[name]}
    search = read_search(asked["crews"], asked["start"], asked["forklifts"])
    return staffing(asked["scenario"], RunContext(deadline=f"{asked['deadline']!r} h", workers=1), search=search, most=300)


@cache
def stopped():
    """Return an answer to a question that was stopped among the first runs."""

    def impatient(done, _):
        if done >= 350:
            raise KeyboardInterrupt

    return staffing(
        field(), RunContext(deadline=f"{DEADLINE!r} h", workers=1, progress=impatient), search=read_search("1x14..18:2"), most=300
    )
