"""Comparisons of invented plans, without a build, for tests of what is printed and drawn of them."""

from functools import cache

from invented_builds import TWO_AREAS, invented_builds, invented_scenario

from simulation.questions.compare.study import compared_with
from simulation.questions.forecast.study import calendar_of
from simulation.study.deadline import read_deadline
from simulation.study.outcomes import outcome_of

#: Name, scenario text, how its builds are invented.
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
        builds = invented_builds(scenario, count, **how)
        ready = "milestone.operational readiness"
        builds[ready] *= scale
        limit = None if deadline is None else read_deadline(deadline, calendar_of(scenario))
        outcomes.append(outcome_of(name, scenario, builds, limit))
    return compared_with(outcomes, reference, seed=7, asked=asked, stopped=stopped)
