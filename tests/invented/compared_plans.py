"""Comparisons of invented plans, without a run, for tests of what is printed and drawn of them."""

from functools import cache

from invented_runs import TWO_AREAS, invented_runs, invented_scenario

from simulation.questions.compare.study import compared_with
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.outcomes import summarise_outcome

#: Name, scenario text, how its runs are invented.
PLANS = {
    "as written": (TWO_AREAS, {}),
    "people=24, start=centre-out": (TWO_AREAS.replace("people = 20", "people = 24"), {"mean": 70.0}),
    "people=16": (TWO_AREAS.replace("people = 20", "people = 16"), {"mean": 71.0}),
    "count=1, truck haul={ p10 = '1 h', p90 = '9 h' }, wet_spell=12 h, dry_spell=1 day": (TWO_AREAS, {"mean": 110.0}),
    "horizon=8 day": (TWO_AREAS.replace('"40 day"', '"8 day"'), {"unfinished": 0.3}),
    "never": (TWO_AREAS, {"unfinished": 1.0}),
    "open": (TWO_AREAS, {"unfinished": 0.15}),
    "late and open": (TWO_AREAS, {"mean": 130.0, "unfinished": 0.15}),
    "nearly": (TWO_AREAS.replace("people = 20", "people = 16"), {"mean": 70.0, "seed": 4}),
    "hardly earlier": (TWO_AREAS, {"mean": 79.4}),
    "not earlier to speak of": (TWO_AREAS, {"mean": 79.98}),
    **{f"twin {number}": (TWO_AREAS, {"seed": 10 + number}) for number in range(7)},
}
#: Those that a comparison takes unless others are named.
FIVE = tuple(PLANS)[:5]


@cache
def comparison(*names, reference=0, deadline=None, count=200, asked=200, scale=1.0, stopped=""):
    outcomes = []
    for name in names or FIVE:
        text, how = PLANS[name]
        scenario = invented_scenario(text)
        runs = invented_runs(scenario, count, **how)
        ready = "milestone.operational readiness"
        runs[ready] *= scale
        limit = None if deadline is None else read_deadline(deadline, make_calendar(scenario))
        outcomes.append(summarise_outcome(name, scenario, runs, limit))
    return compared_with(outcomes, reference, seed=7, asked=asked, stopped=stopped)
