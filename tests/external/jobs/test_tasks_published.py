"""Networks of tasks against exact values, and the catalogue of tasks against what was published: T1 to T3 of the checks.

The product's own path: a scenario in, its runs out. Status: R recomputed, T read in the source's text.
"""

from functools import cache

import numpy as np
import pytest
from scenarios import make_scenario, strip, written

from simulation import RunContext, forecast
from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END
from simulation.questions.new.task_catalogue import CATALOGUE
from simulation.scenario import parse_scenario

#: Nobody goes off shift; a pad that is done at once is laid beside the tasks.
ROUND_THE_CLOCK = {"shifts__all": {"hours": ["00:00-24:00"]}, "top": {"seed": 16}}
EXPONENTIAL = {"mean": "1 h", "scatter": "exponential"}
RUNS = 2500


def task(name, *after, each=EXPONENTIAL):
    return {"name": name, "each": each, "after": [{"task": one} for one in after]}


#: The networks that are asked about, by the tasks that end them; all hang on tasks of the same runs.
ENDS = {"bridge": ["d", "e"], "two alike": ["a", "b"], "one twice as fast": ["a", "f"]}


@cache
def hours():
    """Return when the last task of each network was done, of each run."""
    tasks = [task("a"), task("b"), task("c", "a"), task("d", "a"), task("e", "b", "c")]
    tasks.append(task("f", each={"mean": "30 min", "scatter": "exponential"}))
    ends = [{"name": name, "tasks": last, "closing": "0 h", "ready": name == "bridge"} for name, last in ENDS.items()]
    plan, found = compile_plan(make_scenario(strip(**ROUND_THE_CLOCK, task=tasks, milestone=ends))), []
    for number in range(RUNS):
        run = simulate(plan, number)
        found.append([step[END] for step in run.site.reached])
        run.dismiss()
    return dict(zip(ENDS, np.array(found).T, strict=True))


def test_t1_a_bridge_of_five_exponential_tasks_takes_83_in_24_hours_and_4_71_at_p80():
    """Exact (R): mean 83/24 = 3.4583, sd 1.698, P80 4.71; 2,500 runs have a standard error of .034 of the mean, .06 of P80."""
    bridge = hours()["bridge"]
    assert bridge.mean() == pytest.approx(83 / 24, abs=0.12)
    assert bridge.std() == pytest.approx(1.698, abs=0.12)
    assert np.quantile(bridge, 0.8) == pytest.approx(4.71, abs=0.2)


def test_t2_the_later_of_two_exponential_tasks_takes_one_and_a_half():
    """Exact (R): 1.5 for rates 1 and 1, 1.16667 for rates 1 and 2; standard errors .022 and .02."""
    assert hours()["two alike"].mean() == pytest.approx(1.5, abs=0.08)
    assert hours()["one twice as fast"].mean() == pytest.approx(7 / 6, abs=0.07)


def test_t3_recovery_gear_of_the_catalogue_takes_eleven_people_four_days_or_seven_within_p10_to_p90():
    """Service news 2012 (T): more than 50 anchors a side, surveyed into place; four days, where a week is usual."""
    base = strip(
        shifts__all={"hours": ["06:00-12:00", "13:00-18:00"]},  # the default
        top={"seed": 16, "horizon": "40 day"},
        milestone=[{"name": "gear", "tasks": ["recovery gear"], "closing": "0 h"}],
    )
    answer = forecast(parse_scenario(f"{written(base)}\n{CATALOGUE.replace('runway', 'strip')}"), RunContext(runs=200, workers=1))
    gear = next(one for one in answer.tasks if one.name == "recovery gear")
    low, high = gear.ends[0].value / 24, gear.ends[-1].value / 24
    assert low < 4 and high > 7
    assert low > 2 and high < 12, "a forecast that would contain anything says nothing"
